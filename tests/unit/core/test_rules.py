"""Every rule of the independent checker bites: a good plan, one thing broken, the rule names it."""

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

import core.rules
from core.aims import aim
from core.brief import Bar
from core.exercise import Direction, Exercise, Level, Muscle, Phase, SeriesPlace, Theme
from core.plan import ClassPlan, Finding, Item, Weight
from core.repertoire import shipped
from core.rules import check
from tests.composed import asked, composed

Break = Callable[[ClassPlan], ClassPlan]
LIBRARY = shipped()
GOOD = composed(asked(50, focus=("glutes",), must=("mat-saw",), without=("jumping",)))


def faults(plan: ClassPlan) -> set[str]:
    """The rules that call something a fault."""
    return {f.rule for f in check(plan, LIBRARY) if f.weight is Weight.FAULT}


def with_item(plan: ClassPlan, at: int, **changes: object) -> ClassPlan:
    """The plan with one item changed."""
    items = list(plan.items)
    items[at] = replace(items[at], **changes)  # type: ignore[arg-type] # a test names the fields
    return replace(plan, items=tuple(items))


def with_step(plan: ClassPlan, at: int, **changes: object) -> ClassPlan:
    """The plan with one step changed, its times as they were."""
    step = replace(plan.items[at].step, **changes)  # type: ignore[arg-type] # as above
    return with_item(plan, at, step=step)


def with_exercise(plan: ClassPlan, at: int, **changes: object) -> ClassPlan:
    """The plan with one exercise made another, its id as it was."""
    e = replace(plan.items[at].step.exercise, **changes)  # type: ignore[arg-type] # as above
    return with_step(plan, at, exercise=e)


def everywhere(plan: ClassPlan, change: Callable[[Exercise], Exercise]) -> ClassPlan:
    """The plan with every exercise changed."""
    items = (replace(i, step=replace(i.step, exercise=change(i.step.exercise))) for i in plan.items)
    return replace(plan, items=tuple(items))


def first_of(plan: ClassPlan, phase: Phase) -> int:
    """Where the first item of a phase stands, from 0."""
    return next(k for k, item in enumerate(plan.items) if item.step.phase is phase)


def middle(plan: ClassPlan) -> int:
    """A place in the peak with neighbours in the peak, on one apparatus."""

    def alike(k: int) -> bool:
        near = [plan.items[j].step for j in (k - 1, k, k + 1)]
        return len({(s.phase, s.exercise.apparatus) for s in near}) == 1

    start = first_of(plan, Phase.PEAK)
    return next(k for k in range(start + 1, len(plan.items) - 1) if alike(k))


def swapped(plan: ClassPlan, a: int, b: int) -> ClassPlan:
    """The plan with two exercises in each other's place; times stay."""
    one, other = plan.items[a].step, plan.items[b].step
    return with_item(with_item(plan, a, step=other), b, step=one)


def longer(plan: ClassPlan, phase: Phase, by: int) -> ClassPlan:
    """The plan with one item of a phase longer, the rest later and the last words shorter."""
    at = first_of(plan, phase)

    def moved(k: int, item: Item) -> Item:
        if k == at:
            return replace(item, duration_s=item.duration_s + by)
        return replace(item, start_s=item.start_s + by) if k > at else item

    items = tuple(moved(k, item) for k, item in enumerate(plan.items))
    return replace(plan, items=items, closing_s=plan.closing_s - by)


def in_a_series(plan: ClassPlan, *places: tuple[int, int]) -> ClassPlan:
    """The plan with a series of these (index, place)."""
    for at, place in places:
        plan = with_exercise(plan, at, series=SeriesPlace("a test's own", place), family=f"f{at}")
    return plan


def without(plan: ClassPlan, bar: Bar) -> ClassPlan:
    """The plan, its brief asking to do without something more."""
    return replace(plan, brief=replace(plan.brief, without=(bar,)))


def needing_the_last(plan: ClassPlan) -> ClassPlan:
    """The first exercise needs what comes last."""
    return with_exercise(plan, 0, needs=(plan.items[-1].step.exercise.id,))


def all_effort_at_the_start(plan: ClassPlan) -> ClassPlan:
    """The hardest of all is done in the foundation."""
    return with_exercise(plan, first_of(plan, Phase.FOUNDATION), effort=10)


def one_direction_gone(plan: ClassPlan) -> ClassPlan:
    """Nobody bends to the side."""
    return everywhere(plan, lambda e: replace(e, directions=e.directions - {Direction.LATERAL}))


def all_flexion(plan: ClassPlan) -> ClassPlan:
    """Everything flexes; one thing extends."""
    plan = everywhere(
        plan,
        lambda e: replace(
            e, directions=(e.directions | {Direction.FLEXION}) - {Direction.EXTENSION}
        ),
    )
    return with_exercise(plan, 0, directions=frozenset(Direction))


def one_muscle(plan: ClassPlan) -> ClassPlan:
    """Four in a row on the feet."""
    for at in range(4):
        plan = with_exercise(plan, at, primary=Muscle.FEET)
    return plan


def two_levels_up(plan: ClassPlan) -> ClassPlan:
    """A neighbour two levels away, which the class's level would allow."""
    at = middle(plan)
    plan = with_exercise(plan, at, level=Level.ADVANCED)
    plan = with_exercise(plan, at + 1, level=Level.FUNDAMENTAL)
    return replace(plan, brief=replace(plan.brief, level=Level.ADVANCED))


BREAKS: dict[str, list[Break]] = {
    "slot": [
        lambda p: replace(p, closing_s=p.closing_s + 61),
        lambda p: replace(p, closing_s=p.closing_s - 61),
    ],
    "clock": [
        lambda p: with_item(p, 3, start_s=p.items[3].start_s + 1),
        lambda p: with_item(p, 3, transition_s=p.items[3].transition_s + 1),
        lambda p: replace(p, opening_s=p.opening_s - 1),
    ],
    "phases": [
        lambda p: with_step(p, first_of(p, Phase.FOUNDATION), phase=Phase.PEAK),
        lambda p: with_step(p, len(p.items) - 1, phase=Phase.PEAK),
        lambda p: replace(p, items=p.items[: first_of(p, Phase.COOL_DOWN)]),
        lambda p: replace(p, items=p.items[first_of(p, Phase.FOUNDATION) :]),
    ],
    "phase-allowed": [
        lambda p: with_exercise(p, middle(p), phases=frozenset({Phase.WARM_UP})),
    ],
    "share": [lambda p: longer(p, Phase.WARM_UP, 800), lambda p: longer(p, Phase.COOL_DOWN, 800)],
    "level-step": [two_levels_up],
    "level-top": [lambda p: with_exercise(p, middle(p), level=Level.ADVANCED)],
    "preparation": [needing_the_last],
    "family": [lambda p: with_exercise(p, 5, family=p.items[0].step.exercise.family, series=None)],
    "twice": [lambda p: with_step(p, 5, exercise=p.items[0].step.exercise)],
    "series-broken": [lambda p: in_a_series(p, (3, 1), (5, 2))],
    "series-order": [
        lambda p: in_a_series(p, (3, 2), (4, 1)),
        lambda p: in_a_series(p, (3, 2), (4, 2)),
    ],
    "reps": [
        lambda p: with_step(p, 3, reps=p.items[3].step.exercise.reps.low - 1),
        lambda p: with_step(p, 3, reps=p.items[3].step.exercise.reps.high + 1),
        lambda p: with_step(p, 3, sets=3),
    ],
    "must": [lambda p: replace(p, brief=replace(p.brief, must=(LIBRARY["mat-seal"].id,)))],
    "without": [
        lambda p: without(p, Bar("x", demands=with_demands(p).demands)),
        lambda p: without(p, Bar("x", positions=frozenset({p.items[4].step.exercise.position}))),
        lambda p: without(p, Bar("x", movements=frozenset({p.items[4].step.exercise.id}))),
        lambda p: without(p, Bar("x", movements=frozenset({p.items[4].step.exercise.family}))),
        lambda p: without(p, Bar("x", themes=frozenset({p.items[4].step.exercise.themes[0]}))),
        lambda p: without(p, Bar("x", muscles=frozenset({p.items[4].step.exercise.primary}))),
    ],
    "apparatus": [lambda p: replace(p, brief=replace(p.brief, apparatus=p.brief.apparatus[:1]))],
    "apparatus-unused": [
        lambda p: replace(p, brief=replace(p.brief, apparatus=tuple(LIBRARY.apparatus)))
    ],
    "run": [one_muscle],
    "direction": [one_direction_gone],
    "flexion-heavy": [all_flexion],
    "summit": [all_effort_at_the_start],
    "gentle": [
        lambda p: with_exercise(p, 0, effort=5),
        lambda p: with_exercise(p, len(p.items) - 1, effort=5),
    ],
}


def with_demands(plan: ClassPlan) -> Exercise:
    """An exercise of the plan that demands something."""
    return next(item.step.exercise for item in plan.items if item.step.exercise.demands)


def one_side_only(plan: ClassPlan) -> ClassPlan:
    """Work on two sides that leaves time for one."""
    at = next(k for k, item in enumerate(plan.items) if item.step.exercise.sides == 2)
    return with_item(plan, at, duration_s=plan.items[at].duration_s // 2)


def no_time_at_all(plan: ClassPlan) -> ClassPlan:
    """Everything done in a second."""
    return replace(plan, items=tuple(replace(i, duration_s=1) for i in plan.items))


BREAKS["sides"] = [one_side_only, no_time_at_all]


def test_a_good_plan_has_no_fault() -> None:
    assert faults(GOOD) == set()


@pytest.mark.parametrize(
    ("rule", "change"), [(rule, change) for rule, every in BREAKS.items() for change in every]
)
def test_one_thing_broken_is_named_by_its_rule(rule: str, change: Break) -> None:
    assert rule in faults(change(GOOD))


@pytest.mark.parametrize("rule", ["slot", "reps", "must", "apparatus-unused", "without", "gentle"])
def test_what_breaks_one_rule_only_is_named_by_that_rule_only(rule: str) -> None:
    assert faults(BREAKS[rule][0](GOOD)) == {rule}


def test_no_rule_is_left_untested() -> None:
    source = Path(core.rules.__file__).read_text(encoding="utf-8")
    known = set(re.findall(r'Finding\(\s*"([a-z-]+)"', source))
    of_people = {"waits", "insisted", "must-avoid"}  # tested in test_rules_room.py
    assert known - of_people == {*BREAKS, "focus-unmet"}


def test_a_focus_that_nothing_serves_is_noted_not_refused() -> None:
    plan = everywhere(
        GOOD,
        lambda e: replace(e, themes=(Theme.BREATH,), primary=Muscle.FEET, also=()),
    )
    notes = [f for f in check(plan, LIBRARY) if f.rule == "focus-unmet"]
    assert notes == [Finding("focus-unmet", Weight.NOTE, ("glutes",))]


def test_a_direction_that_cannot_be_had_is_noted_not_refused() -> None:
    rotation = aim("rotation")
    assert rotation is not None
    barred = frozenset(
        e.id
        for e in LIBRARY.exercises.values()
        if e.directions & rotation.directions and e.apparatus in GOOD.brief.apparatus
    )
    plan = without(
        everywhere(GOOD, lambda e: replace(e, directions=e.directions - rotation.directions)),
        Bar("turns", movements=barred),
    )
    notes = [f for f in check(plan, LIBRARY) if f.rule == "direction"]
    assert [(f.weight, f.facts) for f in notes] == [(Weight.NOTE, ("rotation",))]


def test_an_exercise_that_must_be_there_may_be_above_the_class() -> None:
    at = next(k for k, i in enumerate(GOOD.items) if i.step.exercise.id == "mat-saw")
    assert "level-top" not in faults(with_exercise(GOOD, at, level=Level.ADVANCED))


def test_two_of_a_family_may_stand_in_one_series() -> None:
    plan = in_a_series(GOOD, (3, 1), (4, 2))
    together = with_exercise(plan, 4, family="f3")
    assert not {"family", "series-order", "series-broken"} & faults(together)


def test_faults_come_before_notes_and_name_their_place() -> None:
    plan = with_step(GOOD, 3, reps=60)
    found = check(replace(plan, brief=replace(plan.brief, must=(LIBRARY["mat-seal"].id,))), LIBRARY)
    weights = [f.weight for f in found]
    assert weights == sorted(weights, key=lambda w: w is not Weight.FAULT)
    assert [(f.rule, f.place) for f in found if f.rule in ("reps", "must")] == [
        ("reps", 4),
        ("must", None),
    ]
