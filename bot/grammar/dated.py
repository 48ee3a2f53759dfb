"""When a line says that something is to be: a day, a time of day, and how it comes again."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta

from bot.errors import Guess, TwiceError, UnclearDateError
from bot.grammar.scanner import Scanner
from bot.when import DAY_WORDS, Spotted, WhenError, join, spot
from bot.when.words import WEEKDAYS
from core.recurrence import DAYS

SMALL = ("on", "at", "the", "from", "of", "")  # between the words of a date
SPAN = re.compile(r"(\d{1,3})\s*(m|min|mins|minutes?|h|hr|hrs|hours?)")
UNITS = {"day": "DAILY", "week": "WEEKLY", "month": "MONTHLY"}
ALONE = {
    "daily": "FREQ=DAILY", "weekly": "FREQ=WEEKLY", "monthly": "FREQ=MONTHLY",
    "fortnightly": "FREQ=WEEKLY;INTERVAL=2",
}  # fmt: skip
NUMBERS = {"two": 2, "three": 3, "four": 4, "other": 2, "second": 2}
WORKDAYS = ("weekday", "weekdays", "workday")
MOST_APART = 12
_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Dated:
    """What was read of a time.

    Attributes:
        rule: an RFC 5545 rule without its end; empty for once.
        days: the weekdays that the rule names, Monday 0.
        until: the last day of it.
        moment: a wall time said whole, as "in 20 minutes" is.
    """

    day: date | None = None
    clock: time | None = None
    rule: str = ""
    days: tuple[int, ...] = ()
    until: date | None = None
    moment: datetime | None = None

    @property
    def nothing(self) -> bool:
        """Whether no time was said."""
        return self == Dated()

    def start(self, now: datetime, usual: time | None = None) -> datetime:
        """The wall time of the first.

        Args:
            now: local wall time.
            usual: the time of day when none was said.

        Raises:
            WhenError: no time of day was said, or the moment has passed or lies too far ahead.
        """
        if self.moment:
            return self.moment
        clock = self.clock or usual
        if not self.rule or (self.day and not self.days):
            days = (self.day.weekday(),) if self.rule.startswith("FREQ=WEEKLY") and self.day else ()
            if days and clock and self.day == now.date() and clock <= now.time():
                return datetime.combine(now.date() + 7 * _DAY, clock)  # a weekly one begins later
            found = join(self.day, clock, now)
            if found is None:
                raise WhenError("which day? Say it like tue 18:00 or 3 dec 9:00")
            return found
        if clock is None:
            raise WhenError("which time of day? Say it like 18:00 or 6pm")
        day = self.day or now.date()
        while datetime.combine(day, clock) <= now or (self.days and day.weekday() not in self.days):
            day += _DAY
        return datetime.combine(day, clock)

    def whole_rule(self, start: datetime) -> str | None:
        """The rule with its days and its end; None for once.

        Raises:
            WhenError: it ends before it begins.
        """
        if not self.rule:
            return None
        parts = [self.rule]
        if self.rule.startswith("FREQ=WEEKLY"):
            days = self.days or (start.weekday(),)
            parts.append(f"BYDAY={','.join(DAYS[day] for day in sorted(days))}")
        if self.until:
            if self.until < start.date():
                raise WhenError("it ends before it begins")
            parts.append(f"UNTIL={self.until:%Y%m%d}T235959")
        return ";".join(parts)


def read_dated(scanner: Scanner, now: datetime) -> Dated:
    """All that the next words say of a time; nothing when they say none.

    Raises:
        UnclearDateError: a date or time that can't be, or that could mean two things.
        TwiceError: two days, or two times of day.
    """
    found = Dated()
    while not scanner.done:
        before = scanner.at
        while scanner.peek() in SMALL and not scanner.done and _goes_on(scanner, now):
            scanner.take()
        more = _piece(scanner, found, now)
        if more is None:
            scanner.at = before
            return found
        found = more
    return found


def at_once(scanner: Scanner, now: datetime) -> bool:
    """Whether the next words are about a time, clear or not; they stay unread."""
    before = scanner.at
    try:
        return not read_dated(scanner, now).nothing
    except (UnclearDateError, TwiceError):
        return True
    finally:
        scanner.at = before


def spotted(scanner: Scanner, now: datetime) -> Spotted | None:
    """The day or time of day at the next words, which stay unread.

    Raises:
        UnclearDateError: it can't be, or could mean two things.
    """
    at = scanner.at
    try:
        return spot(scanner.words[at:], now)
    except WhenError as why:
        raise unclear(scanner, why) from why


def unclear(scanner: Scanner, why: WhenError) -> UnclearDateError:
    """The question about the next words, with each reading as a line."""
    at = scanner.at
    words = " ".join(scanner.raw[at : at + why.words]) or scanner.line
    guesses = tuple(Guess(r, scanner.instead(at, why.words, r)) for r in why.readings)
    return UnclearDateError(words, str(why), guesses)


def _goes_on(scanner: Scanner, now: datetime) -> bool:
    """Whether a date or a time follows the small word."""
    if scanner.peek() == "at":
        spotted(scanner, now)  # asks about a bare hour
    ahead = Scanner(" ".join(scanner.raw[scanner.at + 1 :]))
    if ahead.done:
        return False
    try:
        return ahead.peek() in SMALL or _piece(ahead, Dated(), now) is not None
    except UnclearDateError:
        return True


def _piece(scanner: Scanner, found: Dated, now: datetime) -> Dated | None:
    """What was read so far with the next words, or None when they say nothing of a time."""
    word = scanner.peek()
    if word == "in":
        span = SPAN.fullmatch("".join(scanner.words[scanner.at + 1 : scanner.at + 2])) or (
            SPAN.fullmatch("".join(scanner.words[scanner.at + 1 : scanner.at + 3]))
        )
        if span:
            apart = not SPAN.fullmatch(scanner.peek(1))
            scanner.take(3 if apart else 2)
            unit = "hours" if span[2].startswith("h") else "minutes"
            moment = now + timedelta(**{unit: int(span[1])})
            return replace(found, moment=moment.replace(second=0, microsecond=0))
    if word in ALONE:
        scanner.take()
        return _ruled(found, ALONE[word], ())
    if word == "every":
        return _every(scanner, found)
    if word.removesuffix("s") in WEEKDAYS and word.endswith("s"):
        scanner.take()
        return _ruled(found, "FREQ=WEEKLY", (DAY_WORDS[word.removesuffix("s")],))
    if word in ("until", "till"):
        scanner.take()
        last = spotted(scanner, now)
        if last is None or last.day is None:
            raise UnclearDateError(word, "until which day? Say it like until 20 dec")
        scanner.take(last.words)
        return replace(found, until=last.day)
    if word in ("and", "&", "+") and found.days and scanner.peek(1).removesuffix("s") in DAY_WORDS:
        scanner.take()
        day = DAY_WORDS[scanner.take().casefold().strip(".,").removesuffix("s")]
        return replace(found, days=(*found.days, day))
    if found.days and word in DAY_WORDS:
        scanner.take()
        return replace(found, days=(*found.days, DAY_WORDS[word]))
    return _spot(scanner, found, now)


def _spot(scanner: Scanner, found: Dated, now: datetime) -> Dated | None:
    more = spotted(scanner, now)
    if more is None:
        return None
    if more.day and found.day and more.day != found.day:
        raise TwiceError("day", tuple(f"{d:%a} {d.day} {d:%b}" for d in (found.day, more.day)))
    if more.clock and found.clock and more.clock != found.clock:
        raise TwiceError("time", (f"{found.clock:%H:%M}", f"{more.clock:%H:%M}"))
    scanner.take(more.words)
    return replace(found, day=more.day or found.day, clock=more.clock or found.clock)


def _every(scanner: Scanner, found: Dated) -> Dated | None:
    """ "every week", "every 2 weeks", "every other tue", "every tue and thu", "every weekday"."""
    words: Sequence[str] = scanner.words[scanner.at + 1 : scanner.at + 3]
    if not words:
        return None
    apart, took = 1, 1
    if words[0] in NUMBERS or words[0].isdecimal():
        apart, took = NUMBERS.get(words[0]) or int(words[0]), 2
    word = words[took - 1] if len(words) >= took else ""
    if not 1 <= apart <= MOST_APART:
        return None
    if words[0] == "second" and word in DAY_WORDS:
        other = f"every other {word}"
        guesses = (Guess(other, scanner.instead(scanner.at, 3, other)),)
        why = "every other week, or by the month?"
        raise UnclearDateError(f"every second {word}", why, guesses)
    days: tuple[int, ...] = ()
    interval = f";INTERVAL={apart}" if apart > 1 else ""
    single = word.removesuffix("s")
    if single in UNITS:
        rule = f"FREQ={UNITS[single]}{interval}"
    elif word == "fortnight" and apart == 1:
        rule = "FREQ=WEEKLY;INTERVAL=2"
    elif word in WORKDAYS and apart == 1:
        rule, days = "FREQ=WEEKLY", tuple(range(5))
    elif single in DAY_WORDS or word in DAY_WORDS:
        day = DAY_WORDS[word] if word in DAY_WORDS else DAY_WORDS[single]
        rule, days = f"FREQ=WEEKLY{interval}", (day,)
    else:
        return None
    scanner.take(1 + took)
    return _ruled(found, rule, days)


def _ruled(found: Dated, rule: str, days: tuple[int, ...]) -> Dated:
    """What was read so far, coming again by a rule.

    Raises:
        TwiceError: it came again by another already.
    """
    if found.rule and found.rule != rule:
        if found.days and rule == "FREQ=WEEKLY":
            return found  # "every tue weekly"
        raise TwiceError("how often", (found.rule.lower(), rule.lower()))
    return replace(found, rule=rule, days=tuple(sorted({*found.days, *days})))
