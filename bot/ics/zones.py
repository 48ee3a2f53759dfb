"""A time zone as a calendar file defines it (VTIMEZONE, RFC 5545 3.6.5).

Own work, because the library's (icalendar 7.3) puts the spring change of London at 02:00 instead of
01:00: an onset is told in the local time before the change.
"""

from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

if TYPE_CHECKING:
    from icalendar import Timezone, TimezoneDaylight, TimezoneStandard

_DAY, _MINUTE = timedelta(days=1), timedelta(minutes=1)
_NONE = timedelta()


def changes(zone: ZoneInfo, first: datetime, last: datetime) -> list[datetime]:
    """The instants between two at which the clocks of the zone change."""
    found, at = [], first
    while at < last:
        later = at + _DAY
        if _offset(later, zone) != _offset(at, zone):
            found.append(_exact(at, later, zone))
        at = later
    return found


def _exact(before: datetime, after: datetime, zone: ZoneInfo) -> datetime:
    """The first minute of the new offset."""
    old = _offset(before, zone)
    while after - before > _MINUTE:
        middle = before + (after - before) // 2
        middle = middle.replace(second=0, microsecond=0)
        before, after = (middle, after) if _offset(middle, zone) == old else (before, middle)
    return after


def defined(name: str, first_year: int, last_year: int) -> "Timezone":
    """The definition of the zone for those years."""
    from icalendar import Timezone  # noqa: PLC0415 - late, as everything of this library

    zone = ZoneInfo(name)
    begin = datetime(first_year - 1, 12, 30, tzinfo=UTC)
    made = Timezone()
    made.add("tzid", name)
    made.add_component(_observance(zone, begin, _offset(begin, zone)))
    for change in changes(zone, begin, datetime(last_year + 1, 1, 2, tzinfo=UTC)):
        made.add_component(_observance(zone, change, _offset(change - _MINUTE, zone)))
    return made


def _observance(
    zone: ZoneInfo, change: datetime, before: timedelta
) -> "TimezoneDaylight | TimezoneStandard":
    from icalendar import TimezoneDaylight, TimezoneStandard  # noqa: PLC0415

    after = _offset(change, zone)
    local = change.astimezone(zone)
    made = TimezoneDaylight() if local.dst() else TimezoneStandard()
    made.add("dtstart", (change + before).replace(tzinfo=None))
    made.add("tzoffsetfrom", before)
    made.add("tzoffsetto", after)
    made.add("tzname", local.tzname() or zone.key)
    return made


def _offset(at: datetime, zone: ZoneInfo) -> timedelta:
    return at.astimezone(zone).utcoffset() or _NONE
