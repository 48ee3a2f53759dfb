"""The class of class_time.toml on the default clock, usual repetitions throughout."""

import tomllib
from itertools import pairwise

from core.apparatus import ApparatusId
from core.brief import ClassBrief
from core.exercise import Phase
from core.plan import Item, Step
from core.repertoire import shipped
from core.timing import Pace, closing_s, timeline
from tests.figures.figure import FOLDER, Computation, Figure

CHAIR = ApparatusId("chair")


def brief(figure: Figure) -> ClassBrief:
    """A mixed group on chairs."""
    return ClassBrief(figure.given["slot_min"], (CHAIR,))


def items(figure: Figure) -> tuple[Item, ...]:
    """The class written down, timed."""
    table = tomllib.loads((FOLDER / "class_time.toml").read_text(encoding="utf-8"))
    library = shipped()
    steps = [
        Step(
            e := library[row["exercise"]],
            Phase(row["phase"]),
            library.apparatus[CHAIR].parse(row["springs"]),
            e.reps.usual,
        )
        for row in table["class"]
    ]
    return timeline(steps, brief(figure), library.apparatus, Pace())


def minutes(figure: Figure) -> float:
    """From the first word to the last."""
    return (items(figure)[-1].end_s + closing_s(brief(figure))) / 60


def spring_changes(figure: Figure) -> int:
    """How often the springs are changed during the class."""
    settings = [item.step.springs for item in items(figure)]
    return sum(before != after for before, after in pairwise(settings))


def exercises(figure: Figure) -> int:
    """How many exercises it has."""
    return len(items(figure))


COMPUTED: dict[str, Computation] = {
    "chair-class-minutes": minutes,
    "chair-class-changes": spring_changes,
    "chair-class-exercises": exercises,
}
