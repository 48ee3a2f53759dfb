"""Six weeks of classes: each known, each new, each a step further and never two."""

from functools import lru_cache
from itertools import combinations, pairwise

import pytest

from core.exercise import Direction, Level
from core.plan import ClassPlan, Weight
from core.planner.request import NoPlan, Request
from core.repertoire import shipped
from core.rules import check
from core.series import weeks
from tests.composed import QUICK, asked
from tests.edits import ids

BRIEFS = {
    "chair": asked(50, ("chair",)),
    "mat": asked(45, ("mat",), level=Level.FUNDAMENTAL),
    "both, with a wish": asked(50, ("chair", "mat"), must=("chair-pike",)),
    "short": asked(30, ("mat",)),
}


@lru_cache(maxsize=8)
def six(name: str) -> tuple[ClassPlan, ...]:
    """Six weeks of a brief."""
    plans = []
    for result in weeks(Request(BRIEFS[name], shipped(), budget=QUICK), 6):
        assert not isinstance(result, NoPlan), result
        plans.append(result)
    return tuple(plans)


@pytest.fixture(params=list(BRIEFS))
def series(request: pytest.FixtureRequest) -> tuple[ClassPlan, ...]:
    """Six weeks."""
    return six(request.param)


def test_every_week_keeps_every_rule(series: tuple[ClassPlan, ...]) -> None:
    assert len(series) == 6
    for plan in series:
        assert [f.rule for f in check(plan, shipped()) if f.weight is Weight.FAULT] == []


def test_a_third_to_a_half_stays_from_week_to_week(series: tuple[ClassPlan, ...]) -> None:
    for last, plan in pairwise(series):
        share = len(set(ids(last)) & set(ids(plan))) / len(ids(last))
        assert 1 / 3 <= share <= 1 / 2


def test_no_week_repeats_another(series: tuple[ClassPlan, ...]) -> None:
    for one, other in combinations(series, 2):
        assert set(ids(one)) != set(ids(other))


def test_every_direction_is_served_every_week(series: tuple[ClassPlan, ...]) -> None:
    for plan in series:
        served = {d for s in plan.steps for d in s.exercise.directions}
        assert served == set(Direction)


def test_level_rises_by_no_more_than_one_a_week(series: tuple[ClassPlan, ...]) -> None:
    for last, plan in pairwise(series):
        assert _level(plan) - _level(last) <= 1
        assert max(s.exercise.level for s in plan.steps) <= plan.brief.top_level


def test_repetitions_of_what_stays_rise_by_one_at_most(series: tuple[ClassPlan, ...]) -> None:
    risen = stayed = 0
    for last, plan in pairwise(series):
        before = {s.exercise.id: s for s in last.steps}
        for step in plan.steps:
            old = before.get(step.exercise.id)
            if old is None:
                continue
            assert step.sets <= old.sets
            assert step.reps <= old.reps + 1
            risen += step.reps > old.reps
            stayed += old.reps < step.exercise.reps.high
    assert risen >= 0.6 * stayed


def test_the_wishes_hold_in_every_week() -> None:
    for plan in six("both, with a wish"):
        assert plan.brief == BRIEFS["both, with a wish"]
        assert "chair-pike" in ids(plan)


def test_nothing_of_a_series_is_fixed(series: tuple[ClassPlan, ...]) -> None:
    assert not any(step.pins for plan in series for step in plan.steps)


def test_a_wish_that_can_not_be_had_ends_the_series() -> None:
    brief = asked(50, ("mat",), must=("chair-pike",))
    found = list(weeks(Request(brief, shipped(), budget=QUICK), 6))
    assert len(found) == 1
    assert isinstance(found[0], NoPlan)


def _level(plan: ClassPlan) -> float:
    return sum(s.exercise.level for s in plan.steps) / len(plan.steps)
