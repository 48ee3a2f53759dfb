"""Seconds that follow from breathing, for breathing.toml."""

from core.exercise import Tempo
from core.repertoire import shipped
from core.timing import BREATH_S, Clock, duration_s, rep_s
from tests.figures.figure import Computation, Figure

DEFAULT = Clock(work=1.0, change=1.0)


def breath_period(figure: Figure) -> dict[str, float]:
    """Seconds of a one-breath repetition when the pace is set to each rate."""
    one = shipped()["mat-double-leg-stretch"]
    assert one.tempo == Tempo(breaths=1)
    usual = 60 / BREATH_S
    return {rate: rep_s(one, Clock(usual / int(rate), 1.0)) for rate in figure.value}


def default_rate(_: Figure) -> float:
    """Breaths a minute of the default clock."""
    return 60 / BREATH_S


def breaths_a_repetition(figure: Figure) -> dict[str, float | None]:
    """Breaths the library gives each exercise."""
    return {each: shipped()[each].tempo.breaths for each in figure.value}


def six_repetitions(figure: Figure) -> dict[str, int]:
    """Seconds of six repetitions on the default clock."""
    return {each: duration_s(shipped()[each], 6, 1, DEFAULT) for each in figure.value}


def hundred_beats(_: Figure) -> list[float]:
    """Breaths of the whole hundred and its seconds on the default clock."""
    hundred = shipped()["mat-hundred"]
    breaths = hundred.reps.usual * (hundred.tempo.breaths or 0)
    return [breaths, duration_s(hundred, hundred.reps.usual, 1, DEFAULT)]


def counted_repetitions(_: Figure) -> list[str]:
    """Exercises whose counted repetition is shorter or longer than training studies used."""
    return [
        e.id
        for e in shipped().exercises.values()
        if e.tempo.seconds is not None and not 0.5 <= e.tempo.seconds <= 10
    ]


COMPUTED: dict[str, Computation] = {
    "breath-period": breath_period,
    "default-rate": default_rate,
    "breaths-a-repetition": breaths_a_repetition,
    "six-repetitions": six_repetitions,
    "hundred-beats": hundred_beats,
    "counted-repetitions": counted_repetitions,
}
