"""Load by hand, and where monotony means nothing. Worked weeks are in tests/figures."""

from datetime import date, timedelta

import pytest

from core.effort import Session, monotony, session_load, week_of
from core.taught import TaughtError

MONDAY = date(2026, 11, 23)


def test_load_is_effort_times_minutes() -> None:
    assert session_load(6, 50) == 300
    assert session_load(0, 50) == 0
    assert Session(MONDAY, 45, 4).load == 180


@pytest.mark.parametrize("effort", [-1, 11])
def test_effort_is_0_to_10(effort: int) -> None:
    with pytest.raises(TaughtError):
        session_load(effort, 50)


def test_monotony_is_none_where_every_day_is_alike_or_there_is_hardly_a_class() -> None:
    assert monotony([100.0] * 7) is None
    assert monotony([0.0] * 7) is None
    assert monotony([300, 300, 0, 0, 0, 0, 0]) is None
    assert monotony([300, 300, 300, 0, 0, 0, 0]) is not None


def test_a_week_has_seven_days() -> None:
    with pytest.raises(ValueError, match="not 6"):
        monotony([1.0] * 6)


def test_a_week_runs_from_monday_to_sunday_and_takes_in_nothing_else() -> None:
    days = [-1, 0, 0, 6, 7]
    week = week_of([Session(MONDAY + timedelta(days=d), 10, 5) for d in days], MONDAY)
    assert week.daily == (100, 0, 0, 0, 0, 0, 50)
    assert (week.load, week.sessions, week.monotony, week.strain) == (150, 3, None, None)
    assert week_of([], MONDAY + timedelta(days=6)).monday == MONDAY
