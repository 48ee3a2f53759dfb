"""Entries -> a calendar file that any calendar imports, and knows again."""

from collections.abc import Sequence
from datetime import UTC, date, datetime, time, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from bot.ics.entry import Entry
from bot.ics.zones import defined
from core.cadence import begun, instant_of, on_day
from core.recurrence import parse_rule

if TYPE_CHECKING:
    from icalendar import Alarm, Event

MAKER = "-//Coilbook//diary//EN"
YEARS_DEFINED = 10  # of a zone whose classes have no end
_LAST_SECOND = time(23, 59, 59)


def write_calendar(entries: Sequence[Entry], stamp: datetime, name: str) -> bytes:
    """The file: zones, entries with their exceptions and alarms.

    Args:
        entries: what to write.
        stamp: this moment, aware; calendars prefer the later of two of the same uid.
        name: what calendars call it.
    """
    from icalendar import Calendar  # noqa: PLC0415 - late: start-up would pay 80 ms for it

    made = Calendar()
    made.add("prodid", MAKER)
    made.add("version", "2.0")
    made.add("method", "PUBLISH")
    made.add("x-wr-calname", name)
    for zone in sorted({entry.cadence.zone for entry in entries}):
        years = [e.cadence.start.year for e in entries if e.cadence.zone == zone]
        made.add_component(defined(zone, min(years), max(years) + YEARS_DEFINED))
    for entry in entries:
        made.add_component(_event(entry, stamp.astimezone(UTC)))
    return bytes(made.to_ical())


def _event(entry: Entry, stamp: datetime) -> "Event":
    from icalendar import Event, vRecur  # noqa: PLC0415

    cadence = begun(entry.cadence)
    zone = ZoneInfo(cadence.zone)
    made = Event()
    made.add("uid", entry.uid)
    made.add("dtstamp", stamp)
    made.add("summary", entry.title)
    made.add("dtstart", cadence.start.replace(tzinfo=zone))
    if entry.length:
        made.add("duration", entry.length)
    else:
        made.add("transp", "TRANSPARENT")  # it takes no time
    if cadence.rule is not None:
        made.add("rrule", vRecur.from_ical(_with_instant(cadence.rule, cadence.zone)))
    gone = [each for day in sorted(cadence.without) if (each := _gone(entry, day))]
    if gone:
        made.add("exdate", [wall.replace(tzinfo=zone) for wall in gone])
    if entry.place:
        made.add("location", entry.place)
    if entry.note:
        made.add("description", entry.note)
    for before in entry.alarms:
        made.add_component(_alarm(entry.title, before))
    return made


def _gone(entry: Entry, day: date) -> datetime | None:
    """The wall time of a date that falls out; None where the rule does not name it."""
    cadence = entry.cadence
    whole = type(cadence)(cadence.start, cadence.zone, cadence.rule)
    found = on_day(whole, day)
    return found.wall if found else None


def _with_instant(rule: str, zone: str) -> str:
    """The rule with its end as an instant in UTC, as RFC 5545 3.3.10 wants it beside a zone."""
    until = parse_rule(rule).until
    match until:
        case None:
            return rule
        case datetime():
            last = until.astimezone(UTC) if until.tzinfo else instant_of(until, zone)
        case _:
            last = instant_of(datetime.combine(until, _LAST_SECOND), zone)
    parts = [part for part in rule.split(";") if not part.upper().startswith("UNTIL=")]
    return ";".join([*parts, f"UNTIL={last:%Y%m%dT%H%M%SZ}"])


def _alarm(title: str, before: timedelta) -> "Alarm":
    from icalendar import Alarm  # noqa: PLC0415

    made = Alarm()
    made.add("action", "DISPLAY")
    made.add("description", title)
    made.add("trigger", -before)
    return made
