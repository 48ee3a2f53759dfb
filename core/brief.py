"""What is asked of a class, before there is a plan."""

from dataclasses import dataclass
from datetime import datetime

from core.apparatus import ApparatusId
from core.errors import CoreError
from core.exercise import (
    Demand,
    Direction,
    Exercise,
    ExerciseId,
    Level,
    Muscle,
    Position,
    Theme,
)

SHORTEST, LONGEST = 15, 120  # minutes; from a short express class to a long workshop (house choice)
USUAL_PEOPLE = 4  # a group when nothing is said (house choice)
MOST_PEOPLE = 12  # a small group has 2 to 12 (common practice, no source)


class BriefError(CoreError):
    """The class can't be asked for like that."""


@dataclass(frozen=True, slots=True)
class Aim:
    """A focus: what gets more weight than the rest."""

    name: str
    themes: frozenset[Theme] = frozenset()
    muscles: frozenset[Muscle] = frozenset()
    directions: frozenset[Direction] = frozenset()


@dataclass(frozen=True, slots=True)
class Bar:
    """Something the class is to do without.

    Attributes:
        themes, muscles: barred where they are the main thing, not where they help.
        movements: ids or families.
    """

    name: str
    demands: frozenset[Demand] = frozenset()
    positions: frozenset[Position] = frozenset()
    movements: frozenset[str] = frozenset()
    themes: frozenset[Theme] = frozenset()
    muscles: frozenset[Muscle] = frozenset()

    def rules_out(self, e: Exercise) -> bool:
        """Whether the class does without this exercise because of it."""
        return bool(
            self.demands & e.demands
            or e.position in self.positions
            or {e.id, e.family} & self.movements
            or e.themes[0] in self.themes
            or e.primary in self.muscles
        )


@dataclass(frozen=True, slots=True)
class ClassBrief:
    """A class asked for.

    Attributes:
        level: None means a mixed group: fundamental and intermediate work, options for each.
        must: exercises that have to be there.
        dropped: exercises she took out; they don't come back by themselves.
        people: how many take part; more people make every change slower.
        group: who the class is for, as the instructor calls them; may be empty.
        starts: local wall time without a zone, or None when the class has no date yet.
    """

    minutes: int
    apparatus: tuple[ApparatusId, ...]
    level: Level | None = None
    focus: tuple[Aim, ...] = ()
    without: tuple[Bar, ...] = ()
    must: tuple[ExerciseId, ...] = ()
    dropped: tuple[ExerciseId, ...] = ()
    people: int = USUAL_PEOPLE
    group: str = ""
    starts: datetime | None = None

    def __post_init__(self) -> None:
        if not SHORTEST <= self.minutes <= LONGEST:
            raise BriefError(f"a class lasts {SHORTEST} to {LONGEST} minutes, not {self.minutes}")
        if not self.apparatus:
            raise BriefError("a class needs an apparatus")
        if not 1 <= self.people <= MOST_PEOPLE:
            raise BriefError(f"a class has 1 to {MOST_PEOPLE} people, not {self.people}")

    @property
    def slot_s(self) -> int:
        """The slot in seconds."""
        return self.minutes * 60

    @property
    def top_level(self) -> Level:
        """The highest level an exercise of the class may have."""
        return self.level or Level.INTERMEDIATE
