"""Every zone, each of its clock changes: what recurs happens once, on its day, at its instant.

    python -m tests.bench.zones [ZONE ...]

For every IANA zone and every change of its clocks in 2026 to 2028 (a zone without any is looked
at once a year), a digest at 19:00, a class a week on the day of the change and on the day before,
and reminders every day at awkward times, the very times that are jumped over or shown twice among
them, are followed as a scheduler follows them: always the next after the last. The instants are
compared with a walk over the minutes of UTC.
"""

import sys
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime, time, timedelta
from time import perf_counter
from zoneinfo import ZoneInfo, available_timezones

from core.cadence import Cadence, next_after
from tests.bench.environment import environment
from tests.zone_walk import DAY, FIRST, LAST, Walk, changes, odd_times, walk

DIGEST = time(19)
CLASSES = (time(7, 15), time(18))
AWKWARD = (time(0), time(0, 30), time(1), time(1, 30), time(2), time(2, 30), time(3), time(23, 30))
BEFORE = 5 * 52 * DAY  # the rules began long before


@dataclass(slots=True)
class Tally:
    """What was looked at, and each firing that was not the one expected."""

    zones: int = 0
    changes: int = 0
    cadences: int = 0
    firings: int = 0
    faults: list[str] = field(default_factory=list)


def cadences(zone: str, around: Walk, changed: datetime) -> Iterator[Cadence]:
    """The digest, the classes and the reminders of one change."""
    the_day = changed.astimezone(ZoneInfo(zone)).date()
    began = the_day - BEFORE
    for clock in sorted({DIGEST, *AWKWARD, *odd_times(around)}):
        yield Cadence(datetime.combine(began, clock), zone, "FREQ=DAILY")
    for clock in sorted({*CLASSES, *odd_times(around)}):
        for day in (began, began - DAY):
            yield Cadence(datetime.combine(day, clock), zone, "FREQ=WEEKLY")


def expected(cadence: Cadence, around: Walk) -> list[datetime]:
    """The instants of the walk, one for each date the cadence names."""
    weekly = cadence.rule == "FREQ=WEEKLY"
    return [
        around.instant(datetime.combine(day, cadence.start.time()))
        for day in around.dates()
        if not weekly or day.weekday() == cadence.start.weekday()
    ]


def fired(cadence: Cadence, around: Walk) -> list[datetime]:
    """The instants that follow one another, of the dates of the walk."""
    inside, at = set(around.dates()), around.begin - 2 * DAY
    found: list[datetime] = []
    while True:
        following = next_after(cadence, at)
        if following is None or following.day > max(inside):
            return found
        at = following.at
        if following.day in inside:
            found.append(at)


def look(name: str, tally: Tally) -> None:
    """One zone, all its changes."""
    zone = ZoneInfo(name)
    years = [FIRST.replace(month=3, day=29) + k * timedelta(days=365) for k in range(3)]
    tally.zones += 1
    found = changes(zone)
    tally.changes += len(found)
    for changed in found or years:
        around = walk(zone, changed)
        for cadence in cadences(name, around, changed):
            wanted, got = expected(cadence, around), fired(cadence, around)
            tally.cadences += 1
            tally.firings += len(got)
            if wanted != got:
                tally.faults.append(f"{name} {cadence.rule} {cadence.start:%a %H:%M} {changed}")


def look_at(names: Iterable[str]) -> Tally:
    """All of those zones."""
    tally = Tally()
    for name in names:
        look(name, tally)
    return tally


def main() -> int:
    """Print the tally; 1 where anything was wrong."""
    names = sys.argv[1:] or sorted(available_timezones())
    print(environment())
    began = perf_counter()
    tally = look_at(names)
    print(f"{tally.zones} zones, {tally.changes} changes, {FIRST:%Y} to {LAST - DAY:%Y}")
    print(f"{tally.cadences} cadences, {tally.firings} firings, {len(tally.faults)} wrong")
    print(*tally.faults[:20], sep="\n")
    print(f"{perf_counter() - began:.0f} s, {datetime.now(UTC):%Y-%m-%d}")
    return 1 if tally.faults else 0


if __name__ == "__main__":
    sys.exit(main())
