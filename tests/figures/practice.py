"""Repetitions and limits of the library, for practice.toml."""

from core.exercise import Reps
from core.fold import fold
from core.repertoire import shipped
from tests.figures.figure import Computation, Figure


def reps(figure: Figure) -> Reps:
    """The repetitions of the exercise given."""
    return shipped()[figure.given["exercise"]].reps


def usual(figure: Figure) -> int:
    """The usual repetitions of the exercise given."""
    return reps(figure).usual


def whole_range(figure: Figure) -> list[int]:
    """The fewest and most repetitions of the exercise given."""
    return [reps(figure).low, reps(figure).high]


def sides(figure: Figure) -> int:
    """The sides of the exercise given."""
    return shipped()[figure.given["exercise"]].sides


def footwork(figure: Figure) -> list[int]:
    """The fewest and most usual repetitions over apparatus and positions of the feet."""
    g = figure.given
    each = [
        shipped()[f"{on}-footwork-{position}"].reps.usual
        for on in g["apparatus"]
        for position in g["positions"]
    ]
    return [min(each), max(each)]


def too_heavy(figure: Figure) -> list[str]:
    """The exercises whose limit is heavier than one spring at the notch given."""
    heavy: list[str] = []
    for each in figure.given["exercises"]:
        springs = shipped()[each].springs
        notches = [int(token) for token in springs.limit.tokens] if springs else []
        if len(notches) != 1 or notches[0] > figure.given["notch"]:
            heavy.append(each)
    return heavy


def hundreds_not_halved(_: Figure) -> list[str]:
    """The hundreds, preparations apart, whose range of repetitions lacks 5 or 10."""
    return [
        e.id
        for e in shipped().exercises.values()
        if "hundred" in fold(e.name).split()
        and "preparation" not in fold(e.name)
        and (e.reps.low > 5 or e.reps.high < 10)
    ]


COMPUTED: dict[str, Computation] = {
    "footwork-repetitions": footwork,
    "pike-repetitions": usual,
    "pulse-repetitions": usual,
    "hamstring-press-repetitions": usual,
    "one-arm-plank-repetitions": usual,
    "one-arm-plank-sides": sides,
    "tendon-stretch-repetitions": whole_range,
    "dip-repetitions": whole_range,
    "prone-extension-repetitions": whole_range,
    "prone-extension-springs": too_heavy,
    "hundred-halved": hundreds_not_halved,
}
