"""When a wall time comes, found by walking over the minutes of UTC and looking at the clock.

The reference for `core.cadence`: it asks a zone only what its clocks show at an instant, never
which instant a wall time is.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

FIRST, LAST = datetime(2026, 1, 1, tzinfo=UTC), datetime(2029, 1, 1, tzinfo=UTC)
MINUTE, HOUR, DAY = timedelta(minutes=1), timedelta(hours=1), timedelta(days=1)
AROUND = 3 * DAY


@dataclass(frozen=True, slots=True)
class Walk:
    """What the clocks of a zone show, minute by minute.

    Attributes:
        shown: the naive local time of each minute from `begin` on.
        first: local time -> the first minute that shows it.
    """

    begin: datetime
    shown: tuple[datetime, ...]
    first: dict[datetime, int]

    def instant(self, wall: datetime) -> datetime:
        """The first instant that shows the wall time; where none does, as long after the jump as
        the wall time lies after the last one shown before it."""
        if wall in self.first:
            return self.begin + self.first[wall] * MINUTE
        jump = next(k for k, each in enumerate(self.shown) if k and each > wall)
        return self.begin + jump * MINUTE + (wall - (self.shown[jump - 1] + MINUTE))

    def dates(self) -> list[date]:
        """The dates that lie wholly inside the walk."""
        days = sorted({each.date() for each in self.shown})
        return days[1:-1]


def changes(zone: ZoneInfo) -> list[datetime]:
    """The hours of 2026 to 2028 in which the clocks of the zone change."""
    found, at, offset = [], FIRST, _offset(FIRST, zone)
    while at < LAST:
        later = min(at + DAY, LAST)
        if _offset(later, zone) != offset:
            while _offset(at + HOUR, zone) == offset:
                at += HOUR
            found.append(at)
            offset, later = _offset(at + HOUR, zone), at + HOUR
        at = later
    return found


def walk(zone: ZoneInfo, middle: datetime) -> Walk:
    """All minutes of the three days before and after."""
    begin, shown = middle - AROUND, []
    for k in range(2 * AROUND // MINUTE):
        shown.append((begin + k * MINUTE).astimezone(zone).replace(tzinfo=None, fold=0))
    first: dict[datetime, int] = {}
    for k, each in enumerate(shown):
        first.setdefault(each, k)
    return Walk(begin, tuple(shown), first)


def odd_times(around: Walk) -> Iterator[time]:
    """Times of day that the clocks jump over or show twice, on the dates of the walk."""
    for before, after in zip(around.shown, around.shown[1:], strict=False):
        if after != before + MINUTE:
            low, high = sorted((before + MINUTE, after))
            yield from (low.time(), (low + (high - low) / 2).time(), (high - MINUTE).time())
            yield high.time()


def _offset(at: datetime, zone: ZoneInfo) -> timedelta | None:
    return at.astimezone(zone).utcoffset()
