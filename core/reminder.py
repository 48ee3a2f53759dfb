"""What is to be said at a time: her own reminders, questions about somebody, and what is said
before classes; and what becomes of it when its time has passed."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from enum import StrEnum
from typing import NewType

from core.cadence import Cadence, instant_of, next_after, wall_of
from core.client import ClientId
from core.diary import Away, ClassEntry, Lesson, lessons
from core.errors import CoreError

ReminderId = NewType("ReminderId", int)

LONGEST_TEXT = 300  # letters (house choice)
LATE = timedelta(minutes=5)  # from then on it is said when it was due (house choice)
DIGEST_AT = time(19)  # the evening before (house choice)
LEADS = range(5, 24 * 60)  # minutes before a class
_DAY = timedelta(days=1)


class ReminderError(CoreError):
    """A reminder that can't be."""


class Kind(StrEnum):
    """Why it is said."""

    OWN = "own"
    FOLLOW_UP = "follow-up"
    LEAD = "lead"
    DIGEST = "digest"


STANDING = (Kind.LEAD, Kind.DIGEST)  # one of each an instructor; their times follow from her rhythm


@dataclass(frozen=True, slots=True, repr=False)
class Reminder:
    """Something to be said at a time.

    Attributes:
        cadence: when; a lead's times follow from the classes instead.
        client: whom a follow-up is about.
        due: the instant at which it is to be said next; None when it never is, or while paused.
        rung: the instant for which it was last said; a follow-up is open from then on until done.
    """

    id: ReminderId
    kind: Kind
    text: str = ""
    cadence: Cadence | None = None
    client: ClientId | None = None
    due: datetime | None = None
    rung: datetime | None = None
    paused: bool = False

    def __post_init__(self) -> None:
        if len(self.text) > LONGEST_TEXT:
            raise ReminderError(f"a reminder has at most {LONGEST_TEXT} letters")
        if self.kind not in STANDING and (not self.text.strip() or self.cadence is None):
            raise ReminderError("a reminder says something, at a time")
        if (self.kind is Kind.FOLLOW_UP) != (self.client is not None):
            raise ReminderError("a follow-up is about somebody, and nothing else is")

    @property
    def recurs(self) -> bool:
        """Whether it is said more than once."""
        return self.cadence is not None and self.cadence.rule is not None

    @property
    def open(self) -> bool:
        """Whether it waits for an answer."""
        return self.kind is Kind.FOLLOW_UP and self.rung is not None


@dataclass(frozen=True, slots=True)
class Rhythm:
    """When she wants to hear something by itself.

    Attributes:
        digest: wall time of the evening digest; None for never.
        lead: how many minutes before a class; None for not at all.
        quiet: wall times between which nothing is said.
        paused: nothing is said until she says so.
    """

    digest: time | None = DIGEST_AT
    lead: int | None = None
    quiet: tuple[time, time] | None = None
    paused: bool = False

    def __post_init__(self) -> None:
        if self.lead is not None and self.lead not in LEADS:
            raise ReminderError(f"a class is announced {LEADS[0]} to {LEADS[-1]} minutes before")
        if self.quiet and self.quiet[0] == self.quiet[1]:
            raise ReminderError("quiet hours begin and end at different times")


def later_on(reminder: Reminder, now: datetime) -> Reminder:
    """The reminder after it has been said, or let pass: due at its first time after now.

    However many of its times have passed meanwhile, it is due once more only.
    """
    following = next_after(reminder.cadence, now) if reminder.cadence else None
    return replace(reminder, due=following.at if following else None)


def quiet_until(now: datetime, rhythm: Rhythm, zone: str) -> datetime | None:
    """The instant at which the quiet hours of now end; None outside them."""
    if rhythm.quiet is None:
        return None
    begin, end = rhythm.quiet
    wall = wall_of(now, zone)
    clock = wall.time()
    inside = begin <= clock < end if begin < end else clock >= begin or clock < end
    if not inside:
        return None
    day = wall.date() if clock < end else wall.date() + _DAY
    return max(instant_of(datetime.combine(day, end), zone), now + timedelta(seconds=1))


def announced(
    entries: Iterable[ClassEntry], away: Iterable[Away], lead: int, since: datetime, now: datetime
) -> tuple[list[Lesson], list[Lesson]]:
    """The lessons whose announcement fell due from an instant up to now: still on, and over."""
    ahead = timedelta(minutes=lead)
    due = [
        each
        for each in lessons(entries, away, since + ahead, now + ahead + timedelta(microseconds=1))
        if not each.away
    ]
    return [e for e in due if e.ends > now], [e for e in due if e.ends <= now]


def digest_cadence(rhythm: Rhythm, day: date, zone: str) -> Cadence | None:
    """The evenings of the digest from a day on; None when she wants none."""
    if rhythm.digest is None:
        return None
    return Cadence(datetime.combine(day, rhythm.digest), zone, "FREQ=DAILY")


def told_day(now: datetime, clock: time, zone: str) -> date:
    """Which day a digest said now is about: the one after the last evening at this time of day."""
    here = wall_of(now, zone)
    evening = here.date() if here.time() >= clock else here.date() - _DAY
    return evening + _DAY
