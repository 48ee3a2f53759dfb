"""The checker minds the people in the room: somebody must avoid a part of a real plan."""

from dataclasses import replace
from datetime import date

from core.caution_record import shipped_cautions
from core.client import Client, ClientId, Flag, Severity
from core.exercise import Exercise
from core.plan import ClassPlan, Finding, Pin, Weight
from core.planner.compose import compose
from core.planner.request import Request
from core.repertoire import shipped
from core.room import Room
from core.rules import check
from tests.composed import QUICK, asked, composed

LIBRARY = shipped()
PREGNANT = Flag("pregnancy")
ACUTE = Flag("osteoporosis", severity=Severity.ACUTE)


def room(*flags: Flag) -> Room:
    """A room with one person who has these flags."""
    somebody = Client(ClientId(1), "Nova", flags=flags)
    return Room((somebody,), date(2026, 12, 1), shipped_cautions(), LIBRARY)


def avoided(people: Room) -> Exercise:
    """An exercise on the mat that somebody in the room may not do at all."""
    return next(
        e for e in LIBRARY.exercises.values() if e.apparatus == "mat" and people.barred_for(e)
    )


def with_exercise(plan: ClassPlan, e: Exercise, pins: frozenset[Pin] = frozenset()) -> ClassPlan:
    """The plan with its fourth exercise made another."""
    fourth = plan.items[3]
    other = replace(fourth, step=replace(fourth.step, exercise=e, pins=pins))
    return replace(plan, items=(*plan.items[:3], other, *plan.items[4:]))


def about_people(plan: ClassPlan, people: Room | None) -> list[Finding]:
    """What the checker finds about people at the fourth place or about the whole."""
    names = ("must-avoid", "insisted", "waits")
    found = check(plan, LIBRARY, people)
    return [f for f in found if f.rule in names and f.place in (None, 4)]


def test_what_somebody_must_avoid_is_a_fault_at_its_place() -> None:
    people = room(PREGNANT)
    e = avoided(people)
    found = about_people(with_exercise(composed(asked(30, ("mat",))), e), people)
    assert [(f.rule, f.weight, f.place) for f in found] == [("must-avoid", Weight.FAULT, 4)]
    assert found[0].facts[:2] == ("Nova", e.name)


def test_what_she_insisted_on_is_marked_and_stands() -> None:
    people = room(PREGNANT)
    plan = with_exercise(composed(asked(30, ("mat",))), avoided(people), frozenset({Pin.INSISTED}))
    found = about_people(plan, people)
    assert [(f.rule, f.weight) for f in found] == [("insisted", Weight.NOTE)]


def test_somebody_for_whom_everything_waits_is_named_and_binds_nobody() -> None:
    people = room(ACUTE)
    found = about_people(composed(asked(30, ("mat",))), people)
    assert found == [Finding("waits", Weight.NOTE, ("Nova",))]


def test_without_people_nobody_is_minded() -> None:
    plan = with_exercise(composed(asked(30, ("mat",))), avoided(room(PREGNANT)))
    assert about_people(plan, None) == []
    assert about_people(plan, room()) == []


def test_a_class_made_for_the_room_gives_nobody_what_they_must_avoid() -> None:
    people = room(PREGNANT)
    brief = asked(30, ("chair", "mat"))
    plan = compose(Request(brief, LIBRARY, room=people, budget=QUICK))
    assert isinstance(plan, ClassPlan)
    assert not any(people.barred_for(step.exercise) for step in plan.steps)
    assert not any(f.weight is Weight.FAULT for f in check(plan, LIBRARY, people))
