"""Reminders of her own and questions about somebody: kept, listed, done, put off, paused."""

from dataclasses import replace
from datetime import datetime, time, timedelta
from typing import Any

from bot import open_question
from bot.commands import AskLater, Done, Later, ListReminders, Pause, Remind, Resume
from bot.desk import Desk
from bot.diary import (
    NEW,
    Diary,
    in_order,
    local,
    refresh,
    reminder_form,
    wall_due,
)
from bot.errors import NoSuchReminderError, RefusedError
from bot.reply import Button, Part, Reply
from bot.taken_back import can_take_back
from bot.whom import only
from bot.wording import asking
from bot.wording import reminding as words
from bot.wording.diary import when
from bot.wording.phrases import wrapped
from core.cadence import Cadence, instant_of, wall_of
from core.client import ClientId
from core.reminder import (
    STANDING,
    Kind,
    Reminder,
    ReminderError,
    ReminderId,
    quiet_until,
)

LISTED = 15
EVENING, MORNING = time(18), time(9)
DAY = timedelta(days=1)


def remind(command: Remind, desk: Desk) -> Reply:
    """A reminder of her own, kept."""
    return _keep(Kind.OWN, command.text, command.start, command.rule, None, "", desk)


def ask_later(command: AskLater, desk: Desk) -> Reply:
    """A question about somebody, kept.

    Raises:
        WhoError: nobody is called exactly that.
    """
    moment = f"{command.start:%Y-%m-%d %H:%M}"
    client = only(command.typed, lambda name, _: f"ask {name} {moment} about {command.text}", desk)
    return _keep(
        Kind.FOLLOW_UP, command.text, command.start, command.rule, client.id, client.name, desk
    )


def list_reminders(_: ListReminders, desk: Desk) -> Reply:
    """What waits for an answer, and what is to be said, the next first."""
    names = desk.store.people.names()
    found = [each for each in desk.store.diary.reminders() if each.kind not in STANDING]
    open_ = [each for each in found if each.open and each.due is None]
    coming = [e for e in in_order(found) if e not in open_ and (e.due or e.paused)]
    rhythm = desk.store.diary.rhythm()
    if rhythm.paused:
        waiting = [e for e in found if e not in open_ and wall_due(e, desk)]
        coming = sorted(waiting, key=lambda e: (wall_due(e, desk), e.id))
    lines = [
        [
            words.line(e, names.get(e.client, "") if e.client else "", wall_due(e, desk))
            for e in group
        ]
        for group in (open_, coming[:LISTED])
    ]
    rows = [Button(f"{words.DONE_BUTTON} {each.id}", f"done {each.id}") for each in open_[:6]]
    parts = [Part(words.listed(lines[0], lines[1], len(coming) - len(lines[1])))]
    if rhythm.paused:
        parts.append(Part(wrapped(words.PAUSED_ALL)))
    return Reply(
        tuple(parts),
        tuple(tuple(rows[at : at + 3]) for at in range(0, len(rows), 3)),
        data={
            "reminders": [reminder_form(each, desk) for each in (*open_, *coming)],
            "paused": rhythm.paused,
        },
    )


def done(command: Done, desk: Desk) -> Reply:
    """Done and gone; one that recurs goes on."""
    reminder = _reminder(command.number, desk)
    name = _name(reminder, desk)
    if reminder.recurs:
        desk.store.diary.save_reminder(replace(reminder, rung=None), desk.now)
    else:
        desk.store.diary.drop_reminder(reminder.id, desk.now)
    can_take_back(desk)
    words_ = words.DONE_ASK if name else words.DONE
    row = [Button(asking.UNDO, "undo")]
    if name:
        row.insert(0, Button(words.NOTE_BUTTON, f"client {name}"))
    return Reply(
        (Part(wrapped(words_.format(text=reminder.text.rstrip("."), name=name))),),
        (tuple(row),),
        data={"reminder": None, "done": reminder.id},
    )


def later(command: Later, desk: Desk) -> Reply:
    """Said again at another time; without one, she is asked when."""
    reminder = _reminder(command.number, desk)
    now = local(desk, desk.zone.key)
    if command.start is None:
        return _pick(reminder, now, desk)
    start = command.start
    zone = desk.zone.key
    instant = max(instant_of(start, zone), desk.now + timedelta(seconds=1))
    kept = replace(reminder, due=instant, paused=False)
    if not reminder.recurs:
        kept = replace(kept, cadence=Cadence(start, zone), rung=None)
    desk.store.diary.save_reminder(kept, desk.now)
    can_take_back(desk)
    said = words.LATER.format(when=when(start, now), text=reminder.text)
    return Reply(
        (Part(wrapped(said)),),
        ((Button(asking.UNDO, "undo"),),),
        data={"reminder": reminder_form(kept, desk)},
    )


def pause(command: Pause, desk: Desk) -> Reply:
    """Nothing is said until she says so, or one reminder is left out."""
    if command.number is None:
        rhythm = desk.store.diary.rhythm()
        desk.store.diary.set_rhythm(replace(rhythm, paused=True), desk.now)
        refresh(desk.store, desk.zone.key, desk.now)
        said = words.PAUSED_ALL
        data: dict[str, Any] = {"paused": True}
    else:
        reminder = _reminder(command.number, desk)
        kept = replace(reminder, paused=True, due=None)
        desk.store.diary.save_reminder(kept, desk.now)
        said = words.PAUSED.format(text=reminder.text, number=reminder.id)
        data = {"reminder": reminder_form(kept, desk)}
    can_take_back(desk)
    return Reply((Part(wrapped(said)),), ((Button(asking.UNDO, "undo"),),), data=data)


def resume(command: Resume, desk: Desk) -> Reply:
    """Going on; what fell due meanwhile is said once."""
    if command.number is not None:
        return _resume_one(command.number, desk)
    rhythm = desk.store.diary.rhythm()
    if not rhythm.paused:
        return Reply((Part(words.NOT_PAUSED),), data={"paused": False})
    desk.store.diary.set_rhythm(replace(rhythm, paused=False), desk.now)
    refresh(desk.store, desk.zone.key, desk.now)
    can_take_back(desk)
    coming = [e for e in in_order(desk.store.diary.reminders()) if e.due and e.kind not in STANDING]
    now = local(desk, desk.zone.key)
    first = (
        f"{coming[0].text}: {when(wall_of(coming[0].due, desk.zone.key), now)}."
        if coming and coming[0].due
        else ""
    )
    return Reply(
        (Part(wrapped(words.RESUMED_ALL.format(next=first))),),
        ((Button(asking.UNDO, "undo"),),),
        data={"paused": False},
    )


def _resume_one(number: int, desk: Desk) -> Reply:
    reminder = _reminder(number, desk)
    desk.store.diary.save_reminder(replace(reminder, paused=False), desk.now)
    refresh(desk.store, desk.zone.key, desk.now)
    can_take_back(desk)
    kept = _reminder(number, desk)
    wall = wall_due(kept, desk)
    said = when(wall, local(desk, desk.zone.key)) if wall else words.NEVER
    return Reply(
        (Part(wrapped(words.RESUMED.format(text=kept.text, when=said))),),
        ((Button(asking.UNDO, "undo"),),),
        data={"reminder": reminder_form(kept, desk)},
    )


def _keep(
    kind: Kind,
    text: str,
    start: datetime,
    rule: str | None,
    client: ClientId | None,
    name: str,
    desk: Desk,
) -> Reply:
    zone = desk.zone.key
    now = local(desk, zone)
    diary = desk.store.diary
    rhythm = diary.rhythm()
    try:
        new = Reminder(NEW, kind, text, Cadence(start, zone, rule), client)
    except ReminderError as fault:
        raise RefusedError(str(fault)) from fault
    due = None if rhythm.paused else instant_of(start, zone)
    kept = diary.add_reminder(replace(new, due=due), desk.now)
    refresh(desk.store, zone, desk.now)
    can_take_back(desk)
    said = [words.kept(kept, name, start, now, rule)]
    if rhythm.paused:
        said.append(words.IS_PAUSED)
    elif rhythm.quiet and due and quiet_until(due, rhythm, zone):
        said.append(words.IN_QUIET.format(end=words.clock(rhythm.quiet[1])))
    if any(each.covers(start.date()) for each in Diary.of(desk.store).away):
        said.append(words.WHILE_AWAY)
    return Reply(
        (Part(wrapped(" ".join(said))),),
        ((Button(asking.UNDO, "undo"),),),
        data={"reminder": reminder_form(kept, desk)},
    )


def _pick(reminder: Reminder, now: datetime, desk: Desk) -> Reply:
    """Times to choose from; what she types next may be another."""
    open_question.ask(f"later {reminder.id}", "later", desk)
    tomorrow = now.date() + DAY
    monday = now.date() + DAY * ((7 - now.weekday()) or 7)
    choices = [
        (words.MORNING, datetime.combine(tomorrow, MORNING)),
        (words.MONDAY, datetime.combine(monday, MORNING)),
    ]
    if now.time() < EVENING:
        choices.insert(0, (words.EVENING, datetime.combine(now.date(), EVENING)))
    row = tuple(
        Button(label, f"later {reminder.id} {wall:%Y-%m-%d %H:%M}") for label, wall in choices
    )
    return Reply((Part(wrapped(words.WHEN)),), (row,), data={"missing": "when"})


def _reminder(number: int, desk: Desk) -> Reminder:
    """The reminder of this number.

    Raises:
        NoSuchReminderError: there is none, or it is one that follows from the diary.
    """
    found = desk.store.diary.reminder(ReminderId(number))
    if found is None or found.kind in STANDING:
        raise NoSuchReminderError(number)
    return found


def _name(reminder: Reminder, desk: Desk) -> str:
    if reminder.client is None:
        return ""
    return desk.store.people.names().get(reminder.client, "")
