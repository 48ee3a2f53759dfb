"""The pieces of a date phrase, put together: they fit one another, or it is asked."""

from dataclasses import dataclass, field, replace
from datetime import datetime, time, timedelta
from zoneinfo import ZoneInfo

from bot.when.course import begun, ended, names
from bot.when.daytime import time_of_day, which_day, whole_minute
from bot.when.parts import (
    Clock,
    Day,
    Filler,
    Lasting,
    Length,
    Mark,
    NotADateError,
    Part,
    Placed,
    Repeat,
    Setting,
    Span,
    Sure,
    Times,
    Vague,
    When,
    WhenError,
    once_only,
)
from bot.when.repeats import by_date
from core.cadence import instant_of

FURTHEST = timedelta(days=396)  # thirteen months
UNTIMED = time(9)
_DAY = timedelta(days=1)


@dataclass
class Sentence:
    """The pieces of one phrase, put together."""

    text: str
    pieces: list[Placed]
    at: Setting
    untimed: time
    now: datetime
    clock: Clock | None = None
    part: Part | None = None
    span: Span | None = None
    repeat: Repeat | None = None
    times: int | None = None
    lasting: int | None = None
    length: int | None = None
    until: Day | None = None
    starts: Day | None = None
    found: list[Day] = field(default_factory=list)

    def when(self) -> When:
        """All of it as one value.

        Raises:
            WhenError, NotADateError: it is none.
        """
        self._sort()
        if self.span:
            return self._from_now()
        if self.repeat:
            found = self._recurring(self.repeat)
        elif self.times or self.lasting or self.until or self.starts:
            raise NotADateError
        else:
            found = self._once()
        return replace(found, minutes=self.length) if self.length else found

    def named(self) -> tuple[Day | None, time | None]:
        """The day and the time of day, as they name something; a part of the day names nothing.

        Raises:
            WhenError, NotADateError: more than that is said, or one of them is open.
        """
        self._sort()
        others = (self.span, self.repeat, self.times, self.lasting, self.until, self.starts)
        if any(others):
            raise WhenError("say one day, like tue or 3 dec")
        day = self._day()
        clock = self._time() if self.clock else None
        if day is None and clock is None:
            raise NotADateError
        return day, clock

    def _sort(self) -> None:
        mark: Mark | None = None
        for placed in self.pieces:
            piece = placed.piece
            if mark and not isinstance(piece, Day | Filler | Vague | Mark | Clock):
                raise NotADateError
            match piece:
                case Vague():
                    if piece.weak and self.at.loose:
                        raise NotADateError
                    raise WhenError(piece.why, readings=self._instead(placed, piece.readings))
                case Filler():
                    continue
                case Mark():
                    if mark:
                        raise NotADateError
                    mark = piece
                    continue
                case Day() if mark is Mark.UNTIL:
                    self.until = once_only(self.until, piece, "until")
                case Day() if mark is Mark.FROM:
                    self.starts = once_only(self.starts, piece, "from")
                case Day():
                    self.found.append(piece)
                case Clock() if mark is Mark.UNTIL:
                    raise WhenError("until which day?")
                case Clock(sure=Sure.BARE) if self.clock and self.clock.sure is not Sure.BARE:
                    raise NotADateError
                case Clock():
                    self.clock = once_only(self.clock, piece, "time of day")
                case Part.MIDNIGHT:
                    self.part = piece
                case Part() if self.part is Part.MIDNIGHT and piece is Part.NIGHT:
                    pass
                case Part():
                    self.part = once_only(self.part, piece, "part of the day")
                case Span():
                    self.span = once_only(self.span, piece, "span")
                case Repeat():
                    self.repeat = self._merged(piece)
                case Times(number):
                    self.times = once_only(self.times, number, "number of times")
                case Lasting(number):
                    self.lasting = once_only(self.lasting, number, "length")
                case Length(number):
                    self.length = once_only(self.length, number, "length")
            mark = None
        if mark:
            raise NotADateError

    def _instead(self, placed: Placed, readings: tuple[str, ...]) -> tuple[str, ...]:
        """The whole phrase with each reading in the place of the piece."""
        before, after = self.text[: placed.begin], self.text[placed.end :]
        return tuple(" ".join(f"{before} {each} {after}".split()) for each in readings)

    def _where(self, piece: object) -> Placed:
        return next(each for each in self.pieces if each.piece is piece)

    def _merged(self, piece: Repeat) -> Repeat:
        """ "every week", then "every tue": one rule where they agree."""
        if self.repeat is None:
            return piece
        one, other = sorted((self.repeat, piece), key=lambda each: not each.loose)
        if one.loose and not other.loose and one.frequency == other.frequency:
            return replace(other, interval=max(one.interval, other.interval), unsaid=False)
        raise WhenError("that recurs in two ways; say one")

    def _day(self) -> Day | None:
        """The one day that all days said agree on."""
        if not self.found:
            return None
        one = max(self.found, key=lambda each: not each.weekday)
        for each in self.found:
            agrees = each.day == one.day or (
                each.weekday and each.day.weekday() == one.day.weekday()
            )
            if not agrees:
                named = tuple(f"{d.day:%a} {d.day.day} {d.day:%b}" for d in (one, each))
                raise WhenError(f"{named[0]} or {named[1]}?", readings=self._on((one, each)))
        return one

    def _on(self, days: tuple[Day, ...]) -> tuple[str, ...]:
        """The phrase with only one of the days."""
        others = [self.text[p.begin : p.end] for p in self.pieces if not isinstance(p.piece, Day)]
        return tuple(" ".join([day.day.isoformat(), *others]) for day in days)

    def _time(self) -> time | None:
        """The time of day that clock and part of the day make.

        Raises:
            WhenError: they disagree, or leave morning or evening open.
        """
        if self.part is Part.MIDNIGHT:
            return self._midnight()
        try:
            return time_of_day(self.clock, self.part)
        except WhenError as why:
            if self.clock is None or not why.readings:
                raise
            readings = self._instead(self._where(self.clock), why.readings)
            raise WhenError(str(why), why.words, readings) from None

    @property
    def _timed(self) -> bool:
        """Whether a time of day is said, and not only a part of the day."""
        return self.clock is not None or self.part is Part.MIDNIGHT

    def _midnight(self) -> time:
        if self.clock or self.repeat or any(each.day != self.at.today for each in self.found):
            raise WhenError("midnight before that day or after it? Say it like 0:00 or 23:59")
        self.found = [Day(self.at.today + _DAY)]
        return time(0)

    def _from_now(self) -> When:
        others = (self.found, self.clock, self.part, self.repeat, self.times, self.lasting)
        if any(others) or self.until or self.starts or self.span is None:
            raise WhenError("hours from now, or a day and a time? Say one")
        minutes = timedelta(minutes=self.span.minutes)
        zone = self.now.tzinfo
        if not isinstance(zone, ZoneInfo):
            return When(whole_minute(self.at.now + minutes))
        instant = whole_minute(self.now.astimezone(ZoneInfo("UTC")) + minutes)
        wall = instant.astimezone(zone).replace(tzinfo=None, fold=0)
        if instant_of(wall, zone.key) != instant:
            raise WhenError("clocks change then, and show that time twice; say another")
        return When(wall)

    def _once(self) -> When:
        clock, day = self._time(), self._day()  # midnight says its day
        if clock is None and day is None:
            raise NotADateError
        weak = bool(day and day.weak and len(self.found) == 1)
        now, today = self.at.now, self.at.today
        if day is None:
            clock = clock or self.untimed
            if self.part and not self.clock:
                raise WhenError(f"which {self.part.value}?", readings=which_day(self.part))
            later = datetime.combine(today, clock)
            if later > now:
                return When(later, dated=False)
            self._ask_half(later)
            return When(later + _DAY, dated=False)
        wall = datetime.combine(day.day, clock or self.untimed)
        if day.day == today and clock is None:
            in_a_week = (today + 7 * _DAY).isoformat()
            readings = ("today 18:00", in_a_week) if day.weekday else ("today 18:00",)
            raise WhenError("today: at which time?", readings=readings)
        if wall <= now:
            raise self._passed(wall, day)
        if wall - now > FURTHEST:
            raise WhenError("that is more than thirteen months ahead")
        return When(wall, timed=self._timed, weak=weak and clock is None, open_time=clock is None)

    def _ask_half(self, passed: datetime) -> None:
        """ "7:30" said at ten may be this evening."""
        clock = self.clock
        if clock and clock.sure is Sure.PLAIN and self.part is None and clock.hour < 12:
            evening, morning = f"{clock.hour}:{clock.minute:02}pm", passed + _DAY
            if passed + _DAY / 2 > self.at.now:
                readings = (f"today {evening}", f"tomorrow {morning:%H:%M}")
                raise WhenError("this evening, or tomorrow morning?", readings=readings)

    def _passed(self, wall: datetime, day: Day) -> WhenError:
        if day.day < self.at.today:
            return WhenError(f"{wall:%a} {wall.day} {wall:%b} {wall.year} has passed")
        later = wall + (7 if day.weekday else 1) * _DAY
        readings = (f"{later.date().isoformat()} {later:%H:%M}",)
        return WhenError(f"{wall:%H:%M} today has passed", readings=readings)

    def _recurring(self, repeat: Repeat) -> When:
        if repeat.unsaid:
            place = self._where(repeat)
            said = self.text[place.begin : place.end].removeprefix("on ")
            readings = self._instead(place, (f"every {said}",))
            raise WhenError("once, or every week?", readings=readings)
        clock, day = self._time(), self._day()
        if day and self.starts:
            raise WhenError("which of the two days does it begin on?")
        repeat = self._anchored(repeat, day)
        begins = self.starts or day
        start = begins.day if begins else None
        if begins and begins.weekday and not self.starts:
            start = None  # "wed 9:00 weekly", said later that day, begins in a week
        first = begun(self.text, repeat, start, clock or self.untimed, self.at)
        if first - self.at.now > FURTHEST:
            raise WhenError("that begins more than thirteen months ahead")
        try:
            rule = ended(repeat.text, first, self.until, self.times, self.lasting)
        except WhenError as why:
            if self.until is None:
                raise
            readings = self._instead(self._where(self.until), why.readings)
            raise WhenError(str(why), readings=readings) from None
        return When(first, timed=self._timed, rule=rule, open_time=clock is None)

    def _anchored(self, repeat: Repeat, day: Day | None) -> Repeat:
        """The rule with the day it recurs on, where only a date says it."""
        begins = day or self.starts
        if not repeat.loose:
            if day and not names(repeat, day.day):
                raise WhenError("the day and what recurs do not agree")
            return repeat
        if begins is None:
            raise WhenError("on which day? Say it like every tue 18:00")
        if repeat.frequency == "WEEKLY":
            return replace(repeat, by=by_date(begins.day))
        if begins.day.day > 28 and repeat.frequency == "MONTHLY":
            raise WhenError("not every month has that day", readings=("last day of every month",))
        if repeat.frequency == "MONTHLY":
            return replace(repeat, by=f";BYMONTHDAY={begins.day.day}")
        return repeat
