"""A class that runs late or is ahead of its time: what is left of it."""

from dataclasses import replace
from functools import lru_cache

import pytest

from core.caution_record import shipped_cautions
from core.early import one_more
from core.exercise import Phase
from core.late import faults, most, shorter
from core.plan import ClassPlan, Pin
from core.planner.request import Request
from core.repertoire import shipped
from core.room import Room
from core.wish import EditError
from tests.composed import asked, composed
from tests.sheets import TODAY, folk

CLASSES = (("chair",), ("mat",), ("reformer",))
WHOLE = frozenset({"slot", "share", "summit"})


@lru_cache
def taught(on: tuple[str, ...]) -> tuple[ClassPlan, Request]:
    """A class of 50 minutes and how it was asked for."""
    brief = asked(50, on)
    return composed(brief), Request(brief, shipped())


@pytest.mark.parametrize("on", CLASSES, ids=str)
@pytest.mark.parametrize("minutes", [3, 5, 10])
@pytest.mark.parametrize("share", [0.0, 0.3, 0.5])
def test_what_is_left_fits_and_keeps_cool_down_and_sides(
    on: tuple[str, ...], minutes: int, share: float
) -> None:
    plan, request = taught(on)
    place = round(share * len(plan.items))
    after = shorter(plan, place, minutes, request)
    assert after.steps[:place] == plan.steps[:place]
    assert after.total_s <= plan.brief.slot_s - 60 * minutes
    cool = [step for step in plan.steps if step.phase is Phase.COOL_DOWN]
    assert [step for step in after.steps if step.phase is Phase.COOL_DOWN] == cool
    old = {step.exercise.id: step for step in plan.steps}
    assert [s.exercise.id for s in after.steps] == [
        e for e in old if e in {s.exercise.id for s in after.steps}
    ]
    for item in after.items:
        step, was = item.step, old[item.step.exercise.id]
        assert step.springs == was.springs
        assert (step.sets, step.reps) <= (was.sets, was.reps)
        assert step.reps >= min(was.reps, step.exercise.reps.low)
    assert faults(after, WHOLE, request) <= faults(plan, WHOLE, request)


def test_the_peak_gives_first() -> None:
    plan, request = taught(("reformer",))
    after = shorter(plan, 0, 5, request)
    here = {step.exercise.id: step for step in after.steps}
    touched = {
        step.phase
        for step in plan.steps
        if here.get(step.exercise.id) is None or here[step.exercise.id].reps != step.reps
    }
    assert touched == {Phase.PEAK}


def test_what_she_has_fixed_stays() -> None:
    plan, request = taught(("chair",))
    gone = {s.exercise.id for s in plan.steps} - {
        s.exercise.id for s in shorter(plan, 0, 10, request).steps
    }
    items = tuple(
        replace(item, step=replace(item.step, pins=frozenset({Pin.PLACE})))
        if item.step.exercise.id in gone
        else item
        for item in plan.items
    )
    after = shorter(replace(plan, items=items), 0, 10, request)
    assert gone <= {s.exercise.id for s in after.steps}


def test_more_than_can_be_saved_is_refused_with_what_can() -> None:
    plan, request = taught(("chair",))
    place = len(plan.items) - 3
    with pytest.raises(EditError, match="cool-down"):
        shorter(plan, place, 20, request)
    possible = most(plan, place, 20, request)
    if possible:
        assert shorter(plan, place, possible, request).total_s <= plan.brief.slot_s - 60 * possible
    with pytest.raises(EditError):
        shorter(plan, place, possible + 1, request)


@pytest.mark.parametrize("on", CLASSES, ids=str)
@pytest.mark.parametrize("share", [0.0, 0.5, 0.9, 1.0])
def test_one_more_fits_and_the_rest_stays(on: tuple[str, ...], share: float) -> None:
    plan, request = taught(on)
    place = round(share * len(plan.items))
    ideas = one_more(plan, place, 5, request)
    assert ideas
    assert len({idea.exercise.id for idea in ideas}) == len(ideas)
    for idea in ideas:
        assert idea.n > place
        assert idea.plan.total_s <= plan.brief.slot_s + 300
        rest = [s for s in idea.plan.steps if s.exercise.id != idea.exercise.id]
        assert rest == list(plan.steps)
        assert idea.plan.items[idea.n - 1].step.exercise == idea.exercise
        assert faults(idea.plan, WHOLE, request) <= faults(plan, WHOLE, request)


def test_one_that_is_wanted_comes_in_alone() -> None:
    plan, request = taught(("chair",))
    wanted = one_more(plan, 0, 5, request)[1].exercise.id
    (idea,) = one_more(plan, 0, 5, request, wanted)
    assert idea.exercise.id == wanted


def test_nobody_is_offered_what_somebody_must_avoid() -> None:
    plan, request = taught(("chair",))
    room = Room(folk(8), TODAY, shipped_cautions(), shipped())
    for idea in one_more(plan, 0, 5, replace(request, room=room)):
        assert not room.barred_for(idea.exercise)
