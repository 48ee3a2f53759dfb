"""When a next step is proposed, and when a step back."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from core.client import ClientId
from core.exercise import ExerciseId
from core.progress import AWAY, Way, away, next_steps, rungs
from core.taught import Attendance, Done
from tests.builders import record, repertoire

NOW = datetime(2026, 11, 27, 12, tzinfo=UTC)
SPRUNG = {
    "apparatus": "chair",
    "position": "seated on the apparatus",
    "load": "resist",
    "springs": {"usual": "3+3", "easier": "3+2", "harder": "4+3", "limit": "4+4"},
}
LIBRARY = repertoire(
    record("mat-curl", harder="mat-lift", no_harder=""),
    record("mat-lift", easier="mat-curl", no_easier="", effort=5),
    record("chair-press", **SPRUNG),
    record("chair-brace", **(SPRUNG | {"load": "stabilise"})),
)
TOP = 10


def did(
    days_ago: int,
    *,
    reps: int = TOP,
    effort: int | None = 5,
    exercise: str = "mat-curl",
    springs: str = "none",
) -> Attendance:
    """A class in which one movement was done."""
    done = (Done(ExerciseId(exercise), springs, reps),)
    at = NOW - timedelta(days=days_ago)
    return Attendance(ClientId(1), days_ago, at, effort=effort, did=done)


def proposed(*attended: Attendance) -> list[tuple[Way, str, str]]:
    """What is proposed: which way, to what, on which springs."""
    return [(s.way, s.to.id, str(s.springs or "")) for s in next_steps(attended, LIBRARY, NOW)]


def test_two_good_classes_propose_the_next_rung() -> None:
    assert proposed(did(1), did(3)) == [(Way.ON, "mat-lift", "")]


@pytest.mark.parametrize(
    "attended",
    [
        (did(1),),
        (did(1), did(3, reps=9)),
        (did(1, reps=9), did(3), did(5)),
        (did(1, effort=6), did(3), did(5)),
        (did(1, effort=None), did(3)),
        (),
    ],
)
def test_less_than_that_proposes_nothing(attended: tuple[Attendance, ...]) -> None:
    assert proposed(*attended) == []


def test_a_missed_class_or_one_without_the_movement_breaks_nothing() -> None:
    missed = replace(did(2), there=False, did=())
    other = replace(did(2), did=())
    assert proposed(did(1), missed, did(3)) == [(Way.ON, "mat-lift", "")]
    assert proposed(did(1), other, did(3)) == [(Way.ON, "mat-lift", "")]


@pytest.mark.parametrize(("now", "then"), [("3+2", "3+3"), ("3+3", "4+3")])
def test_springs_come_before_the_next_rung(now: str, then: str) -> None:
    press = [did(day, exercise="chair-press", springs=now) for day in (1, 3)]
    assert proposed(*press) == [(Way.ON, "chair-press", then)]


def test_other_springs_begin_the_count_anew() -> None:
    first, second = (did(d, exercise="chair-press", springs=s) for d, s in ((3, "3+2"), (1, "3+3")))
    assert proposed(second, first) == []


@pytest.mark.parametrize(
    ("exercise", "springs"), [("chair-press", "4+3"), ("chair-press", "1"), ("chair-brace", "3+3")]
)
def test_where_there_is_no_further_step_none_is_made_up(exercise: str, springs: str) -> None:
    """At the end of the settings, off them, or where springs only steady."""
    assert proposed(*(did(d, exercise=exercise, springs=springs) for d in (1, 3))) == []


def test_after_four_weeks_away_one_step_back_is_proposed() -> None:
    days = AWAY.days
    assert not away([did(days - 1)], NOW)
    assert away([did(days)], NOW)
    assert proposed(did(days, exercise="mat-lift")) == [(Way.BACK, "mat-curl", "")]
    press = did(days, exercise="chair-press", springs="3+3")
    assert proposed(press) == [(Way.BACK, "chair-press", "3+2")]
    assert proposed(did(days), did(days + 2)) == []  # good as they were, and no easier rung


def test_a_movement_the_library_has_lost_is_left_out() -> None:
    assert rungs([did(1, exercise="gone")], LIBRARY) == ()


def test_where_somebody_stands() -> None:
    (rung,) = rungs([did(1), did(3), did(5, reps=8), did(7)], LIBRARY)
    assert (rung.times, rung.good) == (4, 2)
