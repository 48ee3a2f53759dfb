"""What the actions may ask of the outside about the diary and about reminders."""

from datetime import date, datetime, timedelta
from typing import Protocol

from core.diary import Away, AwayId, ClassEntry, ClassId
from core.instructor import OwnerId
from core.reminder import Kind, Reminder, ReminderId, Rhythm
from storage.kept import Claim


class Diary(Protocol):
    """One instructor's classes, holidays and reminders inside one transaction.

    Every change can be taken back with `People.undo`, except settling and tidying. What is done to
    something there is not raises NobodyError.
    """

    def classes(self) -> list[ClassEntry]:
        """Every class, in the order added."""

    def add_class(self, entry: ClassEntry, at: datetime) -> ClassEntry:
        """Keep a class, under a number of its own."""

    def save_class(self, entry: ClassEntry, at: datetime) -> None:
        """Keep a class as it now is."""

    def set_plan(self, entry: ClassEntry) -> None:
        """Keep which plans its lessons have; that is no change to take back."""

    def drop_class(self, class_id: ClassId, at: datetime) -> None:
        """Take a class out of the diary."""

    def away(self) -> list[Away]:
        """All holidays, the earliest first."""

    def add_away(self, first: date, last: date, at: datetime) -> Away:
        """Keep a holiday."""

    def drop_away(self, away_id: AwayId, at: datetime) -> None:
        """Take a holiday out again."""

    def rhythm(self) -> Rhythm:
        """When she wants to hear something; the usual until she has said."""

    def set_rhythm(self, rhythm: Rhythm, at: datetime) -> None:
        """Keep when she wants to hear something."""

    def reminders(self) -> list[Reminder]:
        """Every reminder, in the order added."""

    def reminder(self, reminder_id: ReminderId) -> Reminder | None:
        """The reminder of this number, or None."""

    def standing(self, kind: Kind) -> Reminder | None:
        """The one reminder of a kind that says something before classes, or None."""

    def add_reminder(self, reminder: Reminder, at: datetime) -> Reminder:
        """Keep a reminder, under a number of its own."""

    def save_reminder(self, reminder: Reminder, at: datetime) -> None:
        """Keep a reminder as it now is; nobody has it in hand any more."""

    def settle(self, reminder: Reminder) -> None:
        """Keep a reminder that was said or let pass; that is no change to take back."""

    def drop_reminder(self, reminder_id: ReminderId, at: datetime) -> None:
        """Take a reminder out."""

    def tidy(self, before: datetime) -> int:
        """Remove reminders of her own that were last said before an instant; how many it were."""

    def purge(self, before: datetime) -> int:
        """Remove what was over before an instant: classes, holidays, reminders; how many."""


class Waking(Protocol):
    """Everybody's reminders, for whoever says them."""

    def earliest_due(self) -> datetime | None:
        """When the first reminder of anybody is due that no worker has in hand."""

    def claim_due(
        self,
        now: datetime,
        lease: timedelta,
        most: int,
        worker: str,
        owner: OwnerId | None = None,
    ) -> list[Claim]:
        """At most so many reminders that are due, in this worker's hand until the lease ends.

        Args:
            owner: hers only.
        """

    def put_off(self, claim: Claim, until: datetime) -> None:
        """Leave a reminder that can't be said now alone until an instant."""
