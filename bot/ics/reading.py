"""A calendar file -> what it holds, or one reason why it can't be read.

Nothing is kept here: entries are offered. Times are taken as wall time in their zone; those in UTC
or in a zone only the file knows become wall time in hers.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING, Any, Protocol
from zoneinfo import ZoneInfo

from bot.errors import CalendarFileError
from bot.ics.entry import AllDay, Contents, Entry
from core.cadence import Cadence, zone_named
from core.errors import CadenceError
from core.recurrence import parse_rule

if TYPE_CHECKING:
    from icalendar import Calendar

MOST_BYTES = 300_000
MOST_EVENTS = 400
LONGEST_TITLE = 80
LONGEST = timedelta(hours=16)  # what lasts longer is no class
UNTITLED = "?"
_DAY = timedelta(days=1)

Props = Mapping[str, Any]  # of an entry, as the library gives them


class _Timed(Protocol):
    """A property that is a date, a moment or a length."""

    dt: Any


def read_calendar(data: bytes, zone: str) -> Contents:
    """What the file holds.

    Args:
        data: the file as it came.
        zone: hers, for times that name none.

    Raises:
        CalendarFileError: it is too large, no calendar, or holds nothing.
    """
    if len(data) > MOST_BYTES:
        raise CalendarFileError("large")
    calendar = _parsed(data)
    events = list(calendar.walk("VEVENT"))
    if len(events) > MOST_EVENTS:
        raise CalendarFileError("many")
    if not events:
        raise CalendarFileError("empty")
    found = _Found(zone)
    for event in sorted(events, key=lambda each: "RECURRENCE-ID" in each):
        found.take(dict(event))
    return found.contents()


def _parsed(data: bytes) -> "Calendar":
    # late: start-up would pay 80 ms for it
    from icalendar import Calendar  # noqa: PLC0415
    from icalendar.timezone import tzp  # noqa: PLC0415

    tzp.use_zoneinfo()  # forgets zones that another file has defined under the same name

    # folded lines are put together before they are decoded (RFC 5545 3.1)
    unfolded = re.sub(rb"\r?\n[ \t]", b"", data)
    try:
        calendar = Calendar.from_ical(unfolded.decode("utf-8-sig"))
    except (ValueError, KeyError, IndexError, TypeError, AttributeError, RecursionError):
        raise CalendarFileError("broken") from None
    if not isinstance(calendar, Calendar):
        raise CalendarFileError("broken")
    return calendar


@dataclass
class _Found:
    """Entries as they are found."""

    zone: str
    entries: dict[str, Entry] = field(default_factory=dict)
    singles: list[Entry] = field(default_factory=list)
    days: list[AllDay] = field(default_factory=list)
    recurring: list[str] = field(default_factory=list)
    unread: int = 0
    cancelled: int = 0

    def take(self, event: Props) -> None:
        """One entry of the file, where it can be read."""
        try:
            self._take(event)
        except (ValueError, KeyError, TypeError, AttributeError, OverflowError, CadenceError):
            self.unread += 1

    def contents(self) -> Contents:
        """All that was found."""
        return Contents(
            (*self.entries.values(), *self.singles),
            tuple(self.days),
            tuple(self.recurring),
            self.unread,
            self.cancelled,
        )

    def _take(self, event: Props) -> None:
        uid, title = str(event.get("UID", "")), _text(event.get("SUMMARY"))
        moved = event.get("RECURRENCE-ID")
        if moved is not None and uid in self.entries:
            self._drop(uid, _wall(moved, self.zone)[0].date())
        if str(event.get("STATUS", "")).upper() == "CANCELLED":
            self.cancelled += moved is None
            return
        start = event["DTSTART"].dt
        if not isinstance(start, datetime):
            self._take_days(event, uid, title, start)
            return
        wall, zone = _wall(event["DTSTART"], self.zone)
        try:
            cadence = Cadence(wall, zone, self._rule(event, start, wall), self._gone(event))
        except CadenceError:
            self.recurring.append(title)
            return
        entry = Entry(
            uid, title, cadence, _length(event, start), place=_text(event.get("LOCATION"))
        )
        if moved is None and uid and uid not in self.entries:
            self.entries[uid] = entry
        else:
            self.singles.append(entry)

    def _take_days(self, event: Props, uid: str, title: str, first: date) -> None:
        if "RRULE" in event or "RDATE" in event:
            self.recurring.append(title)
            return
        end = first + _DAY
        if "DTEND" in event:
            end = event["DTEND"].dt
        elif "DURATION" in event:
            end = first + event["DURATION"].dt
        self.days.append(AllDay(uid, title, first, max(first, end - _DAY)))

    def _rule(self, event: Props, start: datetime, wall: datetime) -> str | None:
        if "RDATE" in event or isinstance(event.get("RRULE"), list):
            raise CadenceError("more than one rule")
        if "RRULE" not in event:
            return None
        rule = str(event["RRULE"].to_ical().decode())
        parsed = parse_rule(rule)
        if wall.date() != start.date() and (parsed.days or parsed.numbers):
            raise CadenceError("the rule names days of another zone")
        return rule

    def _gone(self, event: Props) -> frozenset[date]:
        lists = event.get("EXDATE", [])
        lists = lists if isinstance(lists, list) else [lists]
        return frozenset(_wall(each, self.zone)[0].date() for dates in lists for each in dates.dts)

    def _drop(self, uid: str, day: date) -> None:
        entry = self.entries[uid]
        cadence = entry.cadence
        without = cadence.without | {day}
        kept = Cadence(cadence.start, cadence.zone, cadence.rule, without)
        self.entries[uid] = Entry(uid, entry.title, kept, entry.length, place=entry.place)


def _wall(prop: _Timed, hers: str) -> tuple[datetime, str]:
    """The wall time of a property, and its zone."""
    moment = prop.dt
    if not isinstance(moment, datetime):
        return datetime.combine(moment, datetime.min.time()), hers
    moment = moment.replace(microsecond=0)
    if moment.tzinfo is None:
        return moment, hers
    zone = moment.tzinfo
    if isinstance(zone, ZoneInfo) and zone.key not in ("UTC", "Etc/UTC"):
        return moment.replace(tzinfo=None, fold=0), zone.key
    return moment.astimezone(UTC).astimezone(zone_named(hers)).replace(tzinfo=None, fold=0), hers


def _length(event: Props, start: datetime) -> timedelta:
    if "DURATION" in event:
        length: timedelta = event["DURATION"].dt
    elif "DTEND" in event:
        end = event["DTEND"].dt
        both = start.tzinfo is not None and end.tzinfo is not None
        begin, end = (
            (each.astimezone(UTC) if both else each).replace(tzinfo=None) for each in (start, end)
        )
        length = end - begin
    else:
        length = timedelta()
    return min(max(length, timedelta()), LONGEST)


def _text(value: object) -> str:
    """A line of readable text."""
    text = " ".join("".join(c if c.isprintable() else " " for c in str(value or "")).split())
    return text[:LONGEST_TITLE] or UNTITLED
