"""A plan in numbers, and the reasons for one place of it."""

from collections.abc import Sequence
from dataclasses import replace

import pytest

from core.aims import aim
from core.apparatus import Apparatus
from core.brief import Bar, ClassBrief
from core.exercise import Direction, Phase
from core.plan import ClassPlan, Search, Step
from core.repertoire import Repertoire, shipped
from core.summary import Summary, place_of
from core.timing import Pace, closing_s, opening_s, timeline
from tests.builders import CHAIR, MAT, brief, record, repertoire
from tests.composed import asked, composed

PRESS = {"usual": "3+3", "easier": "3+2", "harder": "4+3", "limit": "4+4"}
LIBRARY = repertoire(
    record("mat-curl", harder="mat-curl-high", no_harder=""),
    record(
        "mat-curl-high", level=2, effort=6, directions=["flexion", "rotation"], easier="mat-curl"
    ),
    record("mat-bridge", directions=["extension"], themes=["hip extension"], effort=4),
    record("mat-lift", needs=["mat-curl"], series={"name": "lifts", "place": 2}, family="lift"),
    record("mat-lift-prep", series={"name": "lifts", "place": 1}, family="lift"),
    record("mat-stand", position="standing", directions=["lateral flexion"], effort=2),
    record("chair-press", apparatus="chair", load="resist", springs=PRESS, rig={"pedal": "joined"}),
    record("chair-split", apparatus="chair", load="resist", springs=PRESS, rig={"pedal": "split"}),
)


def step(name: str, phase: Phase = Phase.FOUNDATION, springs: str = "") -> Step:
    """A step of the library above."""
    e = LIBRARY[name]
    on: Apparatus = CHAIR if e.springs else MAT
    return Step(e, phase, on.parse(springs or (str(e.springs.usual) if e.springs else "")), 8)


def plan_of(*steps: Step, asking: ClassBrief | None = None) -> ClassPlan:
    """These steps as a class."""
    asking = asking or brief()
    return ClassPlan(
        brief=asking,
        items=timeline(steps, asking, LIBRARY.apparatus, Pace()),
        opening_s=opening_s(asking),
        closing_s=closing_s(asking),
        findings=(),
        search=Search(1, 1, 1, 1),
    )


def test_changes_are_counted_between_neighbours() -> None:
    s = Summary.of(
        plan_of(
            step("chair-press"),
            step("chair-press", springs="3+2"),  # springs
            step("chair-split", springs="3+2"),  # rig
            step("mat-curl"),  # apparatus, and nothing else
            step("mat-stand"),  # position
            step("mat-curl"),  # position
            step("mat-bridge"),
        )
    )
    assert (s.spring_changes, s.rig_changes, s.apparatus_changes, s.position_changes) == (
        1,
        1,
        1,
        2,
    )


def test_directions_minutes_and_changes_add_up() -> None:
    plan = plan_of(
        step("mat-curl", Phase.WARM_UP), step("mat-bridge"), step("mat-curl-high", Phase.PEAK)
    )
    s = Summary.of(plan)
    assert s.directions == {
        Direction.FLEXION: 2,
        Direction.EXTENSION: 1,
        Direction.LATERAL: 0,
        Direction.ROTATION: 1,
    }
    assert list(s.minutes) == [Phase.WARM_UP, Phase.FOUNDATION, Phase.PEAK]
    work = sum(s.minutes.values()) * 60
    assert work + plan.opening_s + plan.closing_s == pytest.approx(plan.total_s)
    assert s.change_s == sum(item.transition_s for item in plan.items)


def test_the_hardest_is_the_one_nearest_two_thirds_of_the_class() -> None:
    short = ClassBrief(15, (MAT.id,))
    hard = step("mat-curl-high")
    rest = [step("mat-curl")] * 4
    plan = plan_of(hard, *rest, hard, *rest, hard, asking=short)
    ends = [item.end_s for item in plan.items if item.step.exercise.effort == 6]
    nearest = min(ends, key=lambda end: abs(end - short.slot_s * 2 / 3))
    assert Summary.of(plan).hardest.end_s == nearest


def test_a_focus_is_counted_in_seconds_of_work() -> None:
    glutes = aim("glutes")
    assert glutes is not None
    plan = plan_of(step("mat-curl"), step("mat-bridge"), asking=replace(brief(), focus=(glutes,)))
    assert Summary.of(plan).focus == {"glutes": plan.items[1].duration_s}


def test_a_place_names_what_is_around_it() -> None:
    plan = plan_of(step("mat-curl"), step("mat-lift-prep"), step("mat-lift"), step("mat-stand"))
    first, third, last = (place_of(plan, n, LIBRARY) for n in (1, 3, 4))
    assert first.before is None
    assert third.before == plan.items[1]
    assert third.prepared_by == plan.items[0]
    assert third.series_with == ("Mat lift prep", "Mat lift")
    assert last.series_with == ()
    assert last.only == (Direction.LATERAL,)
    assert third.only == ()


def test_what_could_stand_here_is_named_with_what_it_would_lose() -> None:
    place = place_of(plan_of(step("mat-curl-high"), step("mat-bridge")), 1, LIBRARY)
    assert place.instead is LIBRARY["mat-curl"]
    assert place.loses == ("rotation",)


def test_nothing_barred_or_taken_is_offered_instead() -> None:
    away = Bar("x", movements=frozenset({"mat-curl", "mat-stand"}))
    asking = replace(brief(), without=(away,))
    place = place_of(plan_of(step("mat-curl-high"), step("mat-bridge"), asking=asking), 1, LIBRARY)
    assert place.instead is None
    assert place.loses == ()


@pytest.mark.parametrize("words", [("glutes",), ("back", "balance"), ()])
def test_every_place_of_a_real_plan_can_be_explained(words: Sequence[str]) -> None:
    library: Repertoire = shipped()
    plan = composed(asked(45, focus=tuple(words)))
    for item in plan.items:
        place = place_of(plan, item.n, library)
        assert place.item == item
        assert {a.name for a in place.serves} <= set(words)
        if place.instead:
            used = {i.step.exercise.id for i in plan.items}
            assert place.instead.id not in used
            assert place.instead.apparatus == item.step.exercise.apparatus
            assert item.step.phase in place.instead.phases
