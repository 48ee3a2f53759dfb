"""Any rule: the days of dateutil walking from the start, and those of an outside reader.

A sample of the zones is followed over the changes of their clocks.
"""

from datetime import UTC, date, datetime, timedelta
from itertools import dropwhile, islice, takewhile
from zoneinfo import available_timezones

import icalendar
import pytest
import recurring_ical_events  # type: ignore[import-untyped]
from dateutil.rrule import rrulestr
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from core.cadence import Cadence, Occurrence, begun, next_after, occurrences, on_day
from core.recurrence import names_a_day, parse_rule
from tests.bench.zones import look_at
from tests.unit.core.moments import wall

ZONES = ("Europe/London", "America/New_York", "Australia/Lord_Howe", "America/Santiago", "UTC")
SAMPLE = sorted(available_timezones())[::25]
STARTS = st.datetimes(wall("1990-01-01"), wall("2040-01-01")).map(
    lambda each: each.replace(microsecond=0)
)
DAYS = st.lists(st.sampled_from(("MO", "TU", "WE", "TH", "FR", "SA", "SU")), min_size=1, max_size=4)


@st.composite
def rules(draw: st.DrawFn) -> str:
    """Any rule that may be said; some of them name no day."""
    frequency = draw(st.sampled_from(("DAILY", "WEEKLY", "MONTHLY", "YEARLY")))
    parts = [f"FREQ={frequency}"]
    interval = draw(st.integers(1, 7))
    days = draw(st.none() | DAYS)
    if interval > 1:
        parts.append(f"INTERVAL={interval}")
    if days and (frequency != "DAILY" or interval == 1):
        monthly = frequency in ("MONTHLY", "YEARLY")
        numbered = monthly and draw(st.booleans())
        which = st.sampled_from(("1", "2", "-1", "5") if numbered else ("",))
        parts.append("BYDAY=" + ",".join(draw(which) + day for day in sorted(set(days))))
    if frequency in ("MONTHLY", "YEARLY"):
        for name, least, most in (("BYMONTHDAY", -31, 31), ("BYMONTH", 1, 12)):
            numbers = set(draw(st.lists(st.integers(least, most), max_size=3))) - {0}
            if draw(st.booleans()) and numbers:
                parts.append(f"{name}=" + ",".join(map(str, sorted(numbers))))
    if draw(st.booleans()):
        parts.append("WKST=" + draw(st.sampled_from(("MO", "SU"))))
    if draw(st.booleans()):
        parts.append(f"COUNT={draw(st.integers(1, 60))}")
    return ";".join(parts)


def built(start: datetime, zone: str, rule: str) -> Cadence:
    assume(names_a_day(parse_rule(rule), start))
    return Cadence(start, zone, rule)


@settings(max_examples=200, deadline=None)
@given(STARTS, rules(), st.integers(0, 20_000))
def test_days_near_a_time_are_those_of_a_walk_from_the_start(
    start: datetime, rule: str, ahead: int
) -> None:
    near = start + timedelta(days=ahead, hours=3)
    cadence = built(start, "UTC", rule)
    after = near.replace(tzinfo=UTC)
    walked = dropwhile(lambda each: each < near, rrulestr(rule, dtstart=start))
    wanted = takewhile(lambda each: each < _far(near), walked)
    found = (each.day for each in occurrences(cadence, after, _far(after)))
    assert list(islice(found, 6)) == [each.date() for each in islice(wanted, 6)]


@settings(max_examples=100, deadline=None)
@given(STARTS, rules(), st.sampled_from(ZONES))
def test_one_after_another_is_the_same_as_all_at_once(
    start: datetime, rule: str, zone: str
) -> None:
    cadence = built(start, zone, rule)
    at = datetime(1980, 1, 1, tzinfo=UTC)
    chain: list[Occurrence] = []
    while len(chain) < 12 and (each := next_after(cadence, at)):
        chain.append(each)
        at = each.at
    assert chain == list(
        islice(occurrences(cadence, datetime(1980, 1, 1, tzinfo=UTC), _far(at)), 12)
    )
    assert len({each.day for each in chain}) == len(chain)
    assert chain == sorted(chain)
    assert all(on_day(cadence, each.day) == each for each in chain[:3])


@settings(max_examples=60, deadline=None)
@given(
    st.datetimes(wall("2025-01-01"), wall("2027-01-01")), rules(), st.sampled_from(ZONES),
    st.integers(0, 5), st.booleans(),
)  # fmt: skip
def test_an_outside_reader_of_calendars_finds_the_same_instants(
    start: datetime, rule: str, zone: str, gone: int, some_gone: bool
) -> None:
    cadence = begun(built(start.replace(microsecond=0, second=0), zone, rule))
    opening, closing = datetime(2024, 12, 1, tzinfo=UTC), datetime(2028, 1, 1, tzinfo=UTC)
    every = list(occurrences(cadence, opening, closing))
    without = {every[gone % len(every)].day} if every and some_gone else set[date]()
    cadence = Cadence(cadence.start, cadence.zone, cadence.rule, frozenset(without))
    event = icalendar.Event()
    event.add("uid", "1")
    event.add("dtstart", cadence.start.replace(tzinfo=icalendar.timezone.tzp.timezone(zone)))
    event.add("rrule", icalendar.vRecur.from_ical(rule))
    for each in every:
        if each.day in without:
            event.add("exdate", each.wall.replace(tzinfo=icalendar.timezone.tzp.timezone(zone)))
    calendar = icalendar.Calendar()
    calendar.add_component(event)
    seen = recurring_ical_events.of(calendar).between(opening, closing)
    theirs = sorted(each["DTSTART"].dt.astimezone(UTC) for each in seen)
    assert [each.at for each in occurrences(cadence, opening, closing)] == theirs


@pytest.mark.parametrize("zone", SAMPLE)
def test_what_recurs_happens_once_where_clocks_change(zone: str) -> None:
    tally = look_at([zone])
    assert tally.firings > 50
    assert tally.faults == []


def _far(after: datetime) -> datetime:
    return after + timedelta(days=365 * 60)
