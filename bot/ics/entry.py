"""What a calendar file holds, as values."""

from dataclasses import dataclass
from datetime import date, timedelta

from core.cadence import Cadence


@dataclass(frozen=True, slots=True)
class Entry:
    """A class or a reminder in a calendar.

    Attributes:
        uid: the same whenever it is written, so that a calendar knows it again.
        title: what stands in the calendar; names of clients only where she asked for them.
        cadence: when.
        length: how long; nothing for a reminder.
        alarms: how long before the start the calendar speaks up.
        note: more to read.
        place: where.
    """

    uid: str
    title: str
    cadence: Cadence
    length: timedelta = timedelta()
    alarms: tuple[timedelta, ...] = ()
    note: str = ""
    place: str = ""


@dataclass(frozen=True, slots=True)
class AllDay:
    """Whole days in a calendar, such as a holiday; the last day is part of it."""

    uid: str
    title: str
    first: date
    last: date


@dataclass(frozen=True, slots=True)
class Contents:
    """What was found in a calendar file.

    Attributes:
        entries: what has a time of day.
        days: what lasts whole days.
        recurring: titles of what recurs in a way that can't be kept.
        unread: how many other entries could not be read.
        cancelled: how many entries say that they are cancelled.
    """

    entries: tuple[Entry, ...] = ()
    days: tuple[AllDay, ...] = ()
    recurring: tuple[str, ...] = ()
    unread: int = 0
    cancelled: int = 0
