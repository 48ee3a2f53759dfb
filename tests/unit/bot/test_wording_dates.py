"""Dates as they are said back."""

import pytest

from bot.wording.dates import recurs, told
from core.cadence import Cadence
from tests.unit.core.moments import wall

NOW = wall("2026-11-25 10:00")


@pytest.mark.parametrize(
    ("moment", "said"),
    [
        ("2026-12-01 18:00", "Tue 1 Dec 18:00, in 6 days"),
        ("2026-11-25 18:00", "Wed 25 Nov 18:00, today"),
        ("2026-11-26 00:05", "Thu 26 Nov 00:05, tomorrow"),
        ("2026-12-09 09:00", "Wed 9 Dec 09:00, in 2 weeks"),
        ("2026-12-12 09:00", "Sat 12 Dec 09:00, in about 2 weeks"),
        ("2027-01-01 09:00", "Fri 1 Jan 2027 09:00, in about 5 weeks"),
        ("2027-04-03 09:00", "Sat 3 Apr 2027 09:00, in about 4 months"),
    ],
)
def test_a_moment_is_said_with_how_far_ahead_it_is(moment: str, said: str) -> None:
    assert told(wall(moment), NOW) == said


def test_a_time_that_clocks_jump_over_is_said_as_they_show_it() -> None:
    assert told(wall("2027-03-28 01:30"), NOW, "Europe/London").startswith("Sun 28 Mar 2027 02:30,")
    assert told(wall("2027-03-28 00:30"), NOW, "Europe/London").startswith("Sun 28 Mar 2027 00:30,")


@pytest.mark.parametrize(
    ("rule", "said"),
    [
        (None, "Tue 1 Dec 18:00"),
        ("FREQ=DAILY", "every day 18:00"),
        ("FREQ=DAILY;INTERVAL=2", "every other day 18:00"),
        ("FREQ=DAILY;INTERVAL=3;COUNT=6", "every 3 days 18:00, 6 times"),
        ("FREQ=DAILY;BYDAY=MO,TU,WE,TH,FR", "every weekday 18:00"),
        ("FREQ=WEEKLY", "every Tuesday 18:00"),
        ("FREQ=WEEKLY;BYDAY=TH,TU", "every Tuesday and Thursday 18:00"),
        ("FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR", "every weekday 18:00"),
        ("FREQ=WEEKLY;INTERVAL=2;BYDAY=TU", "every other Tuesday 18:00"),
        ("FREQ=WEEKLY;INTERVAL=3;BYDAY=TU", "every 3 weeks on Tuesday 18:00"),
        ("FREQ=WEEKLY;BYDAY=TU;COUNT=1", "every Tuesday 18:00, once"),
        ("FREQ=WEEKLY;BYDAY=TU;UNTIL=20261222", "every Tuesday 18:00, until 22 Dec"),
        ("FREQ=WEEKLY;BYDAY=TU;UNTIL=20270403", "every Tuesday 18:00, until 3 Apr 2027"),
        ("FREQ=WEEKLY;BYDAY=TU;UNTIL=20270403T230000Z", "every Tuesday 18:00, until 4 Apr 2027"),
        ("FREQ=MONTHLY;BYDAY=1MO", "first Monday of the month 18:00"),
        ("FREQ=MONTHLY;BYDAY=1TU,3TU", "first Tuesday and third Tuesday of the month 18:00"),
        ("FREQ=MONTHLY;BYDAY=-1FR", "last Friday of the month 18:00"),
        ("FREQ=MONTHLY;BYMONTHDAY=3", "3rd of the month 18:00"),
        ("FREQ=MONTHLY;BYMONTHDAY=11,21", "11th and 21st of the month 18:00"),
        ("FREQ=MONTHLY;BYMONTHDAY=-1", "last day of the month 18:00"),
        ("FREQ=MONTHLY;INTERVAL=2", "1st of every other month 18:00"),
        ("FREQ=MONTHLY;BYDAY=TU;BYSETPOS=1", "by a rule of its own 18:00"),
        ("FREQ=YEARLY", "every 1 Dec 18:00"),
    ],
)
def test_what_recurs_is_said(rule: str | None, said: str) -> None:
    assert recurs(Cadence(wall("2026-12-01 18:00"), "Europe/Lisbon", rule)) == said
