"""Calendar files: the diary given out, and what somebody else's file has in it offered."""

from dataclasses import replace
from datetime import timedelta

from bot.commands import ImportCalendar, SendCalendar
from bot.desk import Desk
from bot.diary import Diary, said_of
from bot.ics import Entry, read_calendar, write_calendar
from bot.reply import Button, File, Part, Reply
from bot.wording import calendars as words
from bot.wording.diary import span, stamp
from bot.wording.phrases import wrapped
from core.brief import LONGEST, SHORTEST
from core.cadence import Cadence, instant_of, wall_of
from core.diary import ClassEntry
from core.recurrence import parse_rule
from core.reminder import STANDING, Reminder
from storage.drawers import mentions

AHEAD = timedelta(days=400)
OFFERED = 8
DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


def send(command: SendCalendar, desk: Desk) -> Reply:
    """A file of classes and reminders; without names of clients unless she asks for them."""
    read = Diary.of(desk.store)
    lead = desk.store.diary.rhythm().lead
    alarms = (timedelta(minutes=lead),) if lead else ()
    entries: list[Entry] = []
    for each in read.entries:
        entries += _class(each, read, alarms, command.names, desk)
    kept = [e for e in desk.store.diary.reminders() if e.kind not in STANDING and e.due]
    entries += [e for e in (_reminder(each, command.names, desk) for each in kept) if e]
    if not entries:
        return Reply((Part(wrapped(words.EMPTY)),), data={"calendar": None})
    content = write_calendar(entries, desk.now, words.NAME)
    said = words.SENT.format(classes=len(read.entries), reminders=len(kept))
    after = words.WITH_NAMES if command.names else words.NO_NAMES
    rows = () if command.names else ((Button(words.NAMES_BUTTON, "calendar names"),),)
    return Reply(
        (Part(wrapped(f"{said} {after}")),),
        rows,
        data={"calendar": {"entries": len(entries), "names": command.names}},
        files=(File("coilbook.ics", content, "text/calendar"),),
    )


def take_in(command: ImportCalendar, desk: Desk) -> Reply:
    """What a calendar file has in it, each a button that keeps it; nothing is kept by itself.

    Raises:
        CalendarFileError: it can't be read.
    """
    if not command.text.strip():
        return Reply((Part(wrapped(words.HOW)),), data={"missing": "file"})
    zone = desk.zone.key
    found = read_calendar(command.text.encode(), zone)
    coming = [each for each in found.entries if _comes(each, desk)]
    rows: list[tuple[Button, ...]] = []
    lines = []
    for each in coming[:OFFERED]:
        wall = wall_of(instant_of(each.cadence.start, each.cadence.zone), zone)
        lines.append(f"· {stamp(wall)} {each.title[:60]}")
        rows.append(
            (Button(words.KEEP.format(title=each.title[:24], when=stamp(wall)), _line(each, zone)),)
        )
    for day in found.days[:OFFERED]:
        if day.last >= desk.context.now.date():
            said = span(day.first, day.last)
            lines.append(f"· {said}: {day.title[:60]}")
            rows.append(
                (Button(words.KEEP_AWAY.format(span=said), f"away {day.first} to {day.last}"),)
            )
    head = words.FOUND if lines else words.NOTHING
    parts = [
        Part(wrapped(head)),
        *([Part("\n".join(wrapped(each, "  ") for each in lines))] if lines else ()),
    ]
    left = len(coming) - OFFERED
    if left > 0:
        parts.append(Part(wrapped(words.MORE.format(count=left))))
    if found.unread:
        parts.append(Part(wrapped(words.UNREAD.format(count=found.unread))))
    return Reply(
        tuple(parts),
        tuple(rows),
        data={
            "import": {
                "entries": [
                    {
                        "title": each.title,
                        "at": f"{each.cadence.start:%Y-%m-%dT%H:%M}",
                        "zone": each.cadence.zone,
                        "rule": each.cadence.rule,
                        "minutes": round(each.length.total_seconds() / 60),
                    }
                    for each in coming
                ],
                "days": [
                    {"title": d.title, "first": str(d.first), "last": str(d.last)}
                    for d in found.days
                ],
                "unread": found.unread,
            }
        },
    )


def _class(
    entry: ClassEntry, read: Diary, alarms: tuple[timedelta, ...], names: bool, desk: Desk
) -> list[Entry]:
    """A class, and each of its lessons that was moved."""
    off = {
        lesson.day
        for lesson in read.between(desk.now, desk.now + AHEAD)
        if lesson.away and lesson.entry.id == entry.id
    }
    if not entry.recurs and off:
        return []
    plain = replace(entry, people=(), place="")
    title = said_of(replace(entry, place=""), desk) if names else said_of(plain, desk)
    if not names and any(mentions(title, name) for name in desk.store.people.names().values()):
        title = words.A_CLASS
    place = entry.place
    if not names and any(mentions(place, each) for each in desk.store.people.names().values()):
        place = ""
    uid = f"class-{entry.id}-{desk.instructor.id}@coilbook"
    moved = dict(entry.moved)
    cadence = replace(entry.cadence, without=entry.cadence.without | off | set(moved))
    length = timedelta(minutes=entry.minutes)
    whole = Entry(uid, title, cadence, length, alarms, place=place)
    singles = [
        Entry(
            f"{day}-{uid}",
            title,
            Cadence(wall, entry.cadence.zone),
            length,
            alarms,
            place=place,
        )
        for day, wall in entry.moved
        if not any(h.covers(wall.date()) for h in read.away)
    ]
    return [whole, *singles]


def _reminder(reminder: Reminder, names: bool, desk: Desk) -> Entry | None:
    if reminder.cadence is None:
        return None
    known = desk.store.people.names()
    name = known.get(reminder.client, "") if reminder.client is not None else ""
    title = f"{name}: {reminder.text}" if name else reminder.text
    if not names and (name or any(mentions(title, each) for each in known.values())):
        title = words.A_QUESTION if name else words.A_REMINDER
    uid = f"reminder-{reminder.id}-{desk.instructor.id}@coilbook"
    return Entry(uid, title, reminder.cadence, alarms=(timedelta(),))


def _comes(entry: Entry, desk: Desk) -> bool:
    """Whether it is still to come at least once."""
    if entry.cadence.rule is not None:
        return True
    return instant_of(entry.cadence.start, entry.cadence.zone) > desk.now


def _line(entry: Entry, zone: str) -> str:
    """The line that keeps an entry: a class, or a reminder where it is too short or too long."""
    wall = wall_of(instant_of(entry.cadence.start, entry.cadence.zone), zone)
    title = " ".join("".join(c if c.isalnum() else " " for c in entry.title).split())[:40].strip()
    minutes = round(entry.length.total_seconds() / 60)
    often = _often(entry)
    clock = f"{wall:%H:%M}"
    when = f"{often} {clock}" if often else f"{wall:%Y-%m-%d} {clock}"
    if SHORTEST <= minutes <= LONGEST:
        return f"class {when} {minutes} for {title or words.A_CLASS}"
    return f"remind me {when} | {title or words.A_REMINDER}"


def _often(entry: Entry) -> str:
    """How it comes again, in words the grammar reads; nothing where it has none for it."""
    if entry.cadence.rule is None:
        return ""
    rule = parse_rule(entry.cadence.rule)
    if rule.interval > 2 or rule.count or rule.numbers or rule.frequency not in ("WEEKLY", "DAILY"):
        return ""
    if rule.frequency == "DAILY":
        said = "every day" if rule.interval == 1 else ""
    else:
        days = [DAYS[day] for day, _ in rule.days] or [DAYS[entry.cadence.start.weekday()]]
        other = "other " if rule.interval == 2 else ""
        said = f"every {other}{' and '.join(days)}"
    if said and rule.until:
        said += f" until {rule.until:%Y-%m-%d}"
    return said
