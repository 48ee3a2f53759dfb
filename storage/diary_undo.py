"""How a change of the diary is taken back, and how somebody who was erased leaves the diary."""

import json
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from core.client import ClientId
from storage.diary_form import class_from_sheet, class_to_sheet
from storage.drawers import OF_DIARY, Drawer, Drawers, Sheet, mentioned
from storage.people_form import change_from_sheet


def put_back(drawers: Drawers, drawer: Drawer, before: Sheet) -> None:
    """File a sheet of the diary as it was, without people that were erased meanwhile."""
    if drawer is Drawer.CLASS and before.made_at is not None:
        entry = class_from_sheet(before)
        known = set(drawers.numbers(Drawer.CLIENT))
        left = tuple(each for each in entry.people if each in known)
        before = class_to_sheet(replace(entry, people=left), before.made_at)
    drawers.put(drawer, before)


def forget_in_diary(
    drawers: Drawers, client: ClientId, name: str | None, gone: int
) -> Mapping[str, int]:
    """How many classes and reminders were about a client, who is no longer in them.

    A class that was for nobody else goes, a reminder whose words name her too, and with them every
    earlier state in which she is named.

    Args:
        gone: how many reminders about her were removed already.
    """
    classes = 0
    for sheet in list(drawers.sheets(Drawer.CLASS)):
        classes += _leave_class(drawers, client, name, sheet)
    for sheet in list(drawers.sheets(Drawer.REMINDER)):
        if name and mentioned(json.loads(sheet.texts["form"]), name):
            drawers.remove(Drawer.REMINDER, sheet.number)
            gone += 1
    for change in list(drawers.sheets(Drawer.CHANGE)):
        _, drawer, _, before = change_from_sheet(change)
        if drawer in OF_DIARY and before and _is_about(before, client, name):
            drawers.remove(Drawer.CHANGE, change.number)
    return {"classes": classes, "reminders": gone}


def _leave_class(drawers: Drawers, client: ClientId, name: str | None, sheet: Sheet) -> bool:
    """Whether she was in a class; she no longer is, and one that was for her alone is gone."""
    entry = class_from_sheet(sheet)
    left = tuple(each for each in entry.people if each != client)
    called = bool(name) and mentioned(json.loads(sheet.texts["form"]), name or "")
    if len(left) == len(entry.people) and not called:
        return False
    if sheet.made_at is None or not left:
        drawers.remove(Drawer.CLASS, sheet.number)
    else:
        group = "" if called and mentioned(entry.group, name or "") else entry.group
        place = "" if called and mentioned(entry.place, name or "") else entry.place
        kept = replace(entry, people=left, group=group, place=place)
        drawers.put(Drawer.CLASS, class_to_sheet(kept, sheet.made_at))
    return True


def _is_about(before: Sheet, client: ClientId, name: str | None) -> bool:
    form: dict[str, Any] = json.loads(before.texts["form"])
    return client in form.get("people", ()) or bool(name and mentioned(form, name))
