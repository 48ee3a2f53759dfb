"""One other exercise taken out, put in or exchanged, so that an edited class is whole again."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import islice

from core.exercise import Direction, Exercise, ExerciseId, Phase
from core.lookup import likeness
from core.plan import ClassPlan, Finding, Step
from core.planner import weights as w
from core.planner.choice import settings_of
from core.planner.mend import Mender, Timed
from core.planner.model import pool_of

Holds = Callable[[Sequence[Step]], bool]
MOST_TRIED = 90  # sequences timed for each way before it is given up
IDEAS = 6  # stand-ins tried for each exercise, and for each gap
PROMISING = 8  # sequences that fit, of which the one with least change is taken


def as_usual(e: Exercise, phase: Phase) -> Step:
    """The exercise as it is usually taught."""
    return Step(e, phase, settings_of(e)[0], e.reps.usual)


@dataclass(frozen=True, slots=True)
class Whole:
    """The sequence that is to become whole, and what may change of it.

    Attributes:
        named: what she spoke of; it stays.
        holds: whether what she placed stands where she placed it.
        nearest: what is wrong with the sequence as it is.
    """

    mender: Mender
    steps: Sequence[Step]
    named: frozenset[ExerciseId]
    holds: Holds
    nearest: Sequence[Finding]

    def one_other(self) -> ClassPlan | None:
        """The plan with one more change, the least felt first; None when no single one will do."""
        if any(f.rule.startswith("series") for f in self.nearest):
            return None  # a series is broken by where something stands, not by what else is there
        for way in self._ways():
            timed: list[Timed] = []
            for other in islice(self._in_shape(way()), MOST_TRIED):
                each = self.mender.timed(other, roomy=True)
                if not each.unmet:
                    timed.append(each)
                if len(timed) == PROMISING:
                    break
            timed.sort(key=lambda each: each.changed)
            plan, _ = self.mender.first_sound(each.steps for each in timed)
            if plan:
                return plan
        return None

    def _in_shape(self, found: Iterator[list[Step]]) -> Iterator[list[Step]]:
        for other in found:
            if self.holds(other) and not self.mender.out_of_shape(other):
                yield other

    def _ways(self) -> tuple[Callable[[], Iterator[list[Step]]], ...]:
        for finding in self.nearest:
            if finding.rule == "slot":
                over = int(finding.facts[0]) > int(finding.facts[1])
                return (self._out, self._exchanged) if over else (self._in, self._exchanged)
            if finding.rule == "share":
                phase = Phase(finding.facts[0])
                over = int(finding.facts[1]) > 100 * sum(w.SHARES[phase]) / 2
                return (self._out, self._exchanged) if over else (self._in, self._exchanged)
            if finding.rule in ("direction", "preparation", "flexion-heavy"):
                return (self._in, self._exchanged, self._out)
        return (self._exchanged, self._in, self._out)

    def _loose(self) -> list[int]:
        return [
            k for k, s in enumerate(self.steps) if not s.pins and s.exercise.id not in self.named
        ]

    def _out(self) -> Iterator[list[Step]]:
        for k in self._loose():
            yield [*self.steps[:k], *self.steps[k + 1 :]]

    def _exchanged(self) -> Iterator[list[Step]]:
        free = self._free()
        loose = self._loose()
        ideas = {
            k: sorted(
                (e for e in free if self.steps[k].phase in e.phases),
                key=lambda e: (-likeness(self.steps[k].exercise, e), e.id),
            )
            for k in loose
        }
        for rank in range(IDEAS):
            for k in loose:
                if rank < len(ideas[k]):
                    new = as_usual(ideas[k][rank], self.steps[k].phase)
                    yield [*self.steps[:k], new, *self.steps[k + 1 :]]

    def _in(self) -> Iterator[list[Step]]:
        wanted = {fact for f in self.nearest for fact in f.facts}
        free = [e for e in self._free() if self._helps(e, wanted)]
        ranks = len(free) if len(free) < 2 * IDEAS else IDEAS
        ideas = [
            sorted(
                (e for e in free if step.phase in e.phases),
                key=lambda e: (-likeness(step.exercise, e), e.id),
            )[:ranks]
            for step in self.steps
        ]
        for rank in range(ranks):
            for k, step in enumerate(self.steps):
                if rank < len(ideas[k]):
                    new = as_usual(ideas[k][rank], step.phase)
                    yield [*self.steps[: k + 1], new, *self.steps[k + 1 :]]

    def _helps(self, e: Exercise, wanted: set[str]) -> bool:
        """Whether putting it in can mend what is wrong; where only time is, anything can."""
        rules = {f.rule for f in self.nearest}
        if "preparation" in rules:
            return e.id in wanted or e.family in wanted
        if "direction" in rules:
            return any(d in wanted for d in e.directions)
        if "flexion-heavy" in rules:
            return Direction.EXTENSION in e.directions
        return True

    def _free(self) -> list[Exercise]:
        """What could come in: single pieces that are no movement the class has already."""
        used = {s.exercise.family for s in self.steps}
        return [e for e in pool_of(self.mender.request) if not e.series and e.family not in used]
