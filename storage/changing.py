"""How every change is filed with what was there before, so that it can be taken back."""

from datetime import datetime

from storage.drawers import Drawer, Drawers, Sheet
from storage.form import utc
from storage.kept import Change
from storage.people_form import change_to_sheet

CHANGES_KEPT = 100  # how many can be taken back (house choice)


def changed(
    drawers: Drawers, what: Change, drawer: Drawer, now: Sheet, before: Sheet | None, at: datetime
) -> None:
    """File a sheet, and what it was before; None for a new one."""
    drawers.put(drawer, now)
    logged(drawers, what, drawer, now, before, at)


def logged(
    drawers: Drawers,
    what: Change,
    drawer: Drawer,
    sheet: Sheet,
    before: Sheet | None,
    at: datetime,
) -> None:
    """File what a sheet was before it was changed or removed."""
    number = drawers.next_number()
    drawers.put(Drawer.CHANGE, change_to_sheet(number, what, drawer, sheet, before, utc(at)))
    drawers.trim(Drawer.CHANGE, CHANGES_KEPT)
