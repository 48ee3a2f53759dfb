"""Commands about the diary and about reminders."""

from dataclasses import dataclass
from datetime import date, datetime, time

from core.apparatus import ApparatusId


@dataclass(frozen=True, slots=True)
class AddClass:
    """Put a class into the diary.

    Attributes:
        line: as typed, for completing it.
        start: local wall time of the first lesson.
        rule: how it comes again, an RFC 5545 rule; None for once.
        who: a group or people, as typed.
        named: whether "for" stood before it, so that it may be a new name.
        alone: whether it was called private.
    """

    line: str
    start: datetime
    rule: str | None = None
    minutes: int | None = None
    apparatus: tuple[ApparatusId, ...] = ()
    who: str = ""
    named: bool = False
    alone: bool = False
    place: str = ""


@dataclass(frozen=True, slots=True)
class Which:
    """Which lesson is meant: by the number of its class, its day, its time, or who it is for."""

    number: int | None = None
    day: date | None = None
    clock: time | None = None
    who: str = ""


@dataclass(frozen=True, slots=True)
class ListDiary:
    """List the classes in the diary, or show one of them."""

    number: int | None = None


@dataclass(frozen=True, slots=True)
class ShowWeek:
    """Show the week that a day is in; this week without one."""

    day: date | None = None


@dataclass(frozen=True, slots=True)
class CancelClass:
    """Call a lesson off; `scope` is "one", "all" (from that day on), or empty to be asked."""

    which: Which
    scope: str = ""


@dataclass(frozen=True, slots=True)
class MoveClass:
    """Move a lesson to another day, another time, or both; `scope` as in CancelClass.

    Attributes:
        weekday: Monday 0; the day is then the nearest of that name to the lesson, not to today.
    """

    which: Which
    day: date | None = None
    clock: time | None = None
    scope: str = ""
    weekday: int | None = None


@dataclass(frozen=True, slots=True)
class GoAway:
    """Keep a holiday."""

    first: date
    last: date


@dataclass(frozen=True, slots=True)
class ListAway:
    """List the holidays; `back` is the number of one that is off after all."""

    back: int | None = None


@dataclass(frozen=True, slots=True)
class Remind:
    """Keep a reminder of her own."""

    start: datetime
    text: str
    rule: str | None = None


@dataclass(frozen=True, slots=True)
class AskLater:
    """Keep a question about somebody: the name to the letter, and what to ask."""

    typed: str
    start: datetime
    text: str
    rule: str | None = None


@dataclass(frozen=True, slots=True)
class ListReminders:
    """List what is to be said."""


@dataclass(frozen=True, slots=True)
class Done:
    """That is done, and need not be said again."""

    number: int


@dataclass(frozen=True, slots=True)
class Later:
    """Say it again later; without a time, ask when."""

    number: int
    start: datetime | None = None


@dataclass(frozen=True, slots=True)
class Pause:
    """Say nothing until she says so, or leave one reminder out."""

    number: int | None = None


@dataclass(frozen=True, slots=True)
class Resume:
    """Go on saying."""

    number: int | None = None


@dataclass(frozen=True, slots=True)
class SetQuiet:
    """Say nothing between two times of day; None for no such hours."""

    hours: tuple[time, time] | None = None


@dataclass(frozen=True, slots=True)
class SetDigest:
    """Say each evening at this time what tomorrow needs; None for never."""

    clock: time | None = None


@dataclass(frozen=True, slots=True)
class ShowDigest:
    """Say now what tomorrow needs."""


@dataclass(frozen=True, slots=True)
class SetLead:
    """Announce each class so many minutes before; None for not at all."""

    minutes: int | None = None


@dataclass(frozen=True, slots=True)
class ShowRhythm:
    """Say when she hears something by itself."""


@dataclass(frozen=True, slots=True)
class SendCalendar:
    """Give the diary out as a calendar file; with names of clients where she asks for them."""

    names: bool = False


@dataclass(frozen=True, slots=True)
class ImportCalendar:
    """Show what is in a calendar file; without its text, say how."""

    text: str = ""


DiaryCommand = (
    AddClass
    | ListDiary
    | ShowWeek
    | CancelClass
    | MoveClass
    | GoAway
    | ListAway
    | Remind
    | AskLater
    | ListReminders
    | Done
    | Later
    | Pause
    | Resume
    | SetQuiet
    | SetDigest
    | ShowDigest
    | SetLead
    | ShowRhythm
    | SendCalendar
    | ImportCalendar
)
