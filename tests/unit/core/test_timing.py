"""Seconds, worked out by hand, and a timeline that adds up."""

from dataclasses import replace
from itertools import pairwise

import pytest

from core.brief import ClassBrief
from core.exercise import Exercise, Level, Phase, Position, Tempo
from core.plan import Item, Step
from core.timing import (
    Clock,
    Pace,
    closing_s,
    duration_s,
    opening_s,
    position_s,
    rep_s,
    rig_changes,
    setup_s,
    springs_s,
    timeline,
    transition_s,
)
from tests.builders import CHAIR, MAT, brief, record, repertoire

EVEN = Clock(1.0, 1.0)
APPARATUS = {CHAIR.id: CHAIR, MAT.id: MAT}


def exercise(sides: int = 1, setup: int = 10, **tempo: float) -> Exercise:
    """An exercise of this tempo."""
    return repertoire(
        record("mat-curl", sides=sides, setup_s=setup, tempo=tempo or {"seconds": 4})
    )["mat-curl"]


def press(springs: str = "3+3") -> Step:
    """A step on the chair."""
    e = repertoire()["chair-press"]
    return Step(e, Phase.FOUNDATION, CHAIR.parse(springs), 8)


def curl(position: Position = Position.SUPINE) -> Step:
    """A step on the mat."""
    e = replace(repertoire()["mat-curl"], position=position)
    return Step(e, Phase.FOUNDATION, MAT.parse("none"), 8)


def timed(*steps: Step, people: int = 1, level: Level | None = None) -> tuple[Item, ...]:
    """The steps on the clock of a class."""
    asked = replace(brief(), people=people, level=level)
    return timeline(steps, asked, APPARATUS, Pace())


@pytest.mark.parametrize(
    ("e", "reps", "sets", "seconds"),
    [
        (exercise(), 8, 1, 32),  # 8 × 4
        (exercise(breaths=2), 5, 1, 60),  # 5 × 2 breaths of 6
        (exercise(breaths=0.5), 5, 1, 15),
        (exercise(seconds=2.3), 5, 1, 12),  # 11.5, rounded up
        (exercise(sides=2), 8, 1, 69),  # 2 × 32, 5 to change sides
        (exercise(), 8, 2, 79),  # 2 × 32, 15 of rest
        (exercise(sides=2), 8, 2, 153),  # 4 × 32, twice 5 to change sides, 15 of rest
        (exercise(sides=2, breaths=1), 6, 2, 169),  # 4 × 36 + 10 + 15
    ],
)
def test_work_is_sides_sets_and_repetitions_with_rests(
    e: Exercise, reps: int, sets: int, seconds: int
) -> None:
    assert duration_s(e, reps, sets, EVEN) == seconds


def test_a_repetition_follows_breath_or_seconds() -> None:
    assert rep_s(exercise(breaths=1.5), EVEN) == 9
    assert rep_s(exercise(seconds=2), EVEN) == 2
    assert rep_s(exercise(seconds=2), Clock(1.5, 1.0)) == 3


def test_a_set_up_follows_the_pace_of_work() -> None:
    assert setup_s(exercise(setup=10), Clock(1.21, 1.0)) == 13


def test_changing_position_costs_a_turn_and_each_step_of_height() -> None:
    assert position_s(Position.SUPINE, Position.SUPINE) == 0
    assert position_s(Position.SUPINE, Position.PRONE) == 4
    assert position_s(Position.SUPINE, Position.STANDING) == 12
    assert position_s(Position.STANDING, Position.KNEELING) == 8


def test_each_spring_that_is_moved_costs_its_seconds() -> None:
    assert springs_s(CHAIR, CHAIR.parse("3+3"), CHAIR.parse("3+2")) == 10
    assert springs_s(CHAIR, CHAIR.parse("4+3"), CHAIR.parse("2+1")) == 20


def test_rig_changes_count_parts_in_another_state() -> None:
    split = replace(repertoire()["chair-press"], rig=(("handles", "on"), ("pedal", "split")))
    assert rig_changes({}, split) == 0
    assert rig_changes({"pedal": "split"}, split) == 0
    assert rig_changes({"pedal": "joined", "handles": "off"}, split) == 2


def test_springs_and_rig_add_up_while_the_body_moves_meanwhile() -> None:
    def change(position: int, springs: int, rig: int, swap: int = 0, factor: float = 1.0) -> int:
        return transition_s(position=position, springs=springs, rig=rig, swap=swap, factor=factor)

    assert change(0, 0, 0) == 3
    assert change(8, 0, 0) == 11
    assert change(8, 20, 0) == 23
    assert change(8, 20, 10) == 33
    assert change(40, 20, 10) == 43
    assert change(8, 20, 10, swap=45) == 48
    assert change(8, 20, 0, factor=1.5) == 35  # 34.5, rounded up
    assert transition_s(position=9, springs=9, rig=9, swap=9, factor=2, first=True) == 0


def test_each_further_person_slows_changes_by_three_per_cent() -> None:
    alone, group = timed(press(), press("2+2")), timed(press(), press("2+2"), people=11)
    assert alone[1].transition_s == 23
    assert group[1].transition_s == 30  # 23 × 1.3, rounded up
    assert alone[1].duration_s == group[1].duration_s


def test_beginners_take_about_a_fifth_longer_than_regulars() -> None:
    def total(level: Level) -> int:
        items = timed(*([press(), press("2+2"), curl()] * 8), level=level)
        return items[-1].end_s - items[0].start_s

    ratio = total(Level.FUNDAMENTAL) / total(Level.ADVANCED)
    assert 1.15 <= ratio <= 1.25
    assert total(Level.ADVANCED) < total(Level.INTERMEDIATE) < total(Level.FUNDAMENTAL)


def test_an_instructors_own_pace_stretches_work_and_changes_apart() -> None:
    def items(pace: Pace) -> tuple[Item, ...]:
        return timeline((press(), press("2+2")), replace(brief(), people=1), APPARATUS, pace)

    usual, slow = items(Pace()), items(Pace(work=1.5, change=2.0))
    assert slow[1].duration_s == usual[1].duration_s * 1.5
    assert slow[1].transition_s == usual[1].transition_s * 2


def test_a_timeline_adds_up() -> None:
    items = timed(press(), press("2+2"), curl(), curl(Position.STANDING), press(), people=4)
    assert items[0].start_s == opening_s(brief())
    assert items[0].transition_s == 0
    assert [item.n for item in items] == [1, 2, 3, 4, 5]
    for before, after in pairwise(items):
        assert after.start_s == before.end_s + after.transition_s
    for item in items:
        assert item.end_s == item.start_s + item.setup_s + item.duration_s


def test_changing_apparatus_costs_the_swap_and_nothing_else() -> None:
    there, back = timed(press(), curl(), press("2+2"))[1:]
    assert there.transition_s == 3 + MAT.swap_s
    assert back.transition_s == 3 + CHAIR.swap_s


def test_rig_set_before_is_kept_until_the_apparatus_changes() -> None:
    def rigged(state: str) -> Step:
        step = press()
        return replace(step, exercise=replace(step.exercise, rig=(("pedal", state),)))

    items = timed(rigged("joined"), press(), rigged("split"), curl(), rigged("joined"))
    assert [item.transition_s for item in items] == [0, 3, 13, 33, 48]


@pytest.mark.parametrize(
    ("minutes", "first", "last"), [(15, 60, 30), (50, 90, 45), (60, 108, 54), (120, 120, 60)]
)
def test_talk_at_both_ends_grows_with_the_class(minutes: int, first: int, last: int) -> None:
    asked = ClassBrief(minutes, (MAT.id,))
    assert (opening_s(asked), closing_s(asked)) == (first, last)


def test_a_tempo_of_seconds_ignores_breath() -> None:
    fast = replace(exercise(), tempo=Tempo(seconds=0.1))
    assert duration_s(fast, 10, 1, EVEN) == 1
