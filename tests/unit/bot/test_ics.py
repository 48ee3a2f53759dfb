"""Calendar files: what ours say is what the cadence says; what others say is offered or refused."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import icalendar
import pytest
import recurring_ical_events  # type: ignore[import-untyped]

from bot.errors import CalendarFileError
from bot.ics import AllDay, Entry, read_calendar, write_calendar
from bot.ics.reading import MOST_BYTES, MOST_EVENTS
from bot.ics.zones import changes, defined
from core.cadence import Cadence, occurrences, wall_of
from tests.unit.core.moments import utc, wall
from tests.zone_walk import FIRST, LAST
from tests.zone_walk import changes as walked

STAMP = utc("2026-11-25 10:00")
LONDON, NEW_YORK = "Europe/London", "America/New_York"
CADENCES = [
    Cadence(wall("2026-12-01 18:00"), LONDON),
    Cadence(wall("2026-12-01 18:00"), LONDON, "FREQ=WEEKLY;BYDAY=TU"),
    Cadence(wall("2026-11-25 18:00"), LONDON, "FREQ=WEEKLY;BYDAY=TU,TH;UNTIL=20270328"),
    Cadence(wall("2026-11-25 18:00"), NEW_YORK, "FREQ=WEEKLY;INTERVAL=2;BYDAY=FR;COUNT=12"),
    Cadence(wall("2026-01-01 01:30"), LONDON, "FREQ=DAILY;UNTIL=20271231T013000"),
    Cadence(wall("2026-03-01 02:30"), NEW_YORK, "FREQ=DAILY;COUNT=400"),
    Cadence(wall("2026-01-31 09:00"), "Australia/Lord_Howe", "FREQ=MONTHLY;BYMONTHDAY=-1"),
    Cadence(wall("2026-01-01 00:30"), "America/Santiago", "FREQ=DAILY;UNTIL=20271001T040000Z"),
    Cadence(
        wall("2026-12-01 18:00"),
        "Europe/Lisbon",
        "FREQ=WEEKLY",
        frozenset({date(2026, 12, 22), date(2026, 12, 29), date(2027, 1, 1)}),
    ),
]
HALF_HOUR = timedelta(minutes=30)


def entry(cadence: Cadence, uid: str = "class-1@coilbook") -> Entry:
    return Entry(
        uid, "Chair, dawn", cadence, timedelta(minutes=50), (HALF_HOUR,), "plan 3", "Studio"
    )


def seen(data: bytes) -> list[datetime]:
    """The instants an outside reader finds."""
    found = recurring_ical_events.of(icalendar.Calendar.from_ical(data)).between(
        utc("2025-12-01"), utc("2028-01-01")
    )
    return sorted(each["DTSTART"].dt.astimezone(UTC) for each in found)


def said(cadence: Cadence) -> list[datetime]:
    return [each.at for each in occurrences(cadence, utc("2025-12-01"), utc("2028-01-01"))]


@pytest.mark.parametrize("cadence", CADENCES)
def test_an_outside_reader_finds_the_instants_of_the_cadence(cadence: Cadence) -> None:
    data = write_calendar([entry(cadence)], STAMP, "Classes")
    assert seen(data) == said(cadence)
    assert said(cadence)


@pytest.mark.parametrize("cadence", CADENCES)
def test_the_definition_of_the_zone_alone_says_the_same(cadence: Cadence) -> None:
    """With a zone name that nobody knows, readers have only the definition in the file."""
    data = write_calendar([entry(cadence)], STAMP, "Classes")
    number = CADENCES.index(cadence)  # the reader keeps the first definition of a name
    unknown = data.replace(cadence.zone.encode(), f"Own/Studio{number}".encode())
    plain = [
        each.at
        for each in occurrences(cadence, utc("2025-12-01"), utc("2028-01-01"))
        if wall_of(each.at, cadence.zone) == each.wall  # in gaps, readers differ
    ]
    assert set(plain) <= set(seen(unknown))
    assert len(seen(unknown)) == len(said(cadence))


@pytest.mark.parametrize("cadence", CADENCES)
def test_what_is_written_is_read_again(cadence: Cadence) -> None:
    data = write_calendar([entry(cadence), entry(cadence, "class-2@coilbook")], STAMP, "Classes")
    found = read_calendar(data, "UTC")
    assert [each.uid for each in found.entries] == ["class-1@coilbook", "class-2@coilbook"]
    assert said(found.entries[0].cadence) == said(cadence)
    assert found.entries[0].length == timedelta(minutes=50)
    assert (found.entries[0].title, found.entries[0].place) == ("Chair, dawn", "Studio")


@pytest.mark.parametrize(
    "zone",
    [LONDON, NEW_YORK, "America/Santiago", "Pacific/Chatham", "Antarctica/Troll", "Asia/Kolkata"],
)
def test_changes_of_a_zone_are_those_a_walk_finds(zone: str) -> None:
    ours = changes(ZoneInfo(zone), FIRST, LAST)
    hours = walked(ZoneInfo(zone))
    assert len(ours) == len(hours)
    for change, hour in zip(ours, hours, strict=True):
        assert hour < change <= hour + timedelta(hours=1)
    lines = defined(zone, 2026, 2028).to_ical().decode().splitlines()
    assert lines.count("BEGIN:DAYLIGHT") + lines.count("BEGIN:STANDARD") == len(hours) + 1


def test_an_onset_is_told_in_the_time_before_it() -> None:
    """RFC 5545 3.6.5; London goes from 01:00 to 02:00 on 29 March 2026."""
    lines = defined(LONDON, 2026, 2026).to_ical().decode().splitlines()
    assert "DTSTART:20260329T010000" in lines
    assert "DTSTART:20261025T020000" in lines


def test_a_file_is_as_the_standard_wants_it() -> None:
    odd = Entry(
        "r-1@coilbook", "10:30; tea, cake\nand " + "é" * 60, CADENCES[0], alarms=(HALF_HOUR,)
    )
    data = write_calendar([odd, entry(CADENCES[2])], STAMP, "Classes")
    lines = data.split(b"\r\n")
    assert all(len(line) <= 75 for line in lines)
    assert b"\n" not in data.replace(b"\r\n", b"")
    for line in lines:
        line.decode()  # no character is cut by folding
    unfolded = data.replace(b"\r\n ", b"").decode()
    assert "SUMMARY:10:30\\; tea\\, cake\\nand " + "é" * 60 in unfolded
    assert "TRIGGER:-PT30M" in unfolded
    assert "DTSTART;TZID=Europe/London:20261201T180000" in unfolded
    assert "UNTIL=20270328T225959Z" in unfolded
    assert unfolded.count("BEGIN:VTIMEZONE") == 1
    assert unfolded.count("DURATION:PT50M") == 1


def test_the_same_is_written_the_same() -> None:
    entries = [entry(cadence, f"class-{k}@coilbook") for k, cadence in enumerate(CADENCES)]
    assert write_calendar(entries, STAMP, "A") == write_calendar(entries, STAMP, "A")


def file(*events: str) -> bytes:
    text = "\n".join(["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:x", *events, "END:VCALENDAR", ""])
    return text.replace("\n", "\r\n").encode()


def event(*lines: str) -> str:
    return "\n".join(["BEGIN:VEVENT", "UID:1", "SUMMARY:Mat", *lines, "END:VEVENT"])


@pytest.mark.parametrize(
    ("lines", "start", "zone", "rule"),
    [
        (("DTSTART:20261201T180000",), "2026-12-01 18:00", "Europe/Lisbon", None),
        (
            ("DTSTART;TZID=Europe/Berlin:20261201T180000",),
            "2026-12-01 18:00",
            "Europe/Berlin",
            None,
        ),
        (("DTSTART:20261201T180000Z",), "2026-12-01 18:00", "Europe/Lisbon", None),
        (("DTSTART:20260701T180000Z",), "2026-07-01 19:00", "Europe/Lisbon", None),
        (
            ("DTSTART;TZID=W. Europe Standard Time:20261201T180000",),
            "2026-12-01 18:00",
            "Europe/Berlin",
            None,
        ),
        (
            ("DTSTART:20261201T180000", "RRULE:FREQ=WEEKLY;BYDAY=TU;COUNT=4"),
            "2026-12-01 18:00",
            "Europe/Lisbon",
            "FREQ=WEEKLY;COUNT=4;BYDAY=TU",
        ),
    ],
)
def test_a_foreign_entry_is_read(
    lines: tuple[str, ...], start: str, zone: str, rule: str | None
) -> None:
    found = read_calendar(file(event(*lines, "DURATION:PT1H")), "Europe/Lisbon")
    cadence = found.entries[0].cadence
    assert (cadence.start, cadence.zone, cadence.rule) == (wall(start), zone, rule)


def test_a_zone_that_only_the_file_knows_is_its_own() -> None:
    """Two files may mean different zones by one name."""
    lines = event("DTSTART;TZID=Own/Room:20261201T180000", "DURATION:PT1H")
    for offset, hour in (("+0200", 16), ("-0500", 23)):
        zone = (
            "BEGIN:VTIMEZONE\nTZID:Own/Room\nBEGIN:STANDARD\nDTSTART:20200101T000000\n"
            f"TZOFFSETFROM:{offset}\nTZOFFSETTO:{offset}\nEND:STANDARD\nEND:VTIMEZONE"
        )
        found = read_calendar(file(zone, lines), "UTC")
        assert found.entries[0].cadence == Cadence(wall(f"2026-12-01 {hour}:00"), "UTC")


def test_exceptions_moves_and_cancellations_are_taken_in() -> None:
    data = file(
        event(
            "DTSTART;TZID=Europe/London:20261201T180000",
            "DURATION:PT1H",
            "RRULE:FREQ=WEEKLY;COUNT=5",
            "EXDATE;TZID=Europe/London:20261208T180000",
        ),
        event(
            "RECURRENCE-ID;TZID=Europe/London:20261215T180000",
            "DTSTART;TZID=Europe/London:20261216T170000",
        ),
        event("RECURRENCE-ID;TZID=Europe/London:20261222T180000",
              "DTSTART;TZID=Europe/London:20261222T180000", "STATUS:CANCELLED"),
        event("DTSTART:20261203T180000", "STATUS:CANCELLED").replace("UID:1", "UID:2"),
    )  # fmt: skip
    found = read_calendar(data, LONDON)
    assert [
        each.at for each in occurrences(found.entries[0].cadence, STAMP, utc("2028-01-01"))
    ] == [
        utc("2026-12-01 18:00"),
        utc("2026-12-29 18:00"),
    ]
    assert found.entries[1].cadence == Cadence(wall("2026-12-16 17:00"), LONDON)
    assert found.cancelled == 1


def test_whole_days_are_told_apart_and_end_before_their_end() -> None:
    found = read_calendar(
        file(event("DTSTART;VALUE=DATE:20261220", "DTEND;VALUE=DATE:20270104")), LONDON
    )
    assert found.days == (AllDay("1", "Mat", date(2026, 12, 20), date(2027, 1, 3)),)
    assert found.entries == ()


@pytest.mark.parametrize(
    "lines",
    [
        ("DTSTART:20261201T180000", "RRULE:FREQ=HOURLY"),
        ("DTSTART:20261201T180000", "RRULE:FREQ=DAILY;BYHOUR=9,17"),
        ("DTSTART:20261201T180000", "RDATE:20261203T180000"),
        ("DTSTART:20261201T180000", "RRULE:FREQ=MONTHLY;BYMONTH=2;BYMONTHDAY=30"),
        ("DTSTART;VALUE=DATE:20261220", "RRULE:FREQ=YEARLY"),
    ],
)
def test_what_recurs_in_another_way_is_named_and_not_guessed(lines: tuple[str, ...]) -> None:
    found = read_calendar(file(event(*lines)), LONDON)
    assert (found.entries, found.days, found.recurring) == ((), (), ("Mat",))


def test_a_rule_in_utc_that_names_another_day_here_is_not_guessed() -> None:
    data = file(event("DTSTART:20261201T233000Z", "RRULE:FREQ=WEEKLY;BYDAY=TU"))
    assert read_calendar(data, "Pacific/Auckland").recurring == ("Mat",)


@pytest.mark.parametrize(
    "lines",
    [("DTSTART:2026xx",), (), ("DTSTART:20261301T990000",), ("SUMMARY:no start",)],
)
def test_an_entry_that_is_broken_is_counted_and_the_rest_is_read(lines: tuple[str, ...]) -> None:
    good = event("DTSTART:20261201T180000").replace("UID:1", "UID:2")
    found = read_calendar(file(event(*lines), good), LONDON)
    assert (len(found.entries), found.unread) == (1, 1)


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (b"", "broken"),
        (b"hello", "broken"),
        (b"\xff\xfe\x00", "broken"),
        (b"BEGIN:VCALENDAR\r\n", "broken"),
        (b"BEGIN:VEVENT\r\nEND:VEVENT\r\n", "broken"),
        (b"BEGIN:VCALENDAR\r\nBEGIN:VEVENT\r\nEND:VCALENDAR\r\n", "broken"),
        (file(), "empty"),
        (b"x" * (MOST_BYTES + 1), "large"),
        (file(*[event("DTSTART:20261201T180000")] * (MOST_EVENTS + 1)), "many"),
    ],
)
def test_a_file_that_can_not_be_read_has_one_reason(data: bytes, why: str) -> None:
    with pytest.raises(CalendarFileError) as refused:
        read_calendar(data, LONDON)
    assert refused.value.why == why


def test_a_title_is_a_short_readable_line() -> None:
    data = file(event("DTSTART:20261201T180000").replace("Mat", "a\\nb\u202e" + "x" * 500))
    title = read_calendar(data, LONDON).entries[0].title
    assert title.startswith("a b x")
    assert len(title) == 80
