"""A class read line by line -> its steps: phases, springs and repetitions as far as they can be."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from core.apparatus import Apparatus, ApparatusId, SpringSetting
from core.errors import SpringError
from core.exercise import Exercise, Phase
from core.paste import Line
from core.plan import Step
from core.planner.choice import settings_of

ORDER = tuple(Phase)
SHARE = (0.14, 0.42, 0.88)  # where the phases end, as parts of the exercises (house choice)
MISPLACED, UNHEEDED = 4, 40  # points: not where it may stand; not where the heading puts it
MOST_SETS = 2


@dataclass(frozen=True, slots=True)
class Chosen:
    """A line and the exercise it is.

    Attributes:
        phase: what the heading above says, if one does.
    """

    exercise: Exercise
    line: Line
    phase: Phase | None = None

    def reps(self) -> int:
        """Repetitions, those written as far as the range of the exercise goes."""
        reps = self.exercise.reps
        return (
            reps.usual if self.line.reps is None else min(max(self.line.reps, reps.low), reps.high)
        )

    def sets(self) -> int:
        """Sets, those written as far as a class has them."""
        return min(max(self.line.sets or 1, 1), MOST_SETS)

    def springs(self, apparatus: Mapping[ApparatusId, Apparatus]) -> SpringSetting | None:
        """The springs written, None where they can't be set on this apparatus."""
        if self.line.springs is None or self.exercise.springs is None:
            return None
        try:
            return apparatus[self.exercise.apparatus].set(self.line.springs.tokens)
        except SpringError:
            return None


def steps(chosen: Sequence[Chosen], apparatus: Mapping[ApparatusId, Apparatus]) -> tuple[Step, ...]:
    """The steps of a class; phases as headings say, else by the order and what each may be in."""
    return tuple(
        Step(
            each.exercise,
            phase,
            each.springs(apparatus) or settings_of(each.exercise)[0],
            each.reps(),
            each.sets(),
        )
        for each, phase in zip(chosen, _phases(chosen), strict=True)
    )


def _phases(chosen: Sequence[Chosen]) -> list[Phase]:
    """A phase for each, never going back, near to the usual shares and to what each may be in."""
    if not chosen:
        return []
    told = any(each.phase for each in chosen)
    worth: list[list[float]] = []
    came: list[list[int]] = []
    for i, each in enumerate(chosen):
        usual = next((k for k, p in enumerate(SHARE) if (i + 0.5) / len(chosen) <= p), len(SHARE))
        row: list[float] = []
        back: list[int] = []
        for k, phase in enumerate(ORDER):
            price = MISPLACED * (phase not in each.exercise.phases) + abs(k - usual)
            if each.phase:
                price = UNHEEDED * (phase is not each.phase)
            if i == 0:
                row.append(price + (0 if told else 3 * k))
                back.append(0)
                continue
            before = min(range(k + 1), key=lambda j: (worth[-1][j], j))
            row.append(worth[-1][before] + price)
            back.append(before)
        worth.append(row)
        came.append(back)
    last = len(ORDER) - 1
    at = min(range(len(ORDER)), key=lambda k: (worth[-1][k] + (0 if told else 3 * (last - k)), k))
    picked = [at]
    for back in reversed(came[1:]):
        at = back[at]
        picked.append(at)
    return [ORDER[k] for k in reversed(picked)]
