"""What the words of a date phrase say, part by part, before the parts are put together."""

from dataclasses import dataclass
from datetime import date, datetime
from enum import Enum
from typing import TypeVar

from bot.when.words import Order

T = TypeVar("T")


class WhenError(Exception):
    """The words are a date or time, but not one that can be used; the message says why.

    Attributes:
        words: how many words it is about, where they stand among others.
        readings: what may have been meant, as it would be typed in their place.
    """

    def __init__(self, why: str, words: int = 1, readings: tuple[str, ...] = ()) -> None:
        super().__init__(why)
        self.words = words
        self.readings = readings

    def inside(self, before: str, after: str) -> "WhenError":
        """The same with the words around it in every reading."""
        readings = (" ".join(f"{before} {each} {after}".split()) for each in self.readings)
        return WhenError(str(self), self.words, tuple(readings))


class WeakError(WhenError):
    """It can't be used as a date, and in a longer line it need not be one: "3/10", "2nd"."""


class NotADateError(Exception):
    """Some of the words are no date; whose words they are is for others to say."""


@dataclass(frozen=True, slots=True)
class Setting:
    """When and by whom a phrase is typed.

    Attributes:
        now: local wall time, naive.
        order: of day and month in 3/4.
        loose: the phrase stands in a longer line, so what may be another word is no date.
    """

    now: datetime
    order: Order = Order.DAY_FIRST
    loose: bool = False
    unsaid: bool = False

    @property
    def today(self) -> date:
        """The local date."""
        return self.now.date()


class Sure(Enum):
    """How much a time of day says about morning and evening."""

    BARE = "7, half past 6"
    PLAIN = "6:30"
    FULL = "18:30, 6.30pm"


@dataclass(frozen=True, slots=True)
class Clock:
    """A time of day; its hour may be one of two."""

    hour: int
    minute: int
    sure: Sure = Sure.FULL


class Part(Enum):
    """A part of the day."""

    MORNING = "morning"
    AFTERNOON = "afternoon"
    EVENING = "evening"
    NIGHT = "night"
    MIDNIGHT = "midnight"


@dataclass(frozen=True, slots=True)
class Day:
    """A date.

    Attributes:
        weekday: it was said as a bare weekday, so it may be today.
        weak: a shape that stands in other sentences too: "3/10", "the 2nd", "sat".
    """

    day: date
    weekday: bool = False
    weak: bool = False


@dataclass(frozen=True, slots=True)
class Span:
    """So many minutes from now."""

    minutes: int


@dataclass(frozen=True, slots=True)
class Repeat:
    """What recurs: the parts of an RFC 5545 rule, without its end.

    Attributes:
        loose: the rule needs a day to be one ("weekly", "monthly").
        unsaid: only days are said ("tue and thu"), not that they recur.
    """

    frequency: str
    interval: int = 1
    by: str = ""
    loose: bool = False
    unsaid: bool = False

    @property
    def text(self) -> str:
        """As an RRULE value."""
        step = f";INTERVAL={self.interval}" if self.interval > 1 else ""
        return f"FREQ={self.frequency}{step}{self.by}"


class Mark(Enum):
    """A word that says what the next day is."""

    FROM = "from"
    UNTIL = "until"


@dataclass(frozen=True, slots=True)
class Feast(Day):
    """A holiday; "until christmas" leaves open whether the day itself counts."""


@dataclass(frozen=True, slots=True)
class Times:
    """An end after so many."""

    number: int


@dataclass(frozen=True, slots=True)
class Lasting:
    """An end after so many days."""

    days: int


@dataclass(frozen=True, slots=True)
class Length:
    """How long it takes, as "6-7pm" says."""

    minutes: int


@dataclass(frozen=True, slots=True)
class Filler:
    """ "on", "at"."""


@dataclass(frozen=True, slots=True)
class Vague:
    """Words that are a date but leave too much open."""

    why: str
    readings: tuple[str, ...] = ()
    weak: bool = False


Piece = (
    Clock | Part | Day | Span | Repeat | Mark | Feast | Times | Lasting | Length | Filler | Vague
)


@dataclass(frozen=True, slots=True)
class Placed:
    """A piece and where in the phrase it stands."""

    piece: Piece
    begin: int
    end: int


@dataclass(frozen=True, slots=True)
class When:
    """A date phrase, understood.

    Attributes:
        wall: naive local time; the first, where it recurs.
        timed: whether a time of day was said; otherwise it is the usual one.
        open_time: not even a part of the day was said.
        minutes: how long it takes, where that was said.
        rule: an RFC 5545 rule, or None for once.
        dated: whether a day was said; otherwise it is the next that has the time.
        weak: the words stand in other sentences too.
    """

    wall: datetime
    timed: bool = True
    rule: str | None = None
    dated: bool = True
    weak: bool = False
    open_time: bool = False
    minutes: int | None = None


def once_only(kept: T | None, new: T, what: str) -> T:
    """The new one.

    Raises:
        WhenError: another was kept already.
    """
    if kept is not None and kept != new:
        raise WhenError(f"two of one {what}; say one")
    return new
