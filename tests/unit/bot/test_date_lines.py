"""Dates in longer lines: found where they are, and nothing else taken for one."""

from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from bot.when import Finder, WhenError
from tests.unit.core.moments import wall

FINDER = Finder(datetime(2026, 11, 25, 10, tzinfo=ZoneInfo("Europe/London")))


@pytest.mark.parametrize(
    ("line", "expected", "rest"),
    [
        ("fri 9am order springs", "2026-11-27 09:00", "order springs"),
        ("Fri 9am Order Springs", "2026-11-27 09:00", "Order Springs"),
        ("tomorrow to order springs", "2026-11-26 09:00", "to order springs"),
        ("tomorrow call Ana at 10:00", "2026-11-26 10:00", "call Ana"),
        ("tomorrow call Ana 10am", "2026-11-26 10:00", "call Ana"),
        ("order springs fri 9am", "2026-11-27 09:00", "order springs"),
        ("order springs fri", "2026-11-27 09:00", "order springs"),
        ("order springs in 3 days", "2026-11-28 09:00", "order springs"),
        ("call June fri 9am", "2026-11-27 09:00", "call June"),
        ("june fri 9am", "2026-11-27 09:00", "june"),
        ("fri 9am may needs a mat", "2026-11-27 09:00", "may needs a mat"),
        ("fri 9am | order springs for monday", "2026-11-27 09:00", "order springs for monday"),
        ("fri 9am|order", "2026-11-27 09:00", "order"),
        ("order | 9 springs", None, ""),
        ("3 dec 9:00 50 private ANA", "2026-12-03 09:00", "50 private ANA"),
        ("tue 50 chair dawn", "2026-12-01 09:00", "50 chair dawn"),
        ("tue 18:00 12 chair", "2026-12-01 18:00", "12 chair"),
        ("fri 9am 12 springs", "2026-11-27 09:00", "12 springs"),
        ("fri 9am for monday class", "2026-11-27 09:00", "for monday class"),
        ("in 2 hours call back", "2026-11-25 12:00", "call back"),
        ("in 20 min check the door", "2026-11-25 10:20", "check the door"),
        ("10 springs for class tue 18:00", "2026-12-01 18:00", "10 springs for class"),
        ("bring 3 mats on friday", "2026-11-27 09:00", "bring 3 mats"),
        ("march 3 order springs", "2027-03-03 09:00", "order springs"),
        ("second hand springs fri 10:00", "2026-11-27 10:00", "second hand springs"),
        ("at 18:00 call Ana", "2026-11-25 18:00", "call Ana"),
        ("call Ana 2026-12-01T18:00", "2026-12-01 18:00", "call Ana"),
        ("sat order springs", "2026-11-28 09:00", "order springs"),
        ("on friday at 9:00 order springs", "2026-11-27 09:00", "order springs"),
    ],
)
def test_a_date_is_found(line: str, expected: str | None, rest: str) -> None:
    if expected is None:
        with pytest.raises(WhenError):
            FINDER.find(line)
        return
    found = FINDER.find(line)
    assert found is not None
    assert (found.when.wall, found.rest) == (wall(expected), rest)


@pytest.mark.parametrize(
    ("line", "rule", "rest"),
    [
        ("tue 18:00 weekly 50 chair dawn", "FREQ=WEEKLY;BYDAY=TU", "50 chair dawn"),
        ("every tue and thu 18:00 bring mats", "FREQ=WEEKLY;BYDAY=TU,TH", "bring mats"),
        (
            "every tue 18:00 until easter bring mats",
            "FREQ=WEEKLY;BYDAY=TU;UNTIL=20270328",
            "bring mats",
        ),
        ("check springs every first monday 9:00", "FREQ=MONTHLY;BYDAY=1MO", "check springs"),
        ("every morning stretch", "FREQ=DAILY", "stretch"),
    ],
)
def test_what_recurs_is_found(line: str, rule: str, rest: str) -> None:
    found = FINDER.find(line)
    assert found is not None
    assert (found.when.rule, found.rest) == (rule, rest)


@pytest.mark.parametrize(
    "line",
    [
        "", "may need a mat", "note Maria: may need a mat, sat badly on the 2nd", "knee 3/10 pain",
        "knee pain 3/10", "the cat sat", "order 12 springs", "order springs 12", "marching band",
        "order springs", "June", "second", "ANA hurt her knee on the 2nd", "week",
    ],
)  # fmt: skip
def test_no_date_is_found_where_there_is_none(line: str) -> None:
    assert FINDER.find(line) is None


@pytest.mark.parametrize(
    ("line", "readings"),
    [
        ("tomorrow 7 call Ana", ["tomorrow 7am call Ana", "tomorrow 7pm call Ana"]),
        (
            "order springs tomorrow at 7",
            ["order springs tomorrow 7am", "order springs tomorrow 7pm"],
        ),
        ("tue 7 | order springs", ["tue 7am | order springs", "tue 7pm | order springs"]),
        ("call Ana weekend", ["call Ana sat", "call Ana sun"]),
        ("tue and thu 18:00 bring mats", ["every tue and thu 18:00 bring mats"]),
        ("whenever | order springs", []),
        ("sat badly on the 2nd", []),
        ("sun cream fri 9am", []),
        ("order springs before friday", []),
        ("order springs by friday", []),
        ("tomorrow order springs before 9am", []),
        ("friday class order springs mon 9am", []),
        ("tomorrow call Ana about 9:30 class fri", []),
        ("tomorrow or friday call Ana", []),
        ("fri to sun no classes", []),
        ("tue 18:00 except 5 jan chair", []),
        ("every tue 18:00 in january bring mats", []),
        ("every tue 18:00 until further notice bring mats", []),
        ("fri 9am for 2 weeks water plants", []),
        ("2 fri 9am", []),
        ("bring 2 fri 9am", []),
        ("next week call Ana", []),
        ("order springs next week", []),
    ],
)
def test_what_could_be_two_things_is_asked(line: str, readings: list[str]) -> None:
    with pytest.raises(WhenError) as asked:
        FINDER.find(line)
    assert list(asked.value.readings) == readings


@pytest.mark.parametrize(
    ("line", "expected", "rest"),
    [
        ("ANA in 2 days about the knee", "2026-11-27 09:00", "ANA about the knee"),
        ("May in 2 days about the knee", "2026-11-27 09:00", "May about the knee"),
        ("June fri 9am about the knee", "2026-11-27 09:00", "June about the knee"),
        ("Ana Maria next tue about it", "2026-12-01 09:00", "Ana Maria about it"),
        ("ANA about the knee in 2 days", None, ""),
        ("ANA said the knee hurt on tuesday", None, ""),
        ("ANA sat badly", None, ""),
    ],
)
def test_a_date_after_a_name(line: str, expected: str | None, rest: str) -> None:
    found = FINDER.after_name(line.split())
    if expected is None:
        assert found is None
        return
    assert found is not None
    assert (found.when.wall, found.rest) == (wall(expected), rest)


def test_a_date_after_a_name_is_asked_about_too() -> None:
    with pytest.raises(WhenError) as asked:
        FINDER.after_name("ANA tomorrow at 7 about it".split())
    assert asked.value.readings == ("ANA tomorrow 7am about it", "ANA tomorrow 7pm about it")
    with pytest.raises(WhenError):
        FINDER.after_name("ANA about tuesday".split())
