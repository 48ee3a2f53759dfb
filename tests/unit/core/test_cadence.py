"""RFC 5545's worked rules, its reading of clock changes, and the zones of 2026; the sources of the
expected days are RFC 5545 3.8.5.3 and the tz database."""

from datetime import date, timedelta
from itertools import islice

import pytest

from core.cadence import Cadence, begun, next_after, occurrences, on_day
from tests.unit.core.moments import NEVER, utc, wall

NEW_YORK = "America/New_York"
LONDON = "Europe/London"


def days(
    rule: str, start: str = "1997-09-02 09:00", number: int = 400, zone: str = NEW_YORK
) -> list[date]:
    cadence = Cadence(wall(start), zone, rule)
    found = islice(occurrences(cadence, utc("1990-01-01"), NEVER), number)
    return [each.day for each in found]


def dates(year: int, text: str) -> list[date]:
    """ "Sep 2 4, Oct 7, 1998 Jan 6": days after their month, years where they change."""
    months = "Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec".split()
    month, found = 0, []
    for word in text.replace(",", "").split():
        if word in months:
            month = months.index(word) + 1
        elif len(word) == 4:
            year = int(word)
        else:
            found.append(date(year, month, int(word)))
    return found


FINITE = [
    ("FREQ=DAILY;COUNT=10", "1997-09-02", "Sep 2 3 4 5 6 7 8 9 10 11"),
    ("FREQ=WEEKLY;COUNT=10", "1997-09-02", "Sep 2 9 16 23 30 Oct 7 14 21 28 Nov 4"),
    (
        "FREQ=WEEKLY;COUNT=10;WKST=SU;BYDAY=TU,TH",
        "1997-09-02",
        "Sep 2 4 9 11 16 18 23 25 30 Oct 2",
    ),
    (
        "FREQ=WEEKLY;INTERVAL=2;COUNT=8;WKST=SU;BYDAY=TU,TH",
        "1997-09-02",
        "Sep 2 4 16 18 30 Oct 2 14 16",
    ),
    (
        "FREQ=MONTHLY;COUNT=10;BYDAY=1FR",
        "1997-09-05",
        "Sep 5 Oct 3 Nov 7 Dec 5 1998 Jan 2 Feb 6 Mar 6 Apr 3 May 1 Jun 5",
    ),
    (
        "FREQ=MONTHLY;COUNT=6;BYDAY=-2MO",
        "1997-09-22",
        "Sep 22 Oct 20 Nov 17 Dec 22 1998 Jan 19 Feb 16",
    ),
    ("FREQ=MONTHLY;COUNT=3;BYDAY=TU,WE,TH;BYSETPOS=3", "1997-09-04", "Sep 4 Oct 7 Nov 6"),
    (
        "FREQ=WEEKLY;INTERVAL=2;COUNT=4;BYDAY=TU,SU;WKST=MO",
        "1997-08-05",
        "Aug 5 10 19 24",
    ),
    (
        "FREQ=WEEKLY;INTERVAL=2;COUNT=4;BYDAY=TU,SU;WKST=SU",
        "1997-08-05",
        "Aug 5 17 19 31",
    ),
    ("FREQ=MONTHLY;BYMONTHDAY=15,30;COUNT=5", "2007-01-15", "Jan 15 30 Feb 15 Mar 15 30"),
    ("FREQ=MONTHLY;COUNT=4", "2026-01-31", "Jan 31 Mar 31 May 31 Jul 31"),
    ("FREQ=YEARLY;COUNT=3", "2024-02-29", "Feb 29 2028 Feb 29 2032 Feb 29"),
]
ENDLESS = [
    (
        "FREQ=WEEKLY;INTERVAL=2;WKST=SU",
        "1997-09-02",
        "Sep 2 16 30 Oct 14 28 Nov 11 25 Dec 9 23 1998 Jan 6",
    ),
    ("FREQ=MONTHLY;BYMONTHDAY=-3", "1997-09-28", "Sep 28 Oct 29 Nov 28 Dec 29 1998 Jan 29 Feb 26"),
    (
        "FREQ=MONTHLY;BYDAY=FR;BYMONTHDAY=13",  # its first time falls out in the RFC by EXDATE
        "1997-09-02",
        "1998 Feb 13 Mar 13 Nov 13 1999 Aug 13 2000 Oct 13",
    ),
    (
        "FREQ=MONTHLY;BYDAY=MO,TU,WE,TH,FR;BYSETPOS=-2",
        "1997-09-29",
        "Sep 29 Oct 30 Nov 27 Dec 30 1998 Jan 29 Feb 26 Mar 30",
    ),
    (
        "FREQ=YEARLY;INTERVAL=4;BYMONTH=11;BYDAY=TU;BYMONTHDAY=2,3,4,5,6,7,8",
        "1996-11-05",
        "Nov 5 2000 Nov 7 2004 Nov 2",
    ),
]


@pytest.mark.parametrize(("rule", "start", "expected"), FINITE)
def test_a_worked_rule_that_ends(rule: str, start: str, expected: str) -> None:
    assert days(rule, f"{start} 09:00") == dates(int(start[:4]), expected)


@pytest.mark.parametrize(("rule", "start", "expected"), ENDLESS)
def test_a_worked_rule_without_end(rule: str, start: str, expected: str) -> None:
    named = dates(int(start[:4]), expected)
    assert days(rule, f"{start} 09:00", len(named)) == named


@pytest.mark.parametrize(
    ("rule", "start", "number", "last"),
    [
        ("FREQ=DAILY;UNTIL=19971224T000000Z", "1997-09-02", 113, "1997-12-23"),
        ("FREQ=WEEKLY;UNTIL=19971224T000000Z", "1997-09-02", 17, "1997-12-23"),
        (
            "FREQ=WEEKLY;INTERVAL=2;UNTIL=19971224T000000Z;WKST=SU;BYDAY=MO,WE,FR",
            "1997-09-01",
            25,
            "1997-12-22",
        ),
    ],
)
def test_a_worked_rule_until_a_day(rule: str, start: str, number: int, last: str) -> None:
    found = days(rule, f"{start} 09:00")
    assert len(found) == number
    assert found[-1] == date.fromisoformat(last)


def test_numbered_and_plain_weekdays_may_stand_together() -> None:
    """dateutil alone takes them for a day that has to be both."""
    found = days("FREQ=MONTHLY;BYDAY=1MO,SU", "2026-12-01 09:00", 6)
    assert found == dates(2026, "Dec 6 7 13 20 27 2027 Jan 3")


def test_wall_time_stays_where_clocks_change() -> None:
    cadence = Cadence(wall("1997-09-02 09:00"), NEW_YORK, "FREQ=DAILY;UNTIL=19971224T000000Z")
    by_day = {each.day: each for each in occurrences(cadence, utc("1997-01-01"), NEVER)}
    assert by_day[date(1997, 10, 25)].at == utc("1997-10-25 13:00")  # EDT
    assert by_day[date(1997, 10, 26)].at == utc("1997-10-26 14:00")  # EST
    assert {each.wall.hour for each in by_day.values()} == {9}


@pytest.mark.parametrize(
    ("until", "last"),
    [
        ("20260407T170000Z", "2026-04-07"),  # 18:00 in London's summer: inclusive
        ("20260407T165959Z", "2026-03-31"),
        ("20260407T180000", "2026-04-07"),
        ("20260407T175959", "2026-03-31"),
        ("20260407", "2026-04-07"),
        ("20260406", "2026-03-31"),
    ],
)
def test_until_is_inclusive(until: str, last: str) -> None:
    found = days(f"FREQ=WEEKLY;UNTIL={until}", "2026-03-24 18:00", zone=LONDON)
    assert found[-1] == date.fromisoformat(last)


def test_the_first_counts_and_what_falls_out_counts_too() -> None:
    cadence = Cadence(
        wall("2026-03-22 18:00"), LONDON, "FREQ=WEEKLY;COUNT=3", frozenset({date(2026, 4, 5)})
    )
    found = [each.at for each in occurrences(cadence, utc("2026-01-01"), NEVER)]
    assert found == [utc("2026-03-22 18:00"), utc("2026-03-29 17:00")]


@pytest.mark.parametrize(
    ("day", "expected"),
    [
        ("2020-12-31", (2020, 53, 4)),
        ("2021-01-03", (2020, 53, 7)),
        ("2021-01-04", (2021, 1, 1)),
        ("2024-12-30", (2025, 1, 1)),
        ("2026-12-31", (2026, 53, 4)),
        ("2027-01-03", (2026, 53, 7)),
        ("2008-12-29", (2009, 1, 1)),
        ("2010-01-03", (2009, 53, 7)),
    ],
)
def test_a_weekly_rule_has_one_in_every_iso_week(day: str, expected: tuple[int, int, int]) -> None:
    """ISO 8601 weeks; a year has 52 or 53 of them, and every other week is not every even one."""
    the_day = date.fromisoformat(day)
    assert tuple(the_day.isocalendar()) == expected
    start = the_day - timedelta(weeks=60)
    found = days("FREQ=WEEKLY", f"{start} 09:00", 120)
    weeks = [each.isocalendar()[:2] for each in found]
    assert the_day in found
    assert expected[:2] in weeks
    assert len(set(weeks)) == 120
    assert days("FREQ=WEEKLY;INTERVAL=2", f"{start} 09:00", 60) == found[::2]


def test_next_is_later_and_the_span_is_half_open() -> None:
    weekly = Cadence(wall("2026-11-03 18:00"), LONDON, "FREQ=WEEKLY")
    first, second = utc("2026-11-03 18:00"), utc("2026-11-10 18:00")
    found = next_after(weekly, first)
    assert found is not None
    assert found.at == second
    assert [each.at for each in occurrences(weekly, first, second)] == [first]


def test_the_one_of_a_date() -> None:
    weekly = Cadence(wall("2026-11-03 23:30"), NEW_YORK, "FREQ=WEEKLY")
    found = on_day(weekly, date(2026, 11, 10))
    assert found is not None
    assert found.at == utc("2026-11-11 04:30")
    for missing in (date(2026, 11, 9), date(2026, 11, 11), date(2026, 10, 27)):
        assert on_day(weekly, missing) is None


def test_the_start_of_a_rule_is_moved_to_the_first_it_names() -> None:
    monday = Cadence(wall("2026-11-23 18:00"), LONDON, "FREQ=WEEKLY;BYDAY=TH")
    assert begun(monday).start == wall("2026-11-26 18:00")
    assert begun(begun(monday)) == begun(monday)
    assert begun(Cadence(wall("2026-11-23 18:00"), LONDON)).start == wall("2026-11-23 18:00")
