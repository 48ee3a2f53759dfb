"""What an earlier plan had, for a new one that is to stay near it."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from core.exercise import ExerciseId
from core.plan import Step


@dataclass(frozen=True, slots=True)
class Kept:
    """The steps of an earlier plan, or of one that has just been edited."""

    steps: tuple[Step, ...] = ()
    _by_id: dict[ExerciseId, Step] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "_by_id", {s.exercise.id: s for s in self.steps})

    def step(self, exercise_id: ExerciseId) -> Step | None:
        """The step of this exercise, or None."""
        return self._by_id.get(exercise_id)

    def pinned(self) -> frozenset[ExerciseId]:
        """What has to be in the new plan too: whatever she has fixed something about."""
        return frozenset(s.exercise.id for s in self.steps if s.pins)

    def pairs(self) -> Sequence[tuple[ExerciseId, ExerciseId]]:
        """Neighbours, in order."""
        return [(a.exercise.id, b.exercise.id) for a, b in pairwise(self.steps)]
