"""The diary: what is moved, called off, ended, left out by a holiday, and where clocks change."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from core.cadence import Cadence
from core.diary import (
    Away,
    AwayId,
    ClassEntry,
    ClassId,
    DiaryError,
    called_off,
    clashes,
    ended,
    in_zone,
    lessons,
    moved_from,
    moved_once,
    next_lesson,
    over_before,
    week_of,
    with_plan,
)
from tests.unit.core.moments import utc, wall

LONDON = "Europe/London"
TUESDAYS = ClassEntry(
    ClassId(1), Cadence(wall("2026-12-01T18:00"), LONDON, "FREQ=WEEKLY;BYDAY=TU"), 50, group="dawn"
)
ONCE = ClassEntry(ClassId(2), Cadence(wall("2026-12-03T09:00"), LONDON), 50)
FIRST, SECOND, THIRD = date(2026, 12, 1), date(2026, 12, 8), date(2026, 12, 15)
BEFORE, AFTER = utc("2026-11-25"), utc("2026-12-31")


def walls(entry: ClassEntry, *away: Away) -> list[str]:
    """When it takes place in December."""
    found = lessons([entry], away, BEFORE, AFTER)
    return [f"{each.wall:%d %H:%M}" for each in found if not each.away]


def test_a_weekly_class_takes_place_each_week() -> None:
    assert walls(TUESDAYS) == ["01 18:00", "08 18:00", "15 18:00", "22 18:00", "29 18:00"]


def test_a_lesson_called_off_is_gone_with_its_plan_and_its_move() -> None:
    entry = with_plan(moved_once(TUESDAYS, SECOND, wall("2026-12-09T17:00")), SECOND, 7)
    off = called_off(entry, SECOND)
    assert walls(off) == ["01 18:00", "15 18:00", "22 18:00", "29 18:00"]
    assert (off.moved, off.plans) == ((), ())


def test_a_moved_lesson_keeps_its_date_as_its_name() -> None:
    entry = moved_once(with_plan(TUESDAYS, SECOND, 7), SECOND, wall("2026-12-09T17:00"))
    assert walls(entry) == ["01 18:00", "09 17:00", "15 18:00", "22 18:00", "29 18:00"]
    (moved,) = [each for each in lessons([entry], (), BEFORE, AFTER) if each.moved]
    assert (moved.day, moved.plan) == (SECOND, 7)


def test_moved_twice_it_stands_at_the_last_time_only() -> None:
    entry = moved_once(TUESDAYS, SECOND, wall("2026-12-09T17:00"))
    entry = moved_once(entry, SECOND, wall("2026-12-10T16:00"))
    assert walls(entry) == ["01 18:00", "10 16:00", "15 18:00", "22 18:00", "29 18:00"]


def test_a_lesson_moved_before_another_comes_first() -> None:
    entry = moved_once(TUESDAYS, THIRD, wall("2026-12-07T12:00"))
    assert walls(entry)[:3] == ["01 18:00", "07 12:00", "08 18:00"]
    coming = next_lesson([entry], (), utc("2026-12-02"))
    assert coming is not None
    assert coming.day == THIRD


def test_a_lesson_moves_by_sixty_days_at_most() -> None:
    moved_once(TUESDAYS, FIRST, wall("2027-01-30T18:00"))
    with pytest.raises(DiaryError):
        moved_once(TUESDAYS, FIRST, wall("2027-01-31T18:00"))


def test_a_single_class_moves_as_a_whole_with_its_plan() -> None:
    entry = moved_once(with_plan(ONCE, date(2026, 12, 3), 7), date(2026, 12, 3), wall("2026-12-04"))
    assert walls(entry) == ["04 00:00"]
    assert entry.plans == ((date(2026, 12, 4), 7),)


def test_from_here_on_the_past_stays_and_the_rest_is_on_another_day() -> None:
    entry = with_plan(called_off(TUESDAYS, date(2026, 12, 22)), THIRD, 7)
    before, after = moved_from(entry, SECOND, wall("2026-12-09T17:00"))
    assert before is not None
    assert walls(before) == ["01 18:00"]
    assert walls(after) == ["09 17:00", "16 17:00", "30 17:00"]  # the 22nd stays called off
    assert after.plans == ((date(2026, 12, 16), 7),)


def test_from_the_first_on_nothing_is_left_before() -> None:
    before, after = moved_from(TUESDAYS, FIRST, wall("2026-12-02T18:00"))
    assert before is None
    assert walls(after)[0] == "02 18:00"


def test_of_two_days_a_week_only_the_one_that_is_meant_moves() -> None:
    both = replace(TUESDAYS, cadence=replace(TUESDAYS.cadence, rule="FREQ=WEEKLY;BYDAY=TU,TH"))
    _, after = moved_from(both, FIRST, wall("2026-12-02T18:00"))
    assert walls(after)[:4] == ["02 18:00", "03 18:00", "09 18:00", "10 18:00"]


@pytest.mark.parametrize(
    "rule", ["FREQ=WEEKLY;BYDAY=TU;COUNT=4", "FREQ=MONTHLY;BYDAY=1TU", "FREQ=MONTHLY;BYMONTHDAY=1"]
)
def test_a_rule_that_can_not_be_shifted_is_refused(rule: str) -> None:
    entry = replace(TUESDAYS, cadence=replace(TUESDAYS.cadence, rule=rule))
    with pytest.raises(DiaryError):
        moved_from(entry, FIRST, wall("2026-12-02T18:00"))


def test_ended_it_has_no_lesson_from_that_day_on() -> None:
    left = ended(TUESDAYS, THIRD)
    assert left is not None
    assert walls(left) == ["01 18:00", "08 18:00"]
    assert ended(TUESDAYS, FIRST) is None
    assert ended(ONCE, date(2026, 12, 3)) is None


def test_a_holiday_leaves_out_its_days_the_last_included() -> None:
    away = Away(AwayId(1), SECOND, THIRD)
    assert walls(TUESDAYS, away) == ["01 18:00", "22 18:00", "29 18:00"]
    coming = next_lesson([TUESDAYS], [away], utc("2026-12-02"))
    assert coming is not None
    assert coming.day == date(2026, 12, 22)


def test_a_lesson_moved_out_of_a_holiday_takes_place_and_into_one_it_does_not() -> None:
    away = Away(AwayId(1), SECOND, SECOND)
    out = moved_once(TUESDAYS, SECOND, wall("2026-12-09T18:00"))
    assert "09 18:00" in walls(out, away)
    into = moved_once(TUESDAYS, THIRD, wall("2026-12-08T12:00"))
    assert "08 12:00" not in walls(into, away)


def test_a_holiday_can_not_end_before_it_begins() -> None:
    with pytest.raises(DiaryError):
        Away(AwayId(1), SECOND, FIRST)


def test_two_at_once_clash_and_one_after_another_do_not() -> None:
    other = replace(TUESDAYS, id=ClassId(3))
    later = replace(other, cadence=replace(other.cadence, start=wall("2026-12-01T18:50")))
    assert len(clashes(lessons([TUESDAYS, other], (), BEFORE, AFTER))) == 5
    assert clashes(lessons([TUESDAYS, later], (), BEFORE, AFTER)) == []
    away = Away(AwayId(1), FIRST, date(2026, 12, 31))
    assert clashes(lessons([TUESDAYS, other], [away], BEFORE, AFTER)) == []


def test_a_class_stays_at_its_wall_time_when_clocks_change() -> None:
    found = lessons([TUESDAYS], (), utc("2027-03-22"), utc("2027-04-01"))
    assert [f"{each.at:%d %H:%M}" for each in found] == ["23 18:00", "30 17:00"]


@pytest.mark.parametrize(
    ("begins", "at", "shown"),
    [
        # London jumps from 01:00 to 02:00 on 28 Mar 2027 and shows 01:00-02:00 twice on 31 Oct 2027
        ("2027-03-28T01:30", "2027-03-28T01:30", "2027-03-28T02:30"),
        ("2027-10-31T01:30", "2027-10-31T00:30", "2027-10-31T01:30"),
    ],
)
def test_a_class_in_a_gap_or_an_overlap_takes_place_once(begins: str, at: str, shown: str) -> None:
    daily = ClassEntry(ClassId(4), Cadence(wall(begins), LONDON, "FREQ=DAILY;COUNT=2"), 50)
    first, second = lessons([daily], (), utc("2027-01-01"), utc("2028-01-01"))
    assert (first.at, first.wall) == (utc(at), wall(shown))
    assert second.wall == wall(begins) + timedelta(days=1)
    assert first.day == wall(begins).date()


def test_in_another_zone_it_keeps_its_wall_time() -> None:
    there = in_zone(TUESDAYS, "America/New_York")
    assert walls(there) == walls(TUESDAYS)
    coming = next_lesson([there], (), BEFORE)
    assert coming is not None
    assert coming.at == utc("2026-12-01T23:00")


@pytest.mark.parametrize(
    ("day", "monday"), [("2027-01-03", "2026-12-28"), ("2026-12-28", "2026-12-28")]
)
def test_a_week_begins_on_monday(day: str, monday: str) -> None:
    begins = date.fromisoformat(monday)
    assert week_of(date.fromisoformat(day)) == (begins, begins + timedelta(days=7))


def test_it_is_over_only_when_its_last_lesson_has_ended() -> None:
    assert over_before(ONCE, utc("2026-12-03T09:50"))
    assert not over_before(ONCE, utc("2026-12-03T09:49"))
    assert not over_before(TUESDAYS, utc("2040-01-01"))
    left = ended(moved_once(TUESDAYS, FIRST, wall("2026-12-20T18:00")), SECOND)
    assert left is not None
    assert not over_before(left, utc("2026-12-20T18:49"))
    assert over_before(left, utc("2026-12-20T18:50"))


@pytest.mark.parametrize("minutes", [14, 121])
def test_a_class_is_no_shorter_and_no_longer(minutes: int) -> None:
    with pytest.raises(DiaryError):
        replace(ONCE, minutes=minutes)


def test_a_place_has_so_many_letters() -> None:
    replace(ONCE, place="x" * 60)
    with pytest.raises(DiaryError):
        replace(ONCE, place="x" * 61)
