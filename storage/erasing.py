"""How a client is taken out of everything that is kept."""

import json

from core.client import ClientId
from storage.diary_undo import forget_in_diary
from storage.drawers import OF_CLIENTS, Drawer, Drawers, Sheet, mentioned, mentions
from storage.people_form import change_from_sheet, group_from_sheet, group_to_sheet


def erased(drawers: Drawers, client: ClientId) -> dict[str, int]:
    """How much of what is gone; works for a record that can't be read, too.

    "mentions" counts what is kept about others, or about classes and exercises, and still has the
    name in it.
    """
    name = drawers.names(Drawer.CLIENT).get(client)
    counts = {f"{each}s": drawers.remove_of(each, client) for each in OF_CLIENTS}
    counts["groups"] = _leave_groups(drawers, client, name)
    counts |= forget_in_diary(drawers, client, name, counts["reminders"])
    counts |= drawers.forget(name)
    drawers.remove(Drawer.CLIENT, client)
    counts["mentions"] = _mentions(drawers, name) + drawers.named_elsewhere(name) if name else 0
    return counts


def _leave_groups(drawers: Drawers, client: ClientId, name: str | None) -> int:
    """Take a client out of her groups; one that was only for her and has her name goes."""
    left = 0
    for sheet in list(drawers.sheets(Drawer.GROUP)):
        group = group_from_sheet(sheet)
        if client not in group.members:
            continue
        left += 1
        members = tuple(each for each in group.members if each != client)
        if members or name is None or not mentions(group.name, name):
            changed = group_to_sheet(sheet.number, type(group)(group.name, members))
            drawers.put(Drawer.GROUP, changed)
        else:
            drawers.remove(Drawer.GROUP, sheet.number)
            _forget_changes(drawers, sheet.number)
    return left


def _forget_changes(drawers: Drawers, group: int) -> None:
    for change in list(drawers.sheets(Drawer.CHANGE)):
        _, drawer, number, _ = change_from_sheet(change)
        if drawer is Drawer.GROUP and number == group:
            drawers.remove(Drawer.CHANGE, change.number)


def _mentions(drawers: Drawers, name: str) -> int:
    return sum(
        any(mentioned(form, name) for form in _forms(drawer, sheet))
        for drawer in Drawer
        for sheet in drawers.sheets(drawer)
    )


def _forms(drawer: Drawer, sheet: Sheet) -> list[object]:
    """What a sheet says, without the name of another client."""
    if drawer is Drawer.NOTE:
        return [sheet.texts["text"]]
    if drawer is Drawer.GROUP:
        return [sheet.texts["name"]]
    return [json.loads(text) for column, text in sheet.texts.items() if column != "name"]
