"""Commands about help, first contact and habits."""

from dataclasses import dataclass

from core.apparatus import ApparatusId


@dataclass(frozen=True, slots=True)
class Help:
    """Say what can be asked, or how one command goes."""

    topic: str = ""


@dataclass(frozen=True, slots=True)
class Hello:
    """First contact, or once more from the start; the channel's /start, with a code perhaps."""

    code: str = ""


@dataclass(frozen=True, slots=True)
class SetZone:
    """Keep the time zone she lives in; `first` goes on with first contact.

    Attributes:
        move: what is in the diary goes by the new clock, too, at the same times of day.
    """

    zone: str
    first: bool = False
    move: bool = False


@dataclass(frozen=True, slots=True)
class SetDates:
    """Keep whether 3/4 begins with the day or the month; None asks how it is."""

    month_first: bool | None = None


@dataclass(frozen=True, slots=True)
class SetHabit:
    """Keep what she usually asks for."""

    minutes: int | None = None
    apparatus: tuple[ApparatusId, ...] = ()
