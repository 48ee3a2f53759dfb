"""What the actions about the diary, plans and reminders share: who a class is for, its public
form, which lesson is meant, and when the standing reminders are due."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from typing import Any

from bot.commands import Which
from bot.desk import Desk
from bot.ports import Store
from bot.room import people_of
from bot.wording import diary as words
from bot.wording.phrases import listed
from core.cadence import instant_of, next_after, wall_of
from core.client import Client
from core.diary import Away, ClassEntry, Lesson, clashes, lessons, next_lesson
from core.fold import fold
from core.reminder import (
    STANDING,
    Kind,
    Reminder,
    ReminderId,
    Rhythm,
    digest_cadence,
    later_on,
)
from storage.errors import KeyMissingError
from storage.kept import Change, Undone

DAY = timedelta(days=1)
CLASHES_SOUGHT = timedelta(days=70)  # how far ahead two classes at once are looked for
NEW = ReminderId(0)


@dataclass(frozen=True, slots=True)
class Diary:
    """Her classes and holidays, read once."""

    entries: tuple[ClassEntry, ...]
    away: tuple[Away, ...]

    @classmethod
    def of(cls, store: Store) -> "Diary":
        """All of it; nothing where nobody is kept."""
        try:
            diary = store.diary
        except KeyMissingError:
            return cls((), ())
        return cls(tuple(diary.classes()), tuple(diary.away()))

    def between(self, after: datetime, before: datetime) -> list[Lesson]:
        """Every lesson from an instant on and before another."""
        return lessons(self.entries, self.away, after, before)

    def on(self, day: date) -> list[Lesson]:
        """Every lesson whose own clock shows this day at its beginning."""
        noon = datetime.combine(day, datetime.min.time(), UTC) + DAY / 2
        around = self.between(noon - 2 * DAY, noon + 2 * DAY)
        return [each for each in around if each.wall.date() == day]

    def following(self, now: datetime) -> Lesson | None:
        """The next lesson that takes place."""
        return next_lesson(self.entries, self.away, now)

    def next_of(self, entry: ClassEntry, now: datetime) -> Lesson | None:
        """The next lesson of one class that takes place."""
        return next_lesson((entry,), self.away, now)

    def meant(self, which: Which, desk: Desk) -> list[Lesson]:
        """The lessons that may be meant: of a day, of a class, of a time, for somebody."""
        if which.day:
            found = self.on(which.day)
        else:
            coming = (self.next_of(each, desk.now) for each in self.entries)
            found = [each for each in coming if each]
        if which.number is not None:
            found = [each for each in found if each.entry.id == which.number]
        if which.clock:
            found = [each for each in found if each.wall.time() == which.clock]
        if which.who:
            wanted = fold(which.who)
            found = [each for each in found if wanted in names_of(each.entry, desk)]
        return sorted(found, key=lambda each: each.at)


def whose(entry: ClassEntry, desk: Desk) -> str:
    """Who a class is for, as she calls them; nothing when she has not said."""
    if entry.group or not entry.people:
        return entry.group
    known = desk.store.people.names()
    return listed([known[each] for each in entry.people if each in known])


def names_of(entry: ClassEntry, desk: Desk) -> set[str]:
    """All that a class may be called, folded: its group, the people in it, each of them."""
    known = desk.store.people.names()
    names = [known[each] for each in entry.people if each in known]
    return {fold(name) for name in (whose(entry, desk), *names)} - {""}


def people_in(entry: ClassEntry, desk: Desk) -> tuple[Client, ...]:
    """Everybody in a class that she has told of."""
    named = desk.store.people.some(entry.people) if entry.people else ()
    return tuple(dict.fromkeys((*people_of(entry.group, desk), *named)))


def said_of(entry: ClassEntry, desk: Desk) -> str:
    """ "dawn, chair 50 min"."""
    on = [
        desk.repertoire.apparatus[a].name for a in entry.apparatus if a in desk.repertoire.apparatus
    ]
    return words.what(whose(entry, desk), on, entry.minutes, entry.place)


def plan_line(lesson: Lesson, desk: Desk) -> str:
    """The line that plans a lesson; who it is for is found by its time."""
    names = [
        desk.repertoire.apparatus[a].name
        for a in lesson.entry.apparatus
        if a in desk.repertoire.apparatus
    ]
    return " ".join(["plan", str(lesson.entry.minutes), *names, f"{lesson.wall:%Y-%m-%d %H:%M}"])


def class_form(entry: ClassEntry, diary: Diary, desk: Desk) -> dict[str, Any]:
    """The public form of a class; fields may be added, never renamed."""
    coming = diary.next_of(entry, desk.now)
    return {
        "id": entry.id,
        "at": f"{entry.cadence.start:%Y-%m-%dT%H:%M}",
        "zone": entry.cadence.zone,
        "rule": entry.cadence.rule,
        "minutes": entry.minutes,
        "apparatus": list(entry.apparatus),
        "group": entry.group,
        "people": [each.name for each in people_in(entry, desk)],
        "place": entry.place,
        "without": sorted(day.isoformat() for day in entry.cadence.without),
        "moved": [[day.isoformat(), f"{wall:%Y-%m-%dT%H:%M}"] for day, wall in entry.moved],
        "next": lesson_form(coming, desk) if coming else None,
    }


def lesson_form(lesson: Lesson, desk: Desk, clash: bool = False) -> dict[str, Any]:
    """The public form of a lesson."""
    return {
        "class": lesson.entry.id,
        "day": lesson.day.isoformat(),
        "at": f"{lesson.wall:%Y-%m-%dT%H:%M}",
        "zone": lesson.entry.cadence.zone,
        "minutes": lesson.entry.minutes,
        "apparatus": list(lesson.entry.apparatus),
        "group": whose(lesson.entry, desk),
        "place": lesson.entry.place,
        "plan": lesson.plan,
        "moved": lesson.moved,
        "away": lesson.away,
        "clash": clash,
    }


def clash_of(diary: Diary, entry: ClassEntry, desk: Desk) -> tuple[Lesson, Lesson] | None:
    """The next time that a class and another are at once."""
    found = clashes(diary.between(desk.now, desk.now + CLASHES_SOUGHT))
    return next((pair for pair in found if entry.id in (pair[0].entry.id, pair[1].entry.id)), None)


def local(desk: Desk, zone: str) -> datetime:
    """What clocks of a zone show now."""
    return wall_of(desk.now, zone)


def refresh(store: Store, zone: str, now: datetime) -> None:
    """Let every reminder be due when it should, after the diary or the rhythm has changed."""
    diary, rhythm = store.diary, store.diary.rhythm()
    kept = diary.reminders()
    read = Diary.of(store)
    if read.entries or any(each.kind is Kind.FOLLOW_UP for each in kept):
        kept += [
            diary.add_reminder(Reminder(NEW, kind), now)
            for kind in STANDING
            if kind not in [each.kind for each in kept]
        ]
    for each in kept:
        wanted = _due(each, rhythm, read, zone, now)
        if wanted != each:
            diary.settle(wanted)


def renew(desk: Desk, undone: Undone) -> None:
    """Let a reminder that is as it was before be due next when it would be by now, not then."""
    kept = desk.store.diary
    if undone.what is Change.REMINDER:
        back = kept.reminder(ReminderId(undone.number))
        if back and back.due and back.due <= desk.now and back.recurs:
            kept.settle(later_on(back, desk.now))
    refresh(desk.store, desk.zone.key, desk.now)


def next_lead(read: Diary, rhythm: Rhythm, now: datetime) -> datetime | None:
    """The instant at which a class is to be announced next."""
    if rhythm.lead is None:
        return None
    ahead = timedelta(minutes=rhythm.lead)
    coming = read.following(now + ahead)
    return coming.at - ahead if coming else None


def _due(each: Reminder, rhythm: Rhythm, read: Diary, zone: str, now: datetime) -> Reminder:
    if each.kind is Kind.DIGEST:
        cadence = digest_cadence(rhythm, wall_of(now, zone).date() - DAY, zone)
        same = (
            cadence
            and each.cadence
            and ((cadence.start.time(), zone) == (each.cadence.start.time(), each.cadence.zone))
        )
        if not same:
            each = replace(each, cadence=cadence, due=None)
    if rhythm.paused or each.paused:
        return replace(each, due=None)
    if each.kind is Kind.LEAD:
        due = next_lead(read, rhythm, now)
        waiting = each.due is not None and each.due <= now  # it is just about to be said
        return each if waiting and rhythm.lead else replace(each, due=due)
    if each.due is not None or each.cadence is None:
        return each
    if not each.recurs:
        start = instant_of(each.cadence.start, each.cadence.zone)
        return each if each.rung else replace(each, due=start)
    following = next_after(each.cadence, now)
    return replace(each, due=following.at if following else None)


def wall_due(reminder: Reminder, desk: Desk) -> datetime | None:
    """What her clock shows when a reminder is due, or would be were it not paused."""
    if reminder.due:
        return wall_of(reminder.due, desk.zone.key)
    if reminder.cadence is None or (reminder.rung and not reminder.recurs):
        return None
    if not reminder.recurs:
        start = instant_of(reminder.cadence.start, reminder.cadence.zone)
        return wall_of(start, desk.zone.key)
    following = next_after(reminder.cadence, desk.now)
    return wall_of(following.at, desk.zone.key) if following else None


def reminder_form(reminder: Reminder, desk: Desk) -> dict[str, Any]:
    """The public form of a reminder: `at` is the wall time of its own zone."""
    cadence = reminder.cadence
    zone = cadence.zone if cadence else desk.zone.key
    wall = wall_of(reminder.due, zone) if reminder.due else wall_due(reminder, desk)
    if wall is None and cadence:
        wall = cadence.start
    names = desk.store.people.names() if reminder.client is not None else {}
    return {
        "id": reminder.id,
        "kind": reminder.kind.value,
        "at": f"{wall:%Y-%m-%dT%H:%M}" if wall else None,
        "zone": zone,
        "rule": cadence.rule if cadence else None,
        "text": reminder.text,
        "client": names.get(reminder.client) if reminder.client is not None else None,
        "due": reminder.due.isoformat() if reminder.due else None,
        "paused": reminder.paused,
        "open": reminder.open and reminder.due is None,
    }


def in_order(found: Iterable[Reminder]) -> Sequence[Reminder]:
    """Reminders by when they are due, those that are not last."""
    never = datetime.max.replace(tzinfo=UTC)
    return sorted(found, key=lambda each: (each.due or never, each.id))
