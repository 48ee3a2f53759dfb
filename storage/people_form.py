"""Values about people <-> the texts that are kept of them."""

import json
from dataclasses import MISSING, fields
from datetime import date, datetime
from enum import Enum
from typing import Any

from core.apparatus import ApparatusId
from core.client import Client, ClientId, Flag, Group, Severity, Side
from core.exercise import Level
from storage.drawers import Drawer, Sheet
from storage.form import Json
from storage.kept import Declaration, Note, NoteId

DATES = {"since", "review", "due", "event", "answered"}  # of a flag


def flag_to_json(flag: Flag) -> dict[str, Any]:
    """The plain form of a flag, without what is as usual."""
    return {
        each.name: _plain(getattr(flag, each.name))
        for each in fields(flag)
        if each.default is MISSING or getattr(flag, each.name) != each.default
    }


def flag_from_json(form: Json) -> Flag:
    """The flag whose plain form this is."""
    given: dict[str, Any] = {
        key: tuple(value) if isinstance(value, list) else value for key, value in form.items()
    }
    given |= {key: date.fromisoformat(given[key]) for key in DATES & given.keys() if given[key]}
    if "side" in given:
        given["side"] = Side(given["side"])
    if "severity" in given:
        given["severity"] = Severity(given["severity"])
    return Flag(**given)


def client_to_sheet(client: Client) -> Sheet:
    """A client as kept."""
    form = {
        "level": client.level.value,
        "goals": client.goals,
        "springs": client.springs,
    }
    flags = [flag_to_json(flag) for flag in client.flags]
    texts = {"name": client.name, "form": _text(form), "flags": _text(flags)}
    return Sheet(client.id, texts)


def client_from_sheet(sheet: Sheet) -> Client:
    """The client kept so."""
    form = json.loads(sheet.texts["form"])
    return Client(
        id=ClientId(sheet.number),
        name=sheet.texts["name"],
        level=Level(form["level"]),
        goals=tuple(form["goals"]),
        springs=tuple((ApparatusId(each), setting) for each, setting in form["springs"]),
        flags=tuple(flag_from_json(flag) for flag in json.loads(sheet.texts["flags"])),
    )


def client_to_json(client: Client) -> dict[str, Any]:
    """The public form of a client, as exported."""
    return {
        "id": client.id,
        "name": client.name,
        "level": client.level.value,
        "goals": list(client.goals),
        "springs": dict(client.springs),
        "flags": [flag_to_json(flag) for flag in client.flags],
    }


def group_to_sheet(number: int, group: Group) -> Sheet:
    """A group as kept."""
    return Sheet(number, {"name": group.name, "members": _text(group.members)})


def group_from_sheet(sheet: Sheet) -> Group:
    """The group kept so."""
    return Group(sheet.texts["name"], tuple(map(ClientId, json.loads(sheet.texts["members"]))))


def note_from_sheet(sheet: Sheet) -> Note:
    """The note kept so."""
    assert sheet.client is not None  # a note is about a client ...
    assert sheet.made_at is not None  # ... and was written at a time
    return Note(NoteId(sheet.number), ClientId(sheet.client), sheet.made_at, sheet.texts["text"])


def note_to_json(note: Note) -> dict[str, Any]:
    """The public form of a note, as exported."""
    return {"id": note.id, "made_at": note.made_at.isoformat(), "text": note.text}


def declaration_to_json(declaration: Declaration) -> dict[str, Any]:
    """The plain form of a declaration."""
    return {
        "kind": declaration.kind,
        "day": declaration.day.isoformat(),
        "outcome": declaration.outcome,
        "facts": dict(declaration.facts),
    }


def declaration_to_sheet(
    number: int, client: ClientId, declaration: Declaration, made_at: datetime
) -> Sheet:
    """A declaration as kept."""
    return Sheet(number, {"form": _text(declaration_to_json(declaration))}, client, made_at)


def declaration_from_sheet(sheet: Sheet) -> Declaration:
    """The declaration kept so."""
    form = json.loads(sheet.texts["form"])
    day = date.fromisoformat(form["day"])
    return Declaration(form["kind"], day, form["outcome"], form["facts"])


def change_to_sheet(
    number: int, what: str, drawer: Drawer, changed: Sheet, before: Sheet | None, made_at: datetime
) -> Sheet:
    """A change as kept: which sheet it was, and what it looked like before."""
    form = {"what": what, "drawer": drawer, "number": changed.number, "before": None}
    if before is not None:
        filed = before.made_at and before.made_at.isoformat()
        form["before"] = {
            "texts": dict(before.texts),
            "client": before.client,
            "made_at": filed,
            **({"due": before.due.isoformat()} if before.due else {}),
        }

    client = changed.number if drawer is Drawer.CLIENT else changed.client
    return Sheet(number, {"form": _text(form)}, client, made_at)


def change_from_sheet(sheet: Sheet) -> tuple[str, Drawer, int, Sheet | None]:
    """The change kept so: what it was, the drawer and number of its sheet, and that before it."""
    form = json.loads(sheet.texts["form"])
    before = form["before"]
    if before is not None:
        filed = before["made_at"] and datetime.fromisoformat(before["made_at"])
        due = datetime.fromisoformat(before["due"]) if "due" in before else None
        before = Sheet(form["number"], before["texts"], before["client"], filed, due)
    return form["what"], Drawer(form["drawer"]), form["number"], before


def _plain(value: object) -> object:
    match value:
        case Enum():
            return value.value
        case date():
            return value.isoformat()
        case tuple():
            return list(value)
        case _:
            return value


def _text(form: object) -> str:
    return json.dumps(form, ensure_ascii=False, separators=(",", ":"))
