"""Springs of a sequence are chosen as well as trying everything would choose them."""

import itertools
from collections.abc import Sequence
from random import Random

import pytest

from core.apparatus import SpringSetting
from core.exercise import Exercise, Load
from core.planner.choice import Choice, settings_of
from core.planner.springs import choose
from core.planner.weights import NOT_USUAL, SPRING_CHANGE
from core.repertoire import shipped

ALL = shipped().apparatus
SPRUNG = [e for e in shipped().exercises.values() if e.springs]
CHAIR = [e for e in SPRUNG if e.apparatus == "chair"]
EITHER_WAY = (Load.RESIST, Load.ASSIST)


def allowed(e: Exercise) -> list[SpringSetting]:
    """The settings that an exercise may take."""
    if e.springs is None:
        return [SpringSetting()]
    if e.load not in EITHER_WAY:
        return [e.springs.usual]
    return [e.springs.usual, e.springs.easier, e.springs.harder]


def price(exercises: Sequence[Exercise], settings: Sequence[SpringSetting]) -> int:
    """Points of departures from the usual, and of springs moved on one apparatus."""
    points = 0
    for e, setting in zip(exercises, settings, strict=True):
        points += NOT_USUAL * (e.springs is not None and setting != e.springs.usual)
    pairs = itertools.pairwise(zip(exercises, settings, strict=True))
    for (a, before), (b, after) in pairs:
        if a.apparatus == b.apparatus:
            points += SPRING_CHANGE * ALL[b.apparatus].changes(before, after)
    return points


def chosen(*exercises: Exercise) -> tuple[SpringSetting, ...]:
    """What is chosen for these exercises, one after another."""
    return choose([Choice(e, 1, e.reps.low, settings_of(e)) for e in exercises], ALL)


@pytest.mark.parametrize("seed", range(40))
def test_no_other_choice_is_cheaper(seed: int) -> None:
    random = Random(seed)
    pool = CHAIR if seed % 2 else [*SPRUNG, *shipped().exercises.values()]
    exercises = random.sample(pool, random.randint(1, 6))
    taken = chosen(*exercises)
    every = itertools.product(*(allowed(e) for e in exercises))
    assert price(exercises, taken) == min(price(exercises, settings) for settings in every)
    assert all(setting in allowed(e) for e, setting in zip(exercises, taken, strict=True))


def test_without_a_reason_the_usual_setting_is_taken() -> None:
    for e in CHAIR:
        assert e.springs
        assert chosen(e) == (e.springs.usual,)


def test_a_setting_that_is_fixed_is_kept() -> None:
    e = shipped()["chair-pike"]
    fixed = (ALL[e.apparatus].parse("4+4"),)
    assert choose([Choice(e, 1, 4, settings_of(e)), Choice(e, 1, 4, fixed)], ALL)[1:] == fixed


def test_nothing_needs_no_springs() -> None:
    assert chosen() == ()
    mat = shipped()["mat-hundred"]
    assert chosen(mat, mat) == (SpringSetting(), SpringSetting())
