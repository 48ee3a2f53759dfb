"""Where in a longer line the date is: at its head, at its tail, or after a name.

What is not understood is never eaten: "may need a mat", a client called June and "knee 3/10 pain"
are no dates here. Where the words beside a date could change it ("before friday", "tue and thu"),
it is asked about. `WHEN | TEXT` says it without any doubt.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time

from bot.when.daytime import which_time
from bot.when.neighbours import CHANGES, LEADS
from bot.when.parts import (
    Clock,
    Day,
    Feast,
    Filler,
    Lasting,
    Mark,
    NotADateError,
    Part,
    Repeat,
    Setting,
    Span,
    Sure,
    Times,
    Vague,
    When,
    WhenError,
)
from bot.when.reading import MOST_WORDS, most_words, parse, plain, read
from bot.when.sentence import UNTIMED, Sentence
from bot.when.words import Order

BAR = "|"
NAME_WORDS = 3  # after so many at the most a date may stand in "ask ANA in 2 days ..."
LOOK_AHEAD = 4
SAY_BAR = "say it as when | what"


@dataclass(frozen=True, slots=True)
class Found:
    """A date phrase in a line.

    Attributes:
        when: what it says.
        phrase: its words as typed.
        rest: the other words as typed, in order.
        before: those of them that stand before the phrase, where it was looked for after a name.
    """

    when: When
    phrase: str
    rest: str
    before: str = ""


@dataclass(frozen=True, slots=True)
class Named:
    """A day and a time of day as they name something that is there.

    Attributes:
        weekday: the day was said by its name alone.
        part: a part of the day was said, and no time in it.
    """

    day: date | None = None
    clock: time | None = None
    weekday: bool = False
    part: bool = False


@dataclass(frozen=True, slots=True)
class Finder:
    """Looks for dates in lines typed at one moment.

    Attributes:
        now: this moment where she is, with its zone.
        order: of day and month in figures.
        untimed: the time of day where none is said.
    """

    now: datetime
    order: Order = Order.DAY_FIRST
    untimed: time = UNTIMED

    def read(self, text: str) -> When:
        """The whole text as a date phrase; see `bot.when.reading.read`."""
        return read(text, self.now, self.order, self.untimed)

    def tells(self, text: str) -> bool:
        """Whether all of the text is a piece of a date phrase, clear or not, and no other word."""
        pieces = self._pieces(text.split())
        if not pieces or isinstance(pieces[-1], Filler | Mark):
            return False
        return any(
            not isinstance(each, Filler | Mark | Part)
            and not (isinstance(each, Vague) and each.weak and len(pieces) == 1)
            for each in pieces
        )

    def named(self, text: str) -> "Named":
        """The day and the time of day in the text, which need not be to come.

        Raises:
            NotADateError: a word of it is neither.
            WhenError: one of them is unclear or can't be.
        """
        text, at = plain(text), Setting(self.now.replace(tzinfo=None), self.order)
        sentence = Sentence(text, parse(text, at), at, self.untimed, self.now)
        day, clock = sentence.named()
        part = sentence.part is not None and clock is None
        return Named(day.day if day else None, clock, bool(day and day.weekday), part)

    def clock(self, text: str, *, sure: bool = False) -> time:
        """The time of day that the text is; where it should be sure, "7:00" is asked about.

        Raises:
            NotADateError, WhenError: it is none, or could be two.
        """
        text, at = plain(text), Setting(self.now.replace(tzinfo=None), self.order)
        pieces = [each for each in parse(text, at) if not isinstance(each.piece, Filler)]
        one = pieces[0].piece if len(pieces) == 1 else None
        if isinstance(one, Clock) and one.sure is Sure.PLAIN and not sure:
            return time(one.hour, one.minute)
        if one is Part.MIDNIGHT:
            return time(0)
        if not isinstance(one, Clock | Vague):
            raise NotADateError
        day, clock = Sentence(text, pieces, at, self.untimed, self.now).named()
        if clock is None or day:
            raise NotADateError
        return clock

    def find(self, line: str) -> Found | None:
        """The date of a line: before a bar, at its head, at its tail; None where there is none.

        Raises:
            WhenError: there is one, and it is unclear or can't be.
        """
        before, bar, after = line.partition(BAR)
        if bar:
            try:
                return Found(self.read(before), before.strip(), after.strip())
            except WhenError as why:
                raise why.inside("", f"{BAR} {after}") from None
            except NotADateError:
                raise WhenError("when is that? Say it like tue 18:00") from None
        return self.head(line.split()) or self.tail(line.split())

    def head(self, words: Sequence[str]) -> Found | None:
        """The longest date phrase that the words begin with.

        Raises:
            WhenError: there is one, and it is unclear or can't be.
        """
        for number in range(min(most_words(plain(_said(words), loose=True)), MOST_WORDS), 0, -1):
            when = self._loose(words[:number], after=words[number:])
            if when is None:
                continue
            self._check_after(when, words[number:])
            found = Found(when, _said(words[:number]), _said(words[number:]))
            return _timed(self._with_clock(found), "", found.rest)
        return None

    def tail(self, words: Sequence[str]) -> Found | None:
        """The longest date phrase that the words end with; none of a weak shape.

        Raises:
            WhenError: there is one, and it is unclear or can't be.
        """
        for start in range(max(0, len(words) - MOST_WORDS), len(words)):
            when = self._loose(words[start:], before=words[:start])
            if when is None or when.weak:
                continue
            self._check_before(words[:start])
            if not when.timed and self._holds(words[:start], Clock):
                raise WhenError(f"two times? {SAY_BAR}")
            before = _said(words[:start])
            return _timed(Found(when, _said(words[start:]), before), before, "")
        return None

    def after_name(self, words: Sequence[str]) -> Found | None:
        """The date phrase after a name at the beginning, as in "ANA in 2 days about the knee".

        Raises:
            WhenError: there is one, and it is unclear or can't be.
        """
        for start in range(1, min(len(words), NAME_WORDS + 1)):
            try:
                found = self.head(words[start:])
            except WhenError as why:
                raise why.inside(_said(words[:start]), "") from None
            if found is None or found.when.weak:
                continue
            self._check_before(words[:start])
            name = _said(words[:start])
            return Found(found.when, found.phrase, f"{name} {found.rest}".strip(), name)
        return None

    def _loose(
        self, words: Sequence[str], before: Sequence[str] = (), after: Sequence[str] = ()
    ) -> When | None:
        text = _said(words)
        if text.isdecimal():
            return None
        try:
            return read(text, self.now, self.order, self.untimed, loose=True)
        except NotADateError:
            return None
        except WhenError as why:
            raise why.inside(_said(before), _said(after)) from None

    def _check_after(self, when: When, rest: Sequence[str]) -> None:
        """Ask where the next words are a date as well."""
        joined = bool(rest) and rest[0].casefold() in LEADS
        following = rest[1:] if joined else rest
        for number in range(1, min(LOOK_AHEAD, len(following)) + 1):
            pieces = self._pieces(following[:number])
            if any(_matters(each, joined=joined, timed=when.timed) for each in pieces):
                raise WhenError(f"two dates? {SAY_BAR}")

    def _check_before(self, rest: Sequence[str]) -> None:
        word = rest[-1].casefold().strip(",") if rest else ""
        small = word.isdecimal() and int(word) <= 31
        if word in CHANGES or small:
            raise WhenError(f"is {word} part of the date? {SAY_BAR}")

    def _with_clock(self, found: Found) -> Found:
        """Its time of day from the end of the line: "tomorrow call ANA at 9:00"."""
        words = found.rest.split()
        if found.when.weak and self._holds(words, Day):
            raise WhenError(f"two dates? {SAY_BAR}")
        if found.when.timed:
            return found
        for start in range(len(words)):
            end = words[start:]
            pieces = [] if _said(end).isdecimal() else self._pieces(end)
            if pieces and all(isinstance(each, Clock | Part | Filler) for each in pieces):
                self._check_before(words[:start])
                return self._joined(found, words[:start], end)
            if (other := self._loose(end, [found.phrase, *words[:start]])) and not other.weak:
                raise WhenError(f"two dates? {SAY_BAR}")
        if self._holds(words, Clock):
            raise WhenError(f"which time belongs to the date? {SAY_BAR}")
        return found

    def _joined(self, found: Found, between: Sequence[str], clock: Sequence[str]) -> Found:
        phrase = f"{found.phrase} {_said(clock)}"
        try:
            return Found(self.read(phrase), phrase, _said(between))
        except WhenError as why:
            raise why.inside("", _said(between)) from None

    def _holds(self, words: Sequence[str], kind: type[Clock | Day]) -> bool:
        """Whether a date, or a time of day that is more than a bare number, is in the words."""
        return any(
            isinstance(each, kind) and not (isinstance(each, Clock) and each.sure is Sure.BARE)
            for start in range(len(words))
            for number in (1, 2)
            for each in self._pieces(words[start : start + number])
        )

    def _pieces(self, words: Sequence[str]) -> list[object]:
        try:
            at = Setting(self.now.replace(tzinfo=None), self.order, loose=True)
            return [each.piece for each in parse(plain(_said(words), loose=True), at)]
        except NotADateError:
            return []
        except WhenError:
            return [Vague("it can't be")]


def _matters(piece: object, *, joined: bool, timed: bool) -> bool:
    """Whether the piece, right after a date, makes another date of it."""
    match piece:
        case Clock(sure=Sure.BARE):
            return joined and not timed
        case Vague(weak=True) | Day(weak=True):
            return joined
        case Clock() | Day() | Feast() | Repeat() | Times() | Lasting() | Span() | Part() | Vague():
            return True
        case Mark() | _:
            return False


def _timed(found: Found, before: str, after: str) -> Found:
    """The same, where it says a time of day or falls on one day only.

    Raises:
        WhenError: it recurs, and at which time is open.
    """
    if found.when.rule and found.when.open_time:
        raise which_time(found.phrase).inside(before, after)
    return found


def _said(words: Sequence[str]) -> str:
    return " ".join(words)
