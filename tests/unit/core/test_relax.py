"""Ways out of a wish that can't be had: each can be had, the smallest change first."""

from functools import lru_cache

import pytest

from core.brief import ClassBrief
from core.exercise import ExerciseId, Level
from core.plan import ClassPlan
from core.planner.compose import compose
from core.planner.relax import MOST_WAYS, QUICK, WayOut, ways_out
from core.planner.request import NoPlan, Request
from core.repertoire import shipped
from tests.composed import asked

PIKE = "chair-pike"
IMPOSSIBLE: dict[str, ClassBrief] = {
    "a movement and no such movement": asked(45, ("chair",), must=(PIKE,), without=("wrists",)),
    "another apparatus": asked(45, ("mat",), must=(PIKE,)),
    "two at odds": asked(45, ("mat",), must=(PIKE, "reformer-elephant")),
    "far too little left": asked(60, ("barrel",), level=Level.FUNDAMENTAL, without=("floor",)),
}


def request(brief: ClassBrief) -> Request:
    """The brief, searched briefly."""
    return Request(brief, shipped(), budget=QUICK)


@lru_cache(maxsize=8)
def ways(name: str) -> tuple[WayOut, ...]:
    """The ways out of an impossible brief, found once."""
    return ways_out(request(IMPOSSIBLE[name]))


def given_up(brief: ClassBrief, way: WayOut) -> int:
    """How many wishes differ."""
    lists = ("must", "without", "focus", "apparatus")
    count = sum(len(set(getattr(brief, n)) - set(getattr(way.brief, n))) for n in lists)
    return count + (brief.level != way.brief.level) + (brief.minutes != way.brief.minutes)


@pytest.mark.parametrize("name", IMPOSSIBLE)
def test_what_can_not_be_has_no_plan_and_a_reason(name: str) -> None:
    result = compose(request(IMPOSSIBLE[name]))
    assert isinstance(result, NoPlan)
    assert result.findings


@pytest.mark.parametrize("name", IMPOSSIBLE)
def test_each_way_out_can_be_had(name: str) -> None:
    assert len(ways(name)) <= MOST_WAYS
    for way in ways(name):
        plan = compose(request(way.brief))
        assert isinstance(plan, ClassPlan)
        assert way.given_up


@pytest.mark.parametrize("name", IMPOSSIBLE)
def test_single_wishes_are_given_up_before_pairs(name: str) -> None:
    counts = {given_up(IMPOSSIBLE[name], way) for way in ways(name)}
    assert counts in (set(), {1}, {2})


def test_a_clash_is_ended_by_either_side_of_it() -> None:
    said = {way.given_up for way in ways("a movement and no such movement")}
    assert {"no wrists", shipped()[ExerciseId(PIKE)].name} <= said


def test_two_faults_need_two_wishes_given_up() -> None:
    found = ways("two at odds")
    assert found
    for way in found:
        assert given_up(IMPOSSIBLE["two at odds"], way) == 2
        assert " and " in way.given_up


@pytest.mark.parametrize(
    ("name", "rule"),
    [
        ("a movement and no such movement", "must-barred"),
        ("another apparatus", "must-apparatus"),
        ("two at odds", "must-apparatus"),
    ],
)
def test_impossible_is_said_only_of_what_no_search_is_needed_for(name: str, rule: str) -> None:
    result = compose(request(IMPOSSIBLE[name]))
    assert isinstance(result, NoPlan)
    assert result.proven
    assert {f.rule for f in result.findings} == {rule}


def test_what_was_only_not_found_is_not_called_impossible() -> None:
    many = tuple(
        f"chair-{name}"
        for name in (
            "pike swan-chair teaser-chair eagle star handstand-prep swan-dive grasshopper arabesque"
        ).split()
    )
    result = compose(request(asked(15, ("chair",), level=Level.ADVANCED, must=many)))
    assert isinstance(result, NoPlan)
    assert not result.proven
    assert result.findings


def test_what_can_be_had_needs_no_way_out_and_keeps_the_rest() -> None:
    brief = asked(45, ("chair",), must=(PIKE,), without=("wrists",), focus=("legs",))
    for way in ways_out(request(brief)):
        assert way.brief.focus == brief.focus or way.given_up.startswith("focus")
        assert way.brief.people == brief.people
        assert way.brief.minutes == brief.minutes or way.given_up.startswith("45 min")
