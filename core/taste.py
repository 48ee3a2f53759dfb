"""What an instructor likes, as far as her edits say so: a few points an exercise, never a rule.

What she swaps out or drops loses points a minute in later plans, what she adds or keeps gains some.
Both are bounded by less than what a minute of ordinary work is worth, and nothing a class must have
or must not have depends on them: they only choose among plans that are sound.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from core.exercise import ExerciseId


class Act(StrEnum):
    """What she did with an exercise in a plan."""

    ADDED = "added"
    KEPT = "kept"
    SWAPPED = "swapped out"
    DROPPED = "dropped"


WEIGHT: Mapping[Act, int] = {Act.ADDED: 2, Act.KEPT: 1, Act.SWAPPED: -4, Act.DROPPED: -4}
MOST = 8  # points a minute either way; a minute of work is worth ten (house choices)

Counts = Mapping[ExerciseId, Mapping[Act, int]]


@dataclass(frozen=True, slots=True)
class Taste:
    """How often she did what with which exercise; without any, plans are as they always were."""

    counts: tuple[tuple[ExerciseId, tuple[tuple[Act, int], ...]], ...] = ()

    @classmethod
    def of(cls, counts: Counts) -> "Taste":
        """The taste of these counts."""
        return cls(
            tuple((e, tuple(sorted(acts.items()))) for e, acts in sorted(counts.items()) if acts)
        )

    def points(self, exercise_id: ExerciseId) -> int:
        """Points a minute that an exercise gains or loses."""
        acts = dict(self.counts).get(exercise_id, ())
        return max(-MOST, min(MOST, sum(WEIGHT[act] * n for act, n in acts)))

    def all_points(self) -> dict[ExerciseId, int]:
        """Points of every exercise that has any, the most liked first."""
        found = {e: self.points(e) for e, _ in self.counts}
        return {e: p for e, p in sorted(found.items(), key=lambda each: -each[1]) if p}

    def after(self, act: Act, exercise_id: ExerciseId) -> "Taste":
        """The taste once she has done this."""
        counts = {e: dict(acts) for e, acts in self.counts}
        acts = counts.setdefault(exercise_id, {})
        acts[act] = acts.get(act, 0) + 1
        return Taste.of(counts)
