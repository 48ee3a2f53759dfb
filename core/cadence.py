"""What recurs, or happens once, at a wall-clock time in a zone -> the instants at which it does.

The wall time and the zone are the truth; instants follow from them. Where clocks change:

- a time that clocks jump over is read with the offset in force before the jump, so 01:30 in
  London's spring night happens at 02:30 summer time (RFC 5545 3.3.5; that it happens at all,
  and counts, is a house choice: 3.3.10 can be read both ways);
- a time that clocks show twice is the first of the two (RFC 5545 3.3.5);
- a date that the zone leaves out altogether has none (Samoa, 30 December 2011).

Every date of the rule therefore happens exactly once.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from core.errors import CadenceError
from core.recurrence import Rule, names_a_day, parse_rule, walls

_DAY = timedelta(days=1)
_NOON = time(12)


@dataclass(frozen=True, slots=True)
class Cadence:
    """A wall time in a zone, once or by a rule.

    Attributes:
        start: naive wall time to the second; nothing happens before it. Where the rule does not
            name it (a rule for Tuesdays beginning on a Monday), the first is the first named.
        zone: IANA name.
        rule: an RFC 5545 RRULE value such as "FREQ=WEEKLY;BYDAY=TU"; None for once.
        without: dates of the rule that fall out.
    """

    start: datetime
    zone: str
    rule: str | None = None
    without: frozenset[date] = frozenset()

    def __post_init__(self) -> None:
        if self.start.tzinfo is not None or self.start.microsecond:
            raise CadenceError(f"a wall time is naive and of whole seconds, not {self.start!r}")
        if any(type(day) is not date for day in self.without):
            raise CadenceError("what falls out are dates without a time")
        zone_named(self.zone)
        if self.rule is not None and not names_a_day(parse_rule(self.rule), self.start):
            raise CadenceError(f"{self.rule} names no day")


@dataclass(frozen=True, slots=True, order=True)
class Occurrence:
    """One time that something happens.

    Attributes:
        at: the instant, aware, in UTC.
        day: the date of the rule; with the cadence it names this occurrence.
        wall: the naive wall time of the rule; clocks show another where they jump over it.
    """

    at: datetime
    day: date
    wall: datetime


def zone_named(name: str) -> ZoneInfo:
    """The time zone of that IANA name.

    Raises:
        CadenceError: there is none.
    """
    try:
        return ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        raise CadenceError(f"{name!r} is no time zone") from None


def instant_of(wall: datetime, zone: str) -> datetime:
    """The instant in UTC at which clocks of the zone show the naive wall time."""
    return wall.replace(tzinfo=zone_named(zone), fold=0).astimezone(UTC)


def wall_of(instant: datetime, zone: str) -> datetime:
    """What clocks of the zone show at the instant, naive."""
    return _aware(instant).astimezone(zone_named(zone)).replace(tzinfo=None, fold=0)


def occurrences(cadence: Cadence, after: datetime, before: datetime) -> Iterator[Occurrence]:
    """All from `after` on, itself included, up to `before`, itself left out; in order."""
    _aware(before)
    for each in _from(cadence, after):
        if each.at >= before:
            return
        if each.at >= after:
            yield each


def next_after(cadence: Cadence, instant: datetime) -> Occurrence | None:
    """The first one later than the instant; None when there is none any more."""
    return next((each for each in _from(cadence, instant) if each.at > instant), None)


def on_day(cadence: Cadence, day: date) -> Occurrence | None:
    """The one of that date of the rule, if there is one."""
    noon = instant_of(datetime.combine(day, _NOON), cadence.zone)
    for each in _from(cadence, noon - _DAY):
        if each.day >= day:
            return each if each.day == day else None
    return None


def begun(cadence: Cadence) -> Cadence:
    """The same with `start` at the first wall time that the rule names, as calendars want it."""
    if cadence.rule is None:
        return cadence
    first = next(walls(parse_rule(cadence.rule), cadence.start, cadence.start), cadence.start)
    return replace(cadence, start=first)


def _from(cadence: Cadence, instant: datetime) -> Iterator[Occurrence]:
    """All from the instant on, with a few before it; endless where the rule is."""
    zone = zone_named(cadence.zone)
    near = _aware(instant).astimezone(zone).replace(tzinfo=None, fold=0)
    near -= _DAY  # clocks may have jumped meanwhile
    rule = parse_rule(cadence.rule) if cadence.rule is not None else None
    for wall in walls(rule, cadence.start, near) if rule else (cadence.start,):
        day = wall.date()
        at = wall.replace(tzinfo=zone, fold=0).astimezone(UTC)
        if rule and _over(rule, wall, at):
            return
        if day not in cadence.without and _exists(day, at, zone):
            yield Occurrence(at, day, wall)


def _over(rule: Rule, wall: datetime, at: datetime) -> bool:
    """Whether the rule has ended before this one."""
    match rule.until:
        case None:
            return False
        case datetime() as until:
            return at > until if until.tzinfo else wall > until
        case until:
            return wall.date() > until


def _exists(day: date, at: datetime, zone: ZoneInfo) -> bool:
    """Whether clocks of the zone show that date at all."""
    if at.astimezone(zone).date() == day:
        return True
    noon = datetime.combine(day, _NOON, zone)
    return noon.astimezone(UTC).astimezone(zone).date() == day


def _aware(instant: datetime) -> datetime:
    if instant.tzinfo is None:
        raise CadenceError("an instant has a zone")
    return instant
