"""A class as it can be taught: items in order, each with its time, springs and repetitions."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from itertools import groupby

from core.apparatus import SpringSetting
from core.brief import ClassBrief
from core.exercise import Exercise, Phase


class Weight(StrEnum):
    """How much a finding weighs."""

    FAULT = "fault"  # a hard rule is broken: such a plan is never shown
    NOTE = "note"  # worth knowing; the plan stands


@dataclass(frozen=True, slots=True)
class Finding:
    """What a rule says of a plan.

    Attributes:
        rule: the rule's name.
        facts: what the sentence needs, in the order the rule documents.
        place: the number of the item it is about, or None for the whole plan.
    """

    rule: str
    weight: Weight
    facts: tuple[str, ...] = ()
    place: int | None = None


class Pin(StrEnum):
    """What the instructor has fixed about a place; no later change touches it."""

    PLACE = "place"  # it stays, in its phase, with its repetitions
    REPS = "reps"
    SPRINGS = "springs"
    INSISTED = "insisted"  # against somebody's caution, after she was told who and why


@dataclass(frozen=True, slots=True)
class Step:
    """One choice of a plan, before it is timed."""

    exercise: Exercise
    phase: Phase
    springs: SpringSetting
    reps: int
    sets: int = 1
    pins: frozenset[Pin] = frozenset()


@dataclass(frozen=True, slots=True)
class Item:
    """A step at its place on the clock; all times in whole seconds from the start of the slot.

    `start_s` is when the set-up begins; the transition has been made by then.
    """

    n: int
    step: Step
    start_s: int
    transition_s: int
    setup_s: int
    duration_s: int

    @property
    def end_s(self) -> int:
        """When its last repetition is done."""
        return self.start_s + self.setup_s + self.duration_s


@dataclass(frozen=True, slots=True)
class Search:
    """How a plan was found; the same seed and iterations give the same plan."""

    seed: int
    iterations: int
    objective: int
    elapsed_ms: int


@dataclass(frozen=True, slots=True)
class ClassPlan:
    """A timed plan: `items` in teaching order, their phases never going back."""

    brief: ClassBrief
    items: tuple[Item, ...]
    opening_s: int
    closing_s: int
    findings: tuple[Finding, ...]
    search: Search

    @property
    def total_s(self) -> int:
        """Planned seconds, opening and closing talk included."""
        return (self.items[-1].end_s if self.items else self.opening_s) + self.closing_s

    @property
    def steps(self) -> tuple[Step, ...]:
        """The choices alone."""
        return tuple(item.step for item in self.items)

    def sections(self) -> Iterator[tuple[Phase, tuple[Item, ...]]]:
        """Each phase with its items, in order."""
        for phase, items in groupby(self.items, key=lambda item: item.step.phase):
            yield phase, tuple(items)
