"""What can't be done is refused in a sentence that says why, and nothing is changed."""

import pytest

from bot.wording.changes import refusal
from core.apparatus import SpringSetting
from core.edit import apply
from core.exercise import ExerciseId, Phase
from core.plan import ClassPlan, Pin
from core.planner.request import NoPlan, Request
from core.repertoire import shipped
from core.wish import Add, Drop, Ease, Edit, EditError, Fit, Late, Move, SetReps, SetSprings, Swap
from tests.composed import asked, composed
from tests.edits import ids, made, suiting

LONGEST = 150  # characters of a reason


def chair() -> ClassPlan:
    """A class on the chair."""
    return composed(asked(45, ("chair",)))


def why(plan: ClassPlan, *edits: Edit) -> str:
    """Why the edits are refused."""
    before = plan.items
    try:
        result = apply(edits, plan, Request(plan.brief, shipped()))
    except EditError as fault:
        return str(fault)
    assert isinstance(result, NoPlan), "it was done"
    assert plan.items is before
    return refusal(result, shipped())


def place(plan: ClassPlan, phase: Phase) -> int:
    """The first number of a phase."""
    return next(i.n for i in plan.items if i.step.phase is phase)


@pytest.mark.parametrize(
    ("edit", "words"),
    [
        (Drop(99), "no number 99: it runs from 1 to"),
        (Drop(0), "no number 0"),
        (Swap(99), "no number 99"),
        (Move(1, 99), "no number 99"),
        (Move(99, 1), "no number 99"),
        (Add(ExerciseId("chair-pike"), 99), "the class ends at"),
        (Add(ExerciseId("mat-roll-up")), "Roll-up on the mat needs the mat"),
        (Fit(10), "a class lasts 15 to 120"),
        (Fit(500), "a class lasts 15 to 120"),
        (Late(40), "that would make 5 min, and a class lasts 15 to 120"),
    ],
)
def test_nonsense_is_named(edit: Edit, words: str) -> None:
    assert words in why(chair(), edit)


def test_repetitions_and_springs_have_limits() -> None:
    plan = chair()
    i = next(i for i in plan.items if i.step.exercise.springs)
    e = i.step.exercise
    assert why(plan, SetReps(i.n, 60)) == (
        f"{e.name} takes {e.reps.low} to {e.reps.high} repetitions"
    )
    none = next(i for i in plan.items if not i.step.exercise.springs)
    assert "uses no springs" in why(plan, SetSprings(none.n, SpringSetting(("3",))))
    apparatus = shipped().apparatus[plan.brief.apparatus[0]]
    resist = next(
        i
        for i in plan.items
        if i.step.exercise.springs
        and i.step.exercise.load == "resist"
        and apparatus.rank(i.step.exercise.springs.limit) < apparatus.rank(apparatus.parse("4+4"))
    )
    assert "no heavier than" in why(plan, SetSprings(resist.n, apparatus.parse("4+4")))


def test_what_is_there_already_is_said_with_its_number() -> None:
    plan = chair()
    assert why(plan, Add(ids(plan)[4])).endswith("is in the class already, at 5")
    assert why(plan, Swap(9, ids(plan)[4])).endswith("move it with: move 5 to 9")


def test_one_movement_in_two_forms_is_said_with_what_to_do() -> None:
    plan = chair()
    families = {i.step.exercise.family: i for i in plan.items if not i.step.exercise.series}
    other = next(
        e
        for e in shipped().exercises.values()
        if e.apparatus == "chair"
        and not e.series
        and e.family in families
        and e.id not in ids(plan)
        and Phase.PEAK in e.phases
    )
    n = families[other.family].n
    said = why(plan, Add(other.id))
    assert f"({n}) are one movement in two forms" in said
    assert f"swap {n} {other.short.lower()}" in said
    assert other.id in ids(made(plan, Drop(n), Add(other.id))) or n


def test_where_an_exercise_belongs_is_said() -> None:
    plan = chair()
    peak = next(
        e
        for e in suiting(plan, place(plan, Phase.PEAK))
        if e.phases == {Phase.PEAK} and not e.series
    )
    assert why(plan, Add(peak.id, 1)) == f"{peak.name} belongs in the peak, not in the warm-up"


def test_a_series_stays_whole() -> None:
    for apparatus in ("reformer", "mat", "chair"):
        plan = composed(asked(50, (apparatus,)))
        for a, b in zip(plan.items, plan.items[1:], strict=False):
            one, two = a.step.exercise.series, b.step.exercise.series
            if one and two and one.name == two.name:
                e = next(e for e in suiting(plan, a.n) if not e.series)
                said = why(plan, Add(e.id, a.n))
                assert "are one series, and nothing comes between" in said
                assert str(a.n) in said
                outside = 1 if a.n > 3 else len(plan.items)
                assert why(plan, Move(b.n, outside))
                return
    raise AssertionError("no class has a series")


def test_a_number_that_another_wish_takes_out_is_said() -> None:
    assert why(chair(), Drop(4), SetReps(4, 5)) == "number 4 is taken out in the same message"


def test_all_or_nothing() -> None:
    plan = chair()
    before = plan.steps
    for edits in ([Drop(4), Drop(99)], [Swap(3), SetReps(5, 60)], [Fit(40), Add(ids(plan)[7])]):
        assert why(plan, *edits)
        assert plan.steps == before
        assert not any(step.pins for step in plan.steps)


def test_the_top_and_the_bottom_of_a_ladder_say_so() -> None:
    plans = [composed(asked(50, ("mat",))), composed(asked(45, ("mat",), without=("wrists",)))]
    ends = [
        (plan, i, harder, reason)
        for plan in plans
        for i in plan.items
        for harder in (False, True)
        for reason in [i.step.exercise.no_harder if harder else i.step.exercise.no_easier]
        if reason
    ]
    for plan, i, harder, reason in ends:
        said = why(plan, Ease(i.n, harder))
        assert said.startswith(f"{i.step.exercise.name}: ")
        assert reason[1:].rstrip(".") in said
    assert ends


def test_what_the_class_does_without_stays_out() -> None:
    plan = composed(asked(45, ("mat",), without=("wrists",)))
    plank = next(
        e
        for e in shipped().by_apparatus[plan.brief.apparatus[0]]
        if plan.brief.without[0].rules_out(e) and e.level <= 2
    )
    assert "asks for what the class does without: wrists" in why(plan, Add(plank.id))
    for n in range(1, len(plan.items), 5):
        after = made(plan, Swap(n))
        assert not any(plan.brief.without[0].rules_out(s.exercise) for s in after.steps)


def test_reasons_are_short_and_end_open() -> None:
    plan = chair()
    for edits in (
        [Drop(99)],
        [Add(e.id, 1) for e in suiting(plan, place(plan, Phase.PEAK))[:1]],
        [SetReps(3, 60)],
    ):
        said = why(plan, *edits)
        assert len(said) <= LONGEST
        assert not said.endswith(".")


def test_insisting_marks_what_she_named() -> None:
    plan = chair()
    e = next(e for e in suiting(plan, 9) if not e.needs and not e.series)
    result = apply([Swap(9, e.id)], plan, Request(plan.brief, shipped()), insist=True)
    assert isinstance(result, ClassPlan)
    marks = {s.exercise.id: s.pins for s in result.steps}
    assert marks[e.id] == {Pin.INSISTED}
    assert sum(bool(pins) for pins in marks.values()) == 1
