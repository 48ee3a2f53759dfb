"""What is due when: again, late, in quiet hours, before a class, on which evening."""

from dataclasses import replace
from datetime import date, time, timedelta

import pytest

from core.cadence import Cadence
from core.client import ClientId
from core.diary import Away, AwayId, ClassEntry, ClassId, called_off, moved_once
from core.reminder import (
    Kind,
    Reminder,
    ReminderError,
    ReminderId,
    Rhythm,
    announced,
    digest_cadence,
    later_on,
    quiet_until,
    told_day,
)
from tests.unit.core.moments import utc, wall

LONDON = "Europe/London"
DAILY = Reminder(
    ReminderId(1), Kind.OWN, "laundry", Cadence(wall("2026-11-25T08:00"), LONDON, "FREQ=DAILY")
)
NIGHT = Rhythm(quiet=(time(22), time(7)))
TUESDAYS = ClassEntry(
    ClassId(1), Cadence(wall("2026-12-01T18:00"), LONDON, "FREQ=WEEKLY;BYDAY=TU"), 50
)
LEAD = 30


def test_after_a_week_asleep_it_is_due_once_at_its_next_time() -> None:
    assert later_on(DAILY, utc("2026-12-02T12:00")).due == utc("2026-12-03T08:00")


def test_one_that_is_said_once_is_due_no_more() -> None:
    once = replace(DAILY, cadence=Cadence(wall("2026-11-25T08:00"), LONDON))
    assert later_on(once, utc("2026-11-25T08:00")).due is None


def test_it_keeps_its_wall_time_over_a_change_of_clocks() -> None:
    assert later_on(DAILY, utc("2027-03-27T08:00")).due == utc("2027-03-28T07:00")


def test_in_a_gap_it_is_due_as_long_after_the_jump_and_in_an_overlap_once() -> None:
    night = replace(DAILY, cadence=Cadence(wall("2027-03-01T01:30"), LONDON, "FREQ=DAILY"))
    assert later_on(night, utc("2027-03-27T12:00")).due == utc("2027-03-28T01:30")  # 02:30 there
    first = later_on(night, utc("2027-10-30T12:00")).due
    assert first == utc("2027-10-31T00:30")
    assert later_on(night, first).due == utc("2027-11-01T01:30")


@pytest.mark.parametrize(
    ("now", "ends"),
    [
        ("2026-11-25T21:59", None),
        ("2026-11-25T22:00", "2026-11-26T07:00"),
        ("2026-11-26T06:59", "2026-11-26T07:00"),
        ("2026-11-26T07:00", None),
        ("2027-03-27T23:00", "2027-03-28T06:00"),  # clocks go forward in that night
        ("2027-10-30T22:00", "2027-10-31T07:00"),  # 23:00 there; clocks go back in that night
    ],
)
def test_quiet_hours_over_midnight(now: str, ends: str | None) -> None:
    assert quiet_until(utc(now), NIGHT, LONDON) == (utc(ends) if ends else None)


def test_quiet_hours_at_noon_and_none_at_all() -> None:
    noon = Rhythm(quiet=(time(12), time(14)))
    assert quiet_until(utc("2026-11-25T13:00"), noon, LONDON) == utc("2026-11-25T14:00")
    assert quiet_until(utc("2026-11-25T11:59"), noon, LONDON) is None
    assert quiet_until(utc("2026-11-25T23:00"), Rhythm(), LONDON) is None


def test_an_end_of_quiet_hours_that_clocks_show_twice_is_to_come() -> None:
    rhythm = Rhythm(quiet=(time(22), time(1, 30)))
    now = utc("2027-10-31T01:10")  # 01:10 there, the second time; the first 01:30 has passed
    ends = quiet_until(now, rhythm, LONDON)
    assert ends is not None
    assert ends > now


def said(since: str, now: str, entry: ClassEntry = TUESDAYS, *away: Away) -> list[list[str]]:
    """The lessons that are announced, and those that are over."""
    found = announced([entry], away, LEAD, utc(since), utc(now))
    return [[f"{each.wall:%d %H:%M}" for each in group] for group in found]


def test_a_class_is_announced_so_long_before_it() -> None:
    assert said("2026-12-01T17:30", "2026-12-01T17:30") == [["01 18:00"], []]
    assert said("2026-12-01T17:00", "2026-12-01T17:29") == [[], []]


def test_late_it_is_announced_until_it_is_over() -> None:
    assert said("2026-12-01T17:30", "2026-12-01T18:49") == [["01 18:00"], []]
    assert said("2026-12-01T17:30", "2026-12-01T18:50") == [[], ["01 18:00"]]
    assert said("2026-12-01T17:30", "2026-12-15T17:45") == [["15 18:00"], ["01 18:00", "08 18:00"]]


def test_what_is_moved_called_off_or_away_is_announced_as_it_now_is() -> None:
    moved = moved_once(TUESDAYS, date(2026, 12, 1), wall("2026-12-02T17:00"))
    assert said("2026-12-01T17:30", "2026-12-01T17:30", moved) == [[], []]
    assert said("2026-12-02T16:30", "2026-12-02T16:30", moved) == [["02 17:00"], []]
    off = called_off(TUESDAYS, date(2026, 12, 1))
    assert said("2026-12-01T17:30", "2026-12-01T17:30", off) == [[], []]
    away = Away(AwayId(1), date(2026, 12, 1), date(2026, 12, 1))
    assert said("2026-12-01T17:30", "2026-12-01T17:30", TUESDAYS, away) == [[], []]


@pytest.mark.parametrize(
    ("now", "day"),
    [
        ("2026-11-25T19:00", "2026-11-26"),
        ("2026-11-25T18:59", "2026-11-25"),
        ("2026-11-26T02:00", "2026-11-26"),
    ],
)
def test_a_digest_is_about_the_day_after_its_evening(now: str, day: str) -> None:
    assert told_day(utc(now), time(19), LONDON) == date.fromisoformat(day)


def test_a_digest_comes_every_evening_or_never() -> None:
    cadence = digest_cadence(Rhythm(), date(2026, 11, 25), LONDON)
    assert cadence == Cadence(wall("2026-11-25T19:00"), LONDON, "FREQ=DAILY")
    assert digest_cadence(Rhythm(digest=None), date(2026, 11, 25), LONDON) is None


def test_a_question_is_open_from_when_it_was_asked() -> None:
    asked = replace(DAILY, kind=Kind.FOLLOW_UP, client=ClientId(1))
    assert not asked.open
    assert replace(asked, rung=utc("2026-11-25T08:00")).open
    assert not replace(DAILY, rung=utc("2026-11-25T08:00")).open


@pytest.mark.parametrize(
    "spoiled",
    [
        {"text": " "},
        {"text": "x" * 301},
        {"cadence": None},
        {"client": ClientId(1)},
        {"kind": Kind.FOLLOW_UP},
    ],
)
def test_what_can_not_be_is_refused(spoiled: dict[str, object]) -> None:
    with pytest.raises(ReminderError):
        replace(DAILY, **spoiled)  # type: ignore[arg-type]


@pytest.mark.parametrize("lead", [4, 24 * 60])
def test_a_lead_is_within_a_day(lead: int) -> None:
    with pytest.raises(ReminderError):
        Rhythm(lead=lead)


def test_quiet_hours_have_a_length() -> None:
    with pytest.raises(ReminderError):
        Rhythm(quiet=(time(7), time(7)))


def test_a_minute_is_not_lost_between_two_looks() -> None:
    instant, seen = utc("2026-12-01T17:00"), 0
    for _ in range(60):
        following = instant + timedelta(minutes=1)
        seen += len(announced([TUESDAYS], (), LEAD, following, following)[0])
        instant = following
    assert seen == 1
