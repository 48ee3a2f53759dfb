"""What a node of the problem means: an exercise with its sets and what is fixed about it."""

from dataclasses import dataclass

from core.apparatus import SpringSetting
from core.exercise import Exercise, Load
from core.plan import Pin


@dataclass(frozen=True, slots=True)
class Choice:
    """An exercise as it may stand in a class.

    Attributes:
        low: repetitions of the first of its node's times.
        settings: springs a plan may choose from, the preferred one first; the empty setting where
            there is no spring.
        pins: what the instructor has fixed about it.
    """

    exercise: Exercise
    sets: int
    low: int
    settings: tuple[SpringSetting, ...]
    pins: frozenset[Pin] = frozenset()


def settings_of(e: Exercise) -> tuple[SpringSetting, ...]:
    """Settings a plan may choose from, the usual one first; the empty one where there is none."""
    if e.springs is None:
        return (SpringSetting(),)
    if e.load is Load.STABILISE:
        return (e.springs.usual,)
    return tuple(dict.fromkeys((e.springs.usual, e.springs.easier, e.springs.harder)))
