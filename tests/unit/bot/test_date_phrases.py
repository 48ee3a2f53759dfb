"""Whole date phrases: the one right value, or a question whose readings are all understood."""

import tomllib
from datetime import datetime, time
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from bot.when import NotADateError, Order, WhenError, read
from tests.unit.core.moments import wall

LONDON = ZoneInfo("Europe/London")
NOW = datetime(2026, 11, 25, 10, tzinfo=LONDON)
PHRASES: dict[str, Any] = tomllib.loads(
    Path(__file__).with_name("date_phrases.toml").read_text(encoding="utf-8")
)


def at(text: str, zone: str = "Europe/London") -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=ZoneInfo(zone))


@pytest.mark.parametrize(("phrase", "expected"), PHRASES["once"].items())
def test_a_moment_is_read(phrase: str, expected: str) -> None:
    found = read(phrase, NOW)
    assert (found.wall, found.rule) == (wall(expected), None)


@pytest.mark.parametrize(("phrase", "expected"), PHRASES["recurring"].items())
def test_what_recurs_is_read(phrase: str, expected: str) -> None:
    found = read(phrase, NOW)
    assert f"{found.wall:%Y-%m-%d %H:%M} {found.rule}" == expected


@pytest.mark.parametrize(("phrase", "readings"), PHRASES["asked"].items())
def test_what_is_unclear_is_asked(phrase: str, readings: list[str]) -> None:
    with pytest.raises(WhenError) as asked:
        read(phrase, NOW)
    assert list(asked.value.readings) == readings
    assert str(asked.value)
    for each in readings:
        assert understood(each)


def understood(reading: str) -> bool:
    """Whether it is read; "last day of every month" may leave the time open once more."""
    try:
        return read(reading, NOW).wall > NOW.replace(tzinfo=None)
    except WhenError as why:
        return str(why) == "at which time?" and bool(why.readings)


@pytest.mark.parametrize("phrase", PHRASES["none"]["phrases"])
def test_words_left_over_are_never_skipped(phrase: str) -> None:
    with pytest.raises(NotADateError):
        read(phrase, NOW)


@pytest.mark.parametrize(
    ("now", "phrase", "expected"),
    [
        ("2026-12-31 20:00", "tomorrow 9am", "2027-01-01 09:00"),
        ("2026-12-31 20:00", "9am", "2027-01-01 09:00"),
        ("2026-12-31 20:00", "in 2 days", "2027-01-02 09:00"),
        ("2026-12-31 20:00", "1 jan 9am", "2027-01-01 09:00"),
        ("2026-12-31 20:00", "the 31st of next month", "2027-01-31 09:00"),
        ("2026-12-31 20:00", "end of next month", "2027-01-31 09:00"),
        ("2026-12-10 20:00", "end of next month", "2027-01-31 09:00"),
        ("2026-12-10 20:00", "first monday of next month", "2027-01-04 09:00"),
        ("2026-12-10 20:00", "the 5th of next month", "2027-01-05 09:00"),
        ("2026-11-10 20:00", "the 5th of next month", "2026-12-05 09:00"),
        ("2027-01-30 20:00", "in a month", "2027-02-28 09:00"),
        ("2028-02-28 20:00", "tomorrow", "2028-02-29 09:00"),
        ("2028-02-20 20:00", "29 feb", "2028-02-29 09:00"),
        ("2028-02-29 10:00", "29 feb 18:00", "2028-02-29 18:00"),
        ("2026-12-01 10:00", "tue week", "2026-12-08 09:00"),
        ("2026-12-01 10:00", "tue 18:00", "2026-12-01 18:00"),
        ("2026-12-01 10:00", "next tue 18:00", "2026-12-08 18:00"),
        ("2026-12-01 10:00", "every tue 18:00", "2026-12-01 18:00"),
        ("2026-12-01 10:00", "every tue 9:00", "2026-12-08 09:00"),
        ("2026-12-01 10:00", "every other tue 9:00", "2026-12-08 09:00"),
        ("2026-12-03 10:00", "every other tue 9:00", "2026-12-08 09:00"),
        ("2026-12-03 10:00", "every other tue 9:00 from 10 dec", "2026-12-15 09:00"),
        ("2026-12-24 10:00", "christmas 10:00", "2026-12-25 10:00"),
        ("2026-12-26 10:00", "christmas 10:00", "2027-12-25 10:00"),
        ("2026-12-31 10:00", "new year's eve 18:00", "2026-12-31 18:00"),
        ("2027-03-29 10:00", "easter monday 18:00", "2027-03-29 18:00"),
        ("2027-03-26 10:00", "good friday 18:00", "2027-03-26 18:00"),
        ("2026-11-25 23:30", "in 45 min", "2026-11-26 00:15"),
        ("2026-11-25 10:00:20", "in 45 min", "2026-11-25 10:46"),
    ],
)
def test_a_moment_at_the_edge_of_something(now: str, phrase: str, expected: str) -> None:
    assert read(phrase, at(now)).wall == wall(expected)


@pytest.mark.parametrize(
    ("now", "phrase"),
    [
        ("2026-12-01 10:00", "tue"),
        ("2027-01-30 20:00", "the 30th 9:00"),
        ("2026-12-01 19:00", "tue 18:00"),
        ("2026-11-30 18:00", "end of month"),
        ("2026-11-25 21:00", "tonight"),
        ("2026-11-25 21:00", "this evening"),
        ("2026-11-25 12:00", "this morning"),
        ("2026-11-26 00:30", "tomorrow 9am"),
        ("2026-11-26 00:30", "tonight"),
        ("2027-01-05 00:00", "20 dec 9am"),
        ("2026-12-01 08:00", "today"),
        ("2026-10-25 01:00", "in 1 hour"),  # 01:00 again
    ],
)
def test_what_has_passed_or_comes_twice_is_asked(now: str, phrase: str) -> None:
    with pytest.raises(WhenError):
        read(phrase, at(now))


def test_hours_from_now_are_true_hours_where_clocks_jump() -> None:
    assert read("in 2 hours", at("2026-03-29 00:30")).wall == wall("2026-03-29 03:30")
    assert read("in 3 hours", at("2026-10-25 00:30")).wall == wall("2026-10-25 02:30")
    assert read("in 1 hour", at("2026-10-25 00:30")).wall == wall("2026-10-25 01:30")


@pytest.mark.parametrize(
    ("phrase", "day_first", "month_first"),
    [
        ("3/4 9am", "2027-04-03 09:00", "2027-03-04 09:00"),
        ("12/1 9am", "2027-01-12 09:00", "2026-12-01 09:00"),
        ("12/15 6pm", None, "2026-12-15 18:00"),
        ("15/12 6pm", "2026-12-15 18:00", None),
        ("3/4/2027", "2027-04-03 09:00", "2027-03-04 09:00"),
        ("3 apr", "2027-04-03 09:00", "2027-04-03 09:00"),
        ("3.4.2027", "2027-04-03 09:00", "2027-04-03 09:00"),
        ("sat 3/4", "2027-04-03 09:00", None),
        ("thu 3/4", None, "2027-03-04 09:00"),
    ],
)
def test_day_and_month_stand_in_her_order(
    phrase: str, day_first: str | None, month_first: str | None
) -> None:
    for order, expected in ((Order.DAY_FIRST, day_first), (Order.MONTH_FIRST, month_first)):
        if expected is None:
            with pytest.raises(WhenError):
                read(phrase, NOW, order)
        else:
            assert read(phrase, NOW, order).wall == wall(expected)


def test_a_time_that_is_not_said_is_the_usual_one_and_told() -> None:
    found = read("tue", NOW, untimed=time(12))
    assert (found.wall, found.timed) == (wall("2026-12-01 12:00"), False)
    assert read("tue 18:00", NOW).timed
    assert not read("18:00", NOW).dated
