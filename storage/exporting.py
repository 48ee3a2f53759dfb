"""What is kept about people, written out as plain JSON values."""

from collections import defaultdict
from typing import Any

from core.client import ClientId
from core.reminder import STANDING
from storage.diary_form import (
    away_from_sheet,
    away_to_json,
    class_from_sheet,
    class_to_json,
    reminder_from_sheet,
    reminder_to_json,
    rhythm_from_sheet,
    rhythm_to_json,
)
from storage.drawers import Drawer, Drawers, mentions
from storage.errors import SealError
from storage.people_form import (
    change_from_sheet,
    client_from_sheet,
    client_to_json,
    declaration_from_sheet,
    declaration_to_json,
    group_from_sheet,
    note_from_sheet,
    note_to_json,
)
from storage.taught_form import attendance_from_sheet, attendance_to_json


def exported(drawers: Drawers, client: ClientId | None) -> dict[str, Any]:
    """All about one client and nobody else, or about everybody; what can't be read is named.

    A group stands with a client by its name alone, because its other people are not hers.
    """
    names = drawers.names(Drawer.CLIENT)
    wanted = [n for n in drawers.numbers(Drawer.CLIENT) if client in (None, n)]
    groups = [group_from_sheet(sheet) for sheet in drawers.sheets(Drawer.GROUP)]
    notes, declarations, changes, attendances = (
        _by_client(drawers, drawer, client)
        for drawer in (Drawer.NOTE, Drawer.DECLARATION, Drawer.CHANGE, Drawer.ATTENDANCE)
    )
    form: dict[str, Any] = {
        "clients": [
            {
                **_client(drawers, number),
                "notes": notes[number],
                "declarations": declarations[number],
                "groups": [group.name for group in groups if number in group.members],
                "changes": changes[number],
                "attendances": attendances[number],
            }
            for number in wanted
        ]
    }
    form |= _diary(drawers, names, client)
    if client is not None:
        form["lines"] = _lines(drawers, names, client)
        form["plans"] = drawers.plans_for(names[client]) if client in names else []
    else:
        form["lines"] = drawers.lines()
        form["groups"] = [
            {"name": group.name, "members": [names.get(each, each) for each in group.members]}
            for group in groups
        ]
        form["audit"] = [
            {"at": each.at.isoformat(), "what": each.what, "counts": dict(each.counts)}
            for each in drawers.audits()
        ]
        form["retention_days"] = drawers.retention()
        form["away"] = [away_to_json(away_from_sheet(s)) for s in drawers.sheets(Drawer.AWAY)]
        form["rhythm"] = [
            rhythm_to_json(rhythm_from_sheet(s)) for s in drawers.sheets(Drawer.RHYTHM)
        ]
    form["unreadable"] = [
        {"table": table, "row": row, "column": column}
        for table, row, column in dict.fromkeys((f.table, f.row, f.column) for f in drawers.faults)
    ]
    return form


def _client(drawers: Drawers, number: int) -> dict[str, Any]:
    try:
        sheet = drawers.get(Drawer.CLIENT, number)
    except SealError as fault:
        drawers.faults.append(fault)
        sheet = None
    return client_to_json(client_from_sheet(sheet)) if sheet else {"id": number}


def _diary(drawers: Drawers, names: dict[int, str], client: ClientId | None) -> dict[str, Any]:
    """Classes and reminders; those of one client without the names of others."""
    classes = []
    for sheet in drawers.sheets(Drawer.CLASS):
        entry = class_from_sheet(sheet)
        if client is None or client in entry.people:
            people = [names.get(n, n) for n in entry.people if client in (None, n)]
            form = class_to_json(entry) | {"id": entry.id, "people": people}
            # what a class of several is called may have their names in it
            classes.append(form if client is None else form | {"group": ""})
    reminders = []
    for sheet in drawers.sheets(Drawer.REMINDER, client=client):
        each = reminder_from_sheet(sheet)
        if each.kind not in STANDING:
            about = names.get(each.client, each.client) if each.client is not None else None
            due = each.due.isoformat() if each.due else None
            reminders.append(reminder_to_json(each) | {"id": each.id, "client": about, "due": due})
    return {"classes": classes, "reminders": reminders}


def _by_client(
    drawers: Drawers, drawer: Drawer, client: ClientId | None
) -> dict[int, list[dict[str, Any]]]:
    found: dict[int, list[dict[str, Any]]] = defaultdict(list)
    for sheet in drawers.sheets(drawer, client=client):
        if sheet.client is None or sheet.made_at is None:
            continue
        match drawer:
            case Drawer.NOTE:
                form = note_to_json(note_from_sheet(sheet))
            case Drawer.DECLARATION:
                form = declaration_to_json(declaration_from_sheet(sheet))
            case Drawer.ATTENDANCE:
                form = attendance_to_json(attendance_from_sheet(sheet))
            case _:
                what, _, _, before = change_from_sheet(sheet)
                form = {
                    "at": sheet.made_at.isoformat(),
                    "what": what,
                    "before": dict(before.texts) if before else None,
                }
        found[sheet.client].append(form)
    return found


def _lines(drawers: Drawers, names: dict[int, str], number: int) -> list[str]:
    """Lines of buttons that name her and nobody else."""
    if number not in names:
        return []
    others = [name for each, name in names.items() if each != number]
    return [
        line
        for line in drawers.lines()
        if mentions(line, names[number]) and not any(mentions(line, other) for other in others)
    ]
