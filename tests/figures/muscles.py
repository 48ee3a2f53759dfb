"""Primary muscle groups of our records on the data set's 17 tags, for muscles.toml."""

from collections.abc import Mapping

from core.exercise import Muscle
from core.repertoire import shipped
from tests.figures.figure import Computation, Figure

# Ours that the data set lacks: obliques belong to its abdominals, the others to none of its tags.
OURS: Mapping[Muscle, str | None] = {
    Muscle.OBLIQUES: "abdominals",
    Muscle.HIP_FLEXORS: None,
    Muscle.PELVIC_FLOOR: None,
    Muscle.FEET: None,
}


def primary_groups(figure: Figure) -> list[str]:
    """The different primary groups of the exercises, as the data set names them."""
    primary = [shipped()[each].primary for each in figure.given["exercises"]]
    return sorted({str(OURS.get(muscle, muscle.value)) for muscle in primary})


MOVES = (
    "push-up",
    "plank",
    "side-plank",
    "bridge",
    "squat",
    "calf-raise",
    "row",
    "dip",
    "prone-extension",
    "curl",
)
COMPUTED: dict[str, Computation] = {f"muscle-{move}": primary_groups for move in MOVES}
