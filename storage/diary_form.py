"""Values of the diary and of reminders <-> the texts that are kept of them."""

import json
from collections.abc import Iterable
from datetime import date, datetime, time
from typing import Any

from core.apparatus import ApparatusId
from core.cadence import Cadence
from core.client import ClientId
from core.diary import Away, AwayId, ClassEntry, ClassId
from core.reminder import Kind, Reminder, ReminderId, Rhythm
from storage.drawers import Sheet
from storage.form import Json


def cadence_to_json(cadence: Cadence) -> dict[str, Any]:
    """The plain form of a cadence."""
    return {
        "start": cadence.start.isoformat(),
        "zone": cadence.zone,
        "rule": cadence.rule,
        "without": sorted(day.isoformat() for day in cadence.without),
    }


def cadence_from_json(form: Json) -> Cadence:
    """The cadence whose plain form this is."""
    return Cadence(
        datetime.fromisoformat(form["start"]),
        form["zone"],
        form["rule"],
        frozenset(map(date.fromisoformat, form["without"])),
    )


def class_to_json(entry: ClassEntry) -> dict[str, Any]:
    """The plain form of a class, without its number."""
    return {
        "cadence": cadence_to_json(entry.cadence),
        "minutes": entry.minutes,
        "apparatus": list(entry.apparatus),
        "group": entry.group,
        "people": list(entry.people),
        "place": entry.place,
        "moved": [[day.isoformat(), wall.isoformat()] for day, wall in entry.moved],
        "plans": [[day.isoformat(), number] for day, number in entry.plans],
    }


def class_to_sheet(entry: ClassEntry, made_at: datetime) -> Sheet:
    """A class as kept."""
    return Sheet(entry.id, {"form": _text(class_to_json(entry))}, None, made_at)


def class_from_sheet(sheet: Sheet) -> ClassEntry:
    """The class kept so."""
    form = json.loads(sheet.texts["form"])
    return ClassEntry(
        id=ClassId(sheet.number),
        cadence=cadence_from_json(form["cadence"]),
        minutes=form["minutes"],
        apparatus=tuple(map(ApparatusId, form["apparatus"])),
        group=form["group"],
        people=tuple(map(ClientId, form["people"])),
        place=form["place"],
        moved=tuple(
            (date.fromisoformat(day), datetime.fromisoformat(wall)) for day, wall in form["moved"]
        ),
        plans=tuple((date.fromisoformat(day), number) for day, number in form["plans"]),
    )


def away_to_sheet(away: Away, made_at: datetime) -> Sheet:
    """Days away as kept."""
    return Sheet(away.id, {"form": _text(away_to_json(away))}, None, made_at)


def away_to_json(away: Away) -> dict[str, Any]:
    """The plain form of days away, without their number."""
    return {"first": away.first.isoformat(), "last": away.last.isoformat()}


def away_from_sheet(sheet: Sheet) -> Away:
    """The days away kept so."""
    form = json.loads(sheet.texts["form"])
    first, last = (date.fromisoformat(form[key]) for key in ("first", "last"))
    return Away(AwayId(sheet.number), first, last)


def reminder_to_json(reminder: Reminder) -> dict[str, Any]:
    """The plain form of a reminder, without its number, its client and when it is due."""
    return {
        "kind": reminder.kind.value,
        "text": reminder.text,
        "cadence": cadence_to_json(reminder.cadence) if reminder.cadence else None,
        "rung": reminder.rung.isoformat() if reminder.rung else None,
        "paused": reminder.paused,
    }


def reminder_to_sheet(reminder: Reminder, made_at: datetime) -> Sheet:
    """A reminder as kept."""
    texts = {"form": _text(reminder_to_json(reminder))}
    return Sheet(reminder.id, texts, reminder.client, made_at, reminder.due)


def reminder_from_sheet(sheet: Sheet) -> Reminder:
    """The reminder kept so."""
    form = json.loads(sheet.texts["form"])
    return Reminder(
        id=ReminderId(sheet.number),
        kind=Kind(form["kind"]),
        text=form["text"],
        cadence=cadence_from_json(form["cadence"]) if form["cadence"] else None,
        client=None if sheet.client is None else ClientId(sheet.client),
        due=sheet.due,
        rung=datetime.fromisoformat(form["rung"]) if form["rung"] else None,
        paused=form["paused"],
    )


def rhythm_to_json(rhythm: Rhythm) -> dict[str, Any]:
    """The plain form of a rhythm."""
    return {
        "digest": _clock(rhythm.digest),
        "lead": rhythm.lead,
        "quiet": [_clock(each) for each in rhythm.quiet] if rhythm.quiet else None,
        "paused": rhythm.paused,
    }


def rhythm_to_sheet(number: int, rhythm: Rhythm, made_at: datetime) -> Sheet:
    """A rhythm as kept."""
    return Sheet(number, {"form": _text(rhythm_to_json(rhythm))}, None, made_at)


def rhythm_from_sheet(sheet: Sheet) -> Rhythm:
    """The rhythm kept so."""
    form = json.loads(sheet.texts["form"])
    return Rhythm(
        digest=time.fromisoformat(form["digest"]) if form["digest"] else None,
        lead=form["lead"],
        quiet=_pair(form["quiet"]) if form["quiet"] else None,
        paused=form["paused"],
    )


def _pair(clocks: Iterable[str]) -> tuple[time, time]:
    begin, end = map(time.fromisoformat, clocks)
    return begin, end


def _clock(clock: time | None) -> str | None:
    return clock.isoformat("minutes") if clock else None


def _text(form: object) -> str:
    return json.dumps(form, ensure_ascii=False, separators=(",", ":"))
