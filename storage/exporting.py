"""What is kept about people, written out as plain JSON values."""

from collections import defaultdict
from typing import Any

from core.client import ClientId
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


def exported(drawers: Drawers, client: ClientId | None) -> dict[str, Any]:
    """All about one client and nobody else, or about everybody; what can't be read is named.

    A group stands with a client by its name alone, because its other people are not hers.
    """
    names = drawers.names(Drawer.CLIENT)
    wanted = [n for n in drawers.numbers(Drawer.CLIENT) if client in (None, n)]
    groups = [group_from_sheet(sheet) for sheet in drawers.sheets(Drawer.GROUP)]
    notes, declarations, changes = (
        _by_client(drawers, drawer, client)
        for drawer in (Drawer.NOTE, Drawer.DECLARATION, Drawer.CHANGE)
    )
    form: dict[str, Any] = {
        "clients": [
            {
                **_client(drawers, number),
                "notes": notes[number],
                "declarations": declarations[number],
                "groups": [group.name for group in groups if number in group.members],
                "changes": changes[number],
            }
            for number in wanted
        ]
    }
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
