"""Commands about classes: making, showing, changing, keeping them."""

from dataclasses import dataclass
from datetime import date, datetime

from core.apparatus import ApparatusId
from core.brief import Aim, Bar
from core.exercise import ExerciseId, Level


@dataclass(frozen=True, slots=True)
class MakePlan:
    """Plan a class; what is left out comes from habit or is asked.

    Attributes:
        level: the level asked for; None with `level_said` is a mixed group, said in so many words.
        line: what was typed, so that a question can be answered by adding a word.
        day: when a day was said and no time of day; `starts` is None then.
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
    day: date | None = None
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
class Wish:
    """One edit as it was typed; what it means depends on the plan it is about.

    Attributes:
        verb: drop, swap, add, move, reps, springs, easier, harder, keep, unkeep, fit, late.
        n: the place, or the minutes of fit and late.
        other: the second number: where to, after which, how many.
        typed: an exercise's name, or springs.
    """

    verb: str
    n: int = 0
    other: int | None = None
    typed: str = ""


@dataclass(frozen=True, slots=True)
class EditPlan:
    """Change the plan: all the wishes together or none of them.

    Attributes:
        insist: she has been told whose caution stands against it, and wants it all the same.
        line: what was typed, without "insist".
    """

    wishes: tuple[Wish, ...]
    plan: int | None = None
    insist: bool = False
    line: str = ""


@dataclass(frozen=True, slots=True)
class Refit:
    """Change the plan until it suits everybody in it as they are today."""

    plan: int | None = None


@dataclass(frozen=True, slots=True)
class Undo:
    """Go back to the class before the last change, or forward again."""

    forward: bool = False


@dataclass(frozen=True, slots=True)
class SaveClass:
    """Keep the class under a name; `copy` makes it a class of its own first."""

    name: str
    copy: bool = False


@dataclass(frozen=True, slots=True)
class OpenClass:
    """Go on with a kept class."""

    name: str


@dataclass(frozen=True, slots=True)
class RetireClass:
    """Put a kept class away."""

    name: str


@dataclass(frozen=True, slots=True)
class ListClasses:
    """List the kept classes."""


@dataclass(frozen=True, slots=True)
class Compare:
    """Hold the class against another: a kept one by name, or a plan by number."""

    name: str = ""
    plan: int | None = None


@dataclass(frozen=True, slots=True)
class MakeSeries:
    """Plan a class for each of several weeks, each going on from the one before."""

    weeks: int
    brief: MakePlan


@dataclass(frozen=True, slots=True)
class Paste:
    """Read somebody's class from free text, one exercise a line."""

    lines: tuple[str, ...]
    brief: MakePlan


@dataclass(frozen=True, slots=True)
class PasteLine:
    """Say which exercise a line of a pasted class is, or that it is none."""

    line: int
    typed: str
