"""The typed commands: what a message can ask for, once it has been understood."""

from dataclasses import dataclass
from datetime import datetime

from core.apparatus import ApparatusId
from core.brief import Aim, Bar
from core.exercise import ExerciseId, Level


@dataclass(frozen=True, slots=True)
class MakePlan:
    """Plan a class; what is left out comes from habit or is asked.

    Attributes:
        level: the level asked for; None with `level_said` is a mixed group, said in so many words.
        line: what was typed, so that a question can be answered by adding a word.
        read_as: words taken for a slip of the finger, and what each was read as.
    """

    line: str
    minutes: int | None = None
    apparatus: tuple[ApparatusId, ...] = ()
    level: Level | None = None
    level_said: bool = False
    focus: tuple[Aim, ...] = ()
    without: tuple[Bar, ...] = ()
    must: tuple[ExerciseId, ...] = ()
    people: int | None = None
    group: str = ""
    starts: datetime | None = None
    read_as: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Another:
    """Plan the same brief again, differently."""

    plan: int | None = None


@dataclass(frozen=True, slots=True)
class Show:
    """Show the plan, or one place of it."""

    place: int | None = None
    plan: int | None = None


@dataclass(frozen=True, slots=True)
class Why:
    """Explain the plan, or one place of it."""

    place: int | None = None
    plan: int | None = None


@dataclass(frozen=True, slots=True)
class LookUp:
    """Show one exercise of the library."""

    typed: str


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
    """Keep the time zone she lives in; `first` goes on with first contact."""

    zone: str
    first: bool = False


@dataclass(frozen=True, slots=True)
class SetHabit:
    """Keep what she usually asks for."""

    minutes: int | None = None
    apparatus: tuple[ApparatusId, ...] = ()


Command = MakePlan | Another | Show | Why | LookUp | Help | Hello | SetZone | SetHabit

# What a message may begin with -> the name help knows it by.
WORDS: dict[str, str] = {
    "plan": "plan",
    "class": "plan",
    "another": "another",
    "again": "another",
    "show": "show",
    "why": "why",
    "exercise": "exercise",
    "help": "help",
    "start": "start",
    "hello": "start",
    "hi": "start",
    "zone": "zone",
    "usual": "usual",
}
NAMES = tuple(dict.fromkeys(WORDS.values()))
