"""The classes she teaches: when, for whom, on what; what was moved or called off, and holidays.

A class is one entry with its cadence. A single lesson of it is named by the date that the cadence
gives it, and keeps that name when it is moved.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import NewType

from core.apparatus import ApparatusId
from core.brief import LONGEST, SHORTEST
from core.cadence import Cadence, instant_of, next_after, occurrences, wall_of
from core.client import ClientId
from core.errors import CoreError
from core.recurrence import DAYS, parse_rule

ClassId = NewType("ClassId", int)
AwayId = NewType("AwayId", int)

LONGEST_PLACE = 60  # letters of a place or of what a class is called (house choice)
LOOKED_AHEAD = timedelta(days=400)  # how far ahead the next lesson is looked for (house choice)
FAR_MOVED = timedelta(days=60)  # a lesson is moved by no more than that (house choice)
_DAY = timedelta(days=1)


class DiaryError(CoreError):
    """A class, or a change of it, that can't be."""


@dataclass(frozen=True, slots=True, repr=False)
class ClassEntry:
    """A class in the diary, once or recurring.

    Attributes:
        cadence: when it begins; the dates it leaves out were called off.
        group: who it is for, as she calls them; may be empty.
        people: those named one by one.
        moved: lessons at another wall time than usual, by their date.
        plans: the number of the plan for a lesson, by its date.
    """

    id: ClassId
    cadence: Cadence
    minutes: int
    apparatus: tuple[ApparatusId, ...] = ()
    group: str = ""
    people: tuple[ClientId, ...] = ()
    place: str = ""
    moved: tuple[tuple[date, datetime], ...] = ()
    plans: tuple[tuple[date, int], ...] = ()

    def __post_init__(self) -> None:
        if not SHORTEST <= self.minutes <= LONGEST:
            raise DiaryError(f"a class lasts {SHORTEST} to {LONGEST} minutes, not {self.minutes}")
        if max(len(self.group), len(self.place)) > LONGEST_PLACE:
            raise DiaryError(f"a place or a group has at most {LONGEST_PLACE} letters")

    @property
    def recurs(self) -> bool:
        """Whether it is more than one lesson."""
        return self.cadence.rule is not None


@dataclass(frozen=True, slots=True, repr=False)
class Away:
    """Days on which she teaches nothing, the first and the last included."""

    id: AwayId
    first: date
    last: date

    def __post_init__(self) -> None:
        if self.last < self.first:
            raise DiaryError("a holiday can't end before it begins")

    def covers(self, day: date) -> bool:
        """Whether she is away on that day."""
        return self.first <= day <= self.last


@dataclass(frozen=True, slots=True, repr=False)
class Lesson:
    """One class on one day.

    Attributes:
        day: the date its cadence gives it, which names it.
        wall: naive wall time of its beginning, moved or not.
        at: the instant of it, aware, in UTC.
        away: whether she is on holiday then, so that it does not take place.
    """

    entry: ClassEntry
    day: date
    wall: datetime
    at: datetime
    away: bool = False

    @property
    def ends(self) -> datetime:
        """The instant at which it is over."""
        return self.at + timedelta(minutes=self.entry.minutes)

    @property
    def moved(self) -> bool:
        """Whether it is at another time than usual."""
        return any(day == self.day for day, _ in self.entry.moved)

    @property
    def plan(self) -> int | None:
        """The number of its plan, if it has one."""
        return dict(self.entry.plans).get(self.day)


def lessons(
    entries: Iterable[ClassEntry], away: Iterable[Away], after: datetime, before: datetime
) -> list[Lesson]:
    """All from an instant on and before another, in order of time; those in holidays say so."""
    holidays = tuple(away)
    found = [each for entry in entries for each in _of(entry, after, before)]
    found.sort(key=lambda lesson: (lesson.at, lesson.entry.id))
    return [
        replace(each, away=True) if any(h.covers(each.wall.date()) for h in holidays) else each
        for each in found
    ]


def next_lesson(
    entries: Iterable[ClassEntry], away: Iterable[Away], after: datetime
) -> Lesson | None:
    """The first that takes place later than the instant, or None in more than a year."""
    holidays = tuple(away)
    coming = [_next_of(entry, holidays, after) for entry in entries]
    return min((each for each in coming if each), key=lambda e: (e.at, e.entry.id), default=None)


def clashes(found: Iterable[Lesson]) -> list[tuple[Lesson, Lesson]]:
    """Pairs of lessons that take place at the same time, in order of time."""
    taught = sorted((each for each in found if not each.away), key=lambda each: each.at)
    pairs = []
    for k, first in enumerate(taught):
        for second in taught[k + 1 :]:
            if second.at >= first.ends:
                break
            pairs.append((first, second))
    return pairs


def called_off(entry: ClassEntry, day: date) -> ClassEntry:
    """The class without the lesson of that date."""
    cadence = replace(entry.cadence, without=entry.cadence.without | {day})
    return replace(
        entry,
        cadence=cadence,
        moved=tuple(each for each in entry.moved if each[0] != day),
        plans=tuple(each for each in entry.plans if each[0] != day),
    )


def moved_once(entry: ClassEntry, day: date, wall: datetime) -> ClassEntry:
    """The class with the lesson of that date at another wall time.

    Raises:
        DiaryError: that is too far away from its date to be the same lesson.
    """
    if abs(wall - datetime.combine(day, wall.time())) > FAR_MOVED:
        raise DiaryError(f"a lesson moves by at most {FAR_MOVED.days} days")
    others = [each for each in entry.moved if each[0] != day]
    if not entry.recurs:
        plans = tuple((wall.date(), number) for _, number in entry.plans)
        return replace(entry, cadence=replace(entry.cadence, start=wall), moved=(), plans=plans)
    return replace(entry, moved=tuple(sorted([*others, (day, wall)])))


def moved_from(
    entry: ClassEntry, day: date, wall: datetime
) -> tuple[ClassEntry | None, ClassEntry]:
    """What is left of the class before that date, and the class from there on at another time.

    The second has the id of the first; whoever keeps both gives it another.

    Raises:
        DiaryError: the rule is of a kind that can't be moved as a whole.
    """
    cadence = entry.cadence
    if cadence.rule is None:
        return None, moved_once(entry, day, wall)
    later = Cadence(wall, cadence.zone, _shifted(cadence.rule, day, wall.date()))
    shift = wall.date() - day
    after = replace(
        entry,
        cadence=replace(later, without=frozenset(d + shift for d in cadence.without if d > day)),
        moved=tuple(each for each in entry.moved if each[0] > day),
        plans=tuple((d + shift, number) for d, number in entry.plans if d >= day),
    )
    before = ended(entry, day)
    return before, after


def ended(entry: ClassEntry, day: date) -> ClassEntry | None:
    """The class without its lessons from that date on; None when nothing is left of it."""
    cadence = entry.cadence
    first = next_after(cadence, instant_of(cadence.start, cadence.zone) - timedelta(seconds=1))
    if cadence.rule is None or first is None or first.day >= day:
        return None
    kept = [
        part
        for part in cadence.rule.split(";")
        if not part.upper().startswith(("UNTIL=", "COUNT="))
    ]
    rule = ";".join([*kept, f"UNTIL={day - _DAY:%Y%m%d}T235959"])
    return replace(
        entry,
        cadence=replace(
            cadence, rule=rule, without=frozenset(d for d in cadence.without if d < day)
        ),
        moved=tuple(each for each in entry.moved if each[0] < day),
        plans=tuple(each for each in entry.plans if each[0] < day),
    )


def over_before(entry: ClassEntry, moment: datetime) -> bool:
    """Whether every lesson of the class was over before an instant."""
    long = timedelta(minutes=entry.minutes)
    moved = dict(entry.moved)
    last = moment - long
    if any(instant_of(wall, entry.cadence.zone) > last for wall in moved.values()):
        return False
    usual = replace(entry.cadence, without=entry.cadence.without | set(moved))
    return next_after(usual, last) is None


def with_plan(entry: ClassEntry, day: date, number: int) -> ClassEntry:
    """The class with a plan for the lesson of that date."""
    others = [each for each in entry.plans if each[0] != day]
    return replace(entry, plans=tuple(sorted([*others, (day, number)])))


def week_of(day: date) -> tuple[date, date]:
    """Monday of the week of that day, and the Monday after it (ISO 8601 weeks)."""
    monday = day - timedelta(days=day.weekday())
    return monday, monday + timedelta(days=7)


def in_zone(entry: ClassEntry, zone: str) -> ClassEntry:
    """The class at the same wall times in another zone."""
    return replace(entry, cadence=replace(entry.cadence, zone=zone))


def _of(entry: ClassEntry, after: datetime, before: datetime) -> Iterator[Lesson]:
    moved = dict(entry.moved)
    for each in occurrences(entry.cadence, after, before):
        if each.day not in moved:
            # what clocks show: a time that they jump over is a later one
            yield Lesson(entry, each.day, wall_of(each.at, entry.cadence.zone), each.at)
    for day, wall in entry.moved:
        at = instant_of(wall, entry.cadence.zone)
        if after <= at < before:
            yield Lesson(entry, day, wall, at)


def _next_of(entry: ClassEntry, holidays: tuple[Away, ...], after: datetime) -> Lesson | None:
    last = after + LOOKED_AHEAD
    step = timedelta(days=31)
    begin = after + timedelta(seconds=1)
    if not entry.recurs:
        step = LOOKED_AHEAD
    while begin < last:
        for each in lessons((entry,), holidays, begin, begin + step):
            if not each.away:
                return each
        begin += step
    return None


def _shifted(rule: str, old: date, new: date) -> str:
    """The rule on other weekdays, as far as it names the old one.

    Raises:
        DiaryError: it names days in a way that can't be shifted.
    """
    parts = []
    for part in rule.split(";"):
        name, _, value = part.partition("=")
        days = value.upper().split(",")
        if name.upper() == "BYDAY":
            if any(day not in DAYS for day in days):
                raise DiaryError("that class recurs by a rule that can only be moved once a time")
            days = [DAYS[new.weekday()] if day == DAYS[old.weekday()] else day for day in days]
            days = sorted(dict.fromkeys(days), key=DAYS.index)
            parts.append(f"BYDAY={','.join(days)}")
        elif name.upper() in ("BYMONTHDAY", "BYYEARDAY", "BYSETPOS", "BYWEEKNO") and old != new:
            raise DiaryError("that class recurs by a rule that can only be moved once a time")
        elif name.upper() == "COUNT":
            raise DiaryError("that class recurs a counted number of times; move each by itself")
        else:
            parts.append(part)
    parse_rule(";".join(parts))
    return ";".join(parts)
