"""An instructor's classes, holidays and reminders, written once over the drawers a store has.

Each change is filed with what was there before, and `People.undo` takes it back.
"""

from dataclasses import replace
from datetime import date, datetime

from core.diary import Away, AwayId, ClassEntry, ClassId, over_before
from core.reminder import STANDING, Kind, Reminder, ReminderId, Rhythm
from storage.changing import changed, logged
from storage.diary_form import (
    away_from_sheet,
    away_to_sheet,
    class_from_sheet,
    class_to_sheet,
    reminder_from_sheet,
    reminder_to_sheet,
    rhythm_from_sheet,
    rhythm_to_sheet,
)
from storage.drawers import Drawer, Drawers, Sheet
from storage.errors import NobodyError
from storage.form import utc
from storage.kept import Change


class Diary:
    """The diary of one instructor inside one transaction; made by her store only.

    A single record that can't be read raises SealError; a list leaves it out, and `Store.faults`
    has it. What is done to a record there is not raises NobodyError.
    """

    def __init__(self, drawers: Drawers) -> None:
        self._drawers = drawers

    def classes(self) -> list[ClassEntry]:
        """Every class, in the order added."""
        return [class_from_sheet(sheet) for sheet in self._drawers.sheets(Drawer.CLASS)]

    def add_class(self, entry: ClassEntry, at: datetime) -> ClassEntry:
        """The class as kept, under a number of its own."""
        kept = replace(entry, id=ClassId(self._drawers.next_number()))
        sheet = class_to_sheet(kept, utc(at))
        changed(self._drawers, Change.CLASS, Drawer.CLASS, sheet, None, at)
        return kept

    def save_class(self, entry: ClassEntry, at: datetime) -> None:
        """Keep a class as it now is."""
        before = self._must(Drawer.CLASS, entry.id)
        sheet = class_to_sheet(entry, _made(before))
        changed(self._drawers, Change.CLASS, Drawer.CLASS, sheet, before, at)

    def set_plan(self, entry: ClassEntry) -> None:
        """Keep which plans its lessons have; that is no change to take back."""
        before = self._must(Drawer.CLASS, entry.id)
        self._drawers.put(Drawer.CLASS, class_to_sheet(entry, _made(before)))

    def drop_class(self, class_id: ClassId, at: datetime) -> None:
        """Take a class out of the diary."""
        self._drop(Change.CLASS, Drawer.CLASS, class_id, at)

    def away(self) -> list[Away]:
        """All holidays, the earliest first."""
        found = [away_from_sheet(sheet) for sheet in self._drawers.sheets(Drawer.AWAY)]
        return sorted(found, key=lambda each: (each.first, each.id))

    def add_away(self, first: date, last: date, at: datetime) -> Away:
        """The holiday as kept."""
        kept = Away(AwayId(self._drawers.next_number()), first, last)
        sheet = away_to_sheet(kept, utc(at))
        changed(self._drawers, Change.AWAY, Drawer.AWAY, sheet, None, at)
        return kept

    def drop_away(self, away_id: AwayId, at: datetime) -> None:
        """Take a holiday out again."""
        self._drop(Change.AWAY, Drawer.AWAY, away_id, at)

    def rhythm(self) -> Rhythm:
        """When she wants to hear something; the usual until she has said."""
        sheet = next(self._drawers.sheets(Drawer.RHYTHM), None)
        return rhythm_from_sheet(sheet) if sheet else Rhythm()

    def set_rhythm(self, rhythm: Rhythm, at: datetime) -> None:
        """Keep when she wants to hear something."""
        before = next(self._drawers.sheets(Drawer.RHYTHM), None)
        number = before.number if before else self._drawers.next_number()
        sheet = rhythm_to_sheet(number, rhythm, _made(before) if before else utc(at))
        changed(self._drawers, Change.RHYTHM, Drawer.RHYTHM, sheet, before, at)

    def reminders(self) -> list[Reminder]:
        """Every reminder, in the order added."""
        return [reminder_from_sheet(sheet) for sheet in self._drawers.sheets(Drawer.REMINDER)]

    def reminder(self, reminder_id: ReminderId) -> Reminder | None:
        """The reminder of this number, or None."""
        sheet = self._drawers.get(Drawer.REMINDER, reminder_id)
        return reminder_from_sheet(sheet) if sheet else None

    def standing(self, kind: Kind) -> Reminder | None:
        """The one reminder of a kind that says something before classes, or None."""
        return next((each for each in self.reminders() if each.kind is kind), None)

    def add_reminder(self, reminder: Reminder, at: datetime) -> Reminder:
        """The reminder as kept, under a number of its own.

        Raises:
            NobodyError: it is about a client there is not.
        """
        if reminder.client is not None:
            self._must(Drawer.CLIENT, reminder.client)
        kept = replace(reminder, id=ReminderId(self._drawers.next_number()))
        sheet = reminder_to_sheet(kept, utc(at))
        if kept.kind in STANDING:
            self._drawers.put(Drawer.REMINDER, sheet)
        else:
            changed(self._drawers, Change.REMINDER, Drawer.REMINDER, sheet, None, at)
        return kept

    def save_reminder(self, reminder: Reminder, at: datetime) -> None:
        """Keep a reminder as it now is; nobody has it in hand any more."""
        before = self._must(Drawer.REMINDER, reminder.id)
        sheet = reminder_to_sheet(reminder, _made(before))
        changed(self._drawers, Change.REMINDER, Drawer.REMINDER, sheet, before, at)

    def settle(self, reminder: Reminder) -> None:
        """Keep a reminder that was said or let pass; that is no change to take back."""
        before = self._must(Drawer.REMINDER, reminder.id)
        self._drawers.put(Drawer.REMINDER, reminder_to_sheet(reminder, _made(before)))

    def drop_reminder(self, reminder_id: ReminderId, at: datetime) -> None:
        """Take a reminder out."""
        self._drop(Change.REMINDER, Drawer.REMINDER, reminder_id, at)

    def tidy(self, before: datetime) -> int:
        """How many reminders of her own were last said before an instant, and are gone now.

        One that will be said again, or that waits for an answer, stays.
        """
        done = [
            each
            for each in self.reminders()
            if each.kind is Kind.OWN
            and each.due is None
            and not each.paused
            and each.rung is not None
            and each.rung < before
        ]
        for each in done:
            self._drawers.remove(Drawer.REMINDER, each.id)
        return len(done)

    def purge(self, before: datetime) -> int:
        """How many classes and holidays were over before an instant, and are gone now.

        With them go reminders that were said; a question that waits for an answer stays.
        """
        over = [(Drawer.CLASS, e.id) for e in self.classes() if over_before(e, before)]
        off = [(Drawer.AWAY, e.id) for e in self.away() if e.last < before.date()]
        for drawer, number in (*over, *off):
            self._drawers.remove(drawer, number)
        return len(over) + len(off) + self.tidy(before)

    def _drop(self, what: Change, drawer: Drawer, number: int, at: datetime) -> None:
        before = self._must(drawer, number)
        self._drawers.remove(drawer, number)
        logged(self._drawers, what, drawer, before, before, at)

    def _must(self, drawer: Drawer, number: int) -> Sheet:
        sheet = self._drawers.get(drawer, number)
        if sheet is None:
            raise NobodyError(f"there is no {drawer} {number}")
        return sheet


def _made(sheet: Sheet) -> datetime:
    assert sheet.made_at is not None  # every sheet of the diary was filed at a time
    return sheet.made_at
