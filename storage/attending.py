"""Who was in which class, and how it went for her; filed with the people."""

from core.client import ClientId
from core.taught import Attendance
from storage.drawers import Drawer, Drawers, Sheet
from storage.errors import NobodyError
from storage.form import utc
from storage.taught_form import attendance_from_sheet, attendance_to_sheet

LOOKED_THROUGH = 500  # newest attendances among which a class is looked for (house choice)


class Attending:
    """The attendances of one instructor's people inside one transaction."""

    def __init__(self, drawers: Drawers) -> None:
        self._drawers = drawers

    def attend(self, attendance: Attendance) -> None:
        """Keep how a class went for a client, replacing what was kept of the same class.

        Raises:
            NobodyError: there is no such client.
        """
        if self._drawers.get(Drawer.CLIENT, attendance.client) is None:
            raise NobodyError(f"there is no client {attendance.client}")
        number = self._number(attendance) or self._drawers.next_number()
        sheet = attendance_to_sheet(number, attendance, utc(attendance.at))
        self._drawers.put(Drawer.ATTENDANCE, sheet)

    def attended(self, client: ClientId, limit: int | None = None) -> list[Attendance]:
        """A client's classes, newest first, those she missed included."""
        sheets = self._drawers.sheets(Drawer.ATTENDANCE, client=client, newest=True, limit=limit)
        return [attendance_from_sheet(sheet) for sheet in sheets]

    def attendances(self, plan: int) -> list[Attendance]:
        """Everybody's attendance of one class, in the order kept."""
        return [attendance_from_sheet(sheet) for sheet in self._of(plan)]

    def unattend(self, plan: int) -> int:
        """How many attendances of a class there were; they no longer are."""
        return sum(self._drawers.remove(Drawer.ATTENDANCE, s.number) for s in self._of(plan))

    def _of(self, plan: int) -> list[Sheet]:
        newest = self._drawers.sheets(Drawer.ATTENDANCE, newest=True, limit=LOOKED_THROUGH)
        found = [sheet for sheet in newest if attendance_from_sheet(sheet).plan == plan]
        return sorted(found, key=lambda sheet: sheet.number)

    def _number(self, attendance: Attendance) -> int | None:
        hers = self._drawers.sheets(Drawer.ATTENDANCE, client=attendance.client)
        same = (s.number for s in hers if attendance_from_sheet(s).plan == attendance.plan)
        return next(same, None)
