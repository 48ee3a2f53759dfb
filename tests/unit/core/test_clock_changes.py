"""Wall times where clocks change: one instant each, and every date once.

The expected values are of the tz database (2026f) and RFC 5545 3.3.5.
"""

from datetime import date, timedelta

import pytest

from core.cadence import Cadence, instant_of, next_after, occurrences, wall_of
from tests.unit.core.moments import NEVER, utc, wall

LONDON, NEW_YORK = "Europe/London", "America/New_York"


@pytest.mark.parametrize(
    ("zone", "shown", "instant", "shown_then"),
    [
        (LONDON, "2026-03-29 01:30", "2026-03-29 01:30", "2026-03-29 02:30"),
        (LONDON, "2026-10-25 01:30", "2026-10-25 00:30", "2026-10-25 01:30"),
        ("Europe/Berlin", "2026-03-29 02:30", "2026-03-29 01:30", "2026-03-29 03:30"),
        ("Europe/Berlin", "2026-10-25 02:30", "2026-10-25 00:30", "2026-10-25 02:30"),
        (NEW_YORK, "2026-03-08 02:30", "2026-03-08 07:30", "2026-03-08 03:30"),
        (NEW_YORK, "2026-11-01 01:30", "2026-11-01 05:30", "2026-11-01 01:30"),
        (NEW_YORK, "2007-03-11 02:30", "2007-03-11 07:30", "2007-03-11 03:30"),
        (NEW_YORK, "2007-11-04 01:30", "2007-11-04 05:30", "2007-11-04 01:30"),
        ("Australia/Lord_Howe", "2026-04-05 01:45", "2026-04-04 14:45", "2026-04-05 01:45"),
        ("Australia/Lord_Howe", "2026-10-04 02:15", "2026-10-03 15:45", "2026-10-04 02:45"),
        ("Pacific/Chatham", "2026-09-27 03:00", "2026-09-26 14:15", "2026-09-27 04:00"),
        ("Pacific/Chatham", "2026-04-05 03:00", "2026-04-04 13:15", "2026-04-05 03:00"),
        ("America/Santiago", "2026-09-06 00:30", "2026-09-06 04:30", "2026-09-06 01:30"),
        ("America/Santiago", "2026-04-04 23:30", "2026-04-05 02:30", "2026-04-04 23:30"),
        ("Africa/Cairo", "2026-04-24 00:30", "2026-04-23 22:30", "2026-04-24 01:30"),
        ("Africa/Cairo", "2026-10-29 23:30", "2026-10-29 20:30", "2026-10-29 23:30"),
        ("Asia/Beirut", "2026-03-29 00:30", "2026-03-28 22:30", "2026-03-29 01:30"),
        ("Asia/Beirut", "2026-10-24 23:30", "2026-10-24 20:30", "2026-10-24 23:30"),
        ("America/Havana", "2026-03-08 00:30", "2026-03-08 05:30", "2026-03-08 01:30"),
        ("America/Havana", "2026-11-01 00:30", "2026-11-01 04:30", "2026-11-01 00:30"),
        ("Antarctica/Troll", "2026-03-29 01:30", "2026-03-29 01:30", "2026-03-29 03:30"),
        ("Antarctica/Troll", "2026-10-25 01:30", "2026-10-24 23:30", "2026-10-25 01:30"),
        ("America/Sao_Paulo", "2018-11-04 00:30", "2018-11-04 03:30", "2018-11-04 01:30"),
        ("Asia/Pyongyang", "2018-05-04 23:45", "2018-05-04 15:15", "2018-05-05 00:15"),
        ("Asia/Pyongyang", "2015-08-14 23:45", "2015-08-14 14:45", "2015-08-14 23:45"),
        ("America/Caracas", "2016-05-01 02:45", "2016-05-01 07:15", "2016-05-01 03:15"),
        ("Europe/Volgograd", "2020-12-27 01:30", "2020-12-26 21:30", "2020-12-27 01:30"),
        ("Asia/Kathmandu", "2026-06-01 18:00", "2026-06-01 12:15", "2026-06-01 18:00"),
        ("Asia/Kolkata", "2026-06-01 18:00", "2026-06-01 12:30", "2026-06-01 18:00"),
        ("Australia/Eucla", "2026-06-01 18:00", "2026-06-01 09:15", "2026-06-01 18:00"),
        ("Asia/Yangon", "2026-06-01 18:00", "2026-06-01 11:30", "2026-06-01 18:00"),
        ("Pacific/Marquesas", "2026-06-01 18:00", "2026-06-02 03:30", "2026-06-01 18:00"),
        ("America/St_Johns", "2026-01-01 18:00", "2026-01-01 21:30", "2026-01-01 18:00"),
        ("America/St_Johns", "2026-06-01 18:00", "2026-06-01 20:30", "2026-06-01 18:00"),
        ("Australia/Adelaide", "2026-01-01 18:00", "2026-01-01 07:30", "2026-01-01 18:00"),
        ("Pacific/Kiritimati", "2026-06-01 18:00", "2026-06-01 04:00", "2026-06-01 18:00"),
        ("Etc/GMT+5", "2026-06-01 18:00", "2026-06-01 23:00", "2026-06-01 18:00"),
        ("Europe/Dublin", "2026-01-01 18:00", "2026-01-01 18:00", "2026-01-01 18:00"),
        ("Europe/Istanbul", "2016-12-01 18:00", "2016-12-01 15:00", "2016-12-01 18:00"),
        ("Asia/Amman", "2022-12-01 18:00", "2022-12-01 15:00", "2022-12-01 18:00"),
    ],
)
def test_a_wall_time_is_one_instant(zone: str, shown: str, instant: str, shown_then: str) -> None:
    assert instant_of(wall(shown), zone) == utc(instant)
    assert wall_of(utc(instant), zone) == wall(shown_then)
    once = Cadence(wall(shown), zone)
    found = next_after(once, utc(instant) - timedelta(minutes=1))
    assert found is not None
    assert (found.at, found.day, found.wall) == (utc(instant), wall(shown).date(), wall(shown))
    assert next_after(once, utc(instant)) is None


def test_days_are_23_and_25_hours_long_where_clocks_change() -> None:
    daily = Cadence(wall("2026-03-01 18:00"), LONDON, "FREQ=DAILY")
    spring = list(occurrences(daily, utc("2026-03-28 12:00"), utc("2026-03-29 20:00")))
    autumn = list(occurrences(daily, utc("2026-10-24 12:00"), utc("2026-10-25 20:00")))
    assert [b.at - a.at for a, b in (spring, autumn)] == [timedelta(hours=23), timedelta(hours=25)]


@pytest.mark.parametrize("clock", ["00:30", "01:00", "01:30", "01:59", "02:00", "02:30"])
@pytest.mark.parametrize("zone", [LONDON, "Europe/Berlin", NEW_YORK, "America/Havana"])
def test_a_daily_reminder_happens_once_a_date(zone: str, clock: str) -> None:
    daily = Cadence(wall(f"2026-01-01 {clock}"), zone, "FREQ=DAILY")
    found = [each.day for each in occurrences(daily, utc("2026-01-01 12:00"), utc("2027-01-02"))]
    assert found == [date(2026, 1, 2) + timedelta(days=k) for k in range(len(found))]
    assert found[-1] >= date(2026, 12, 31)


def test_a_daily_rule_in_a_gap_is_shifted_and_counted() -> None:
    cadence = Cadence(wall("2026-03-07 02:30"), NEW_YORK, "FREQ=DAILY;COUNT=3")
    found = [each.at for each in occurrences(cadence, utc("2026-01-01"), NEVER)]
    assert found == [utc("2026-03-07 07:30"), utc("2026-03-08 07:30"), utc("2026-03-09 06:30")]


def test_a_date_the_zone_leaves_out_has_none() -> None:
    daily = Cadence(wall("2011-12-28 18:00"), "Pacific/Apia", "FREQ=DAILY;COUNT=4")
    found = list(occurrences(daily, utc("2011-12-01"), NEVER))
    assert [each.day.day for each in found] == [28, 29, 31]
    assert len({each.at for each in found}) == 3
