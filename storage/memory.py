"""The vault in memory: the twin that tests and a first try run on, gone when the program ends.

A transaction works on a copy of one instructor's data, which takes its place at the end.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from copy import deepcopy
from datetime import datetime, timedelta
from threading import Lock

from core.instructor import Instructor, OwnerId
from core.reminder import ReminderId
from storage.drawers import Drawer
from storage.errors import BUSY_S, BusyError, StrangerError
from storage.form import utc
from storage.kept import Access, Claim
from storage.memory_mail import Boxes, MemoryMail
from storage.memory_office import MemoryOffice
from storage.memory_store import Data, MemoryStore


class MemoryVault:
    """All instructors' data, for as long as the program runs.

    Attributes:
        office: what comes in and goes out.
    """

    def __init__(self) -> None:
        self._lock = Lock()
        self._data: dict[OwnerId, Data] = {}
        self._locks: dict[OwnerId, Lock] = {}
        self._doors: dict[str, OwnerId] = {}
        self._codes: dict[bytes, datetime] = {}
        self._boxes = Boxes()
        self.office = MemoryOffice(self._boxes)

    def owner(self, door: str) -> OwnerId | None:
        """Who speaks from this door, or None for a stranger."""
        with self._lock:
            owner = self._doors.get(door)
            return None if owner is None or self._data[owner].revoked else owner

    def admit(self, door: str, zone: str = "", at: datetime | None = None) -> OwnerId:
        """The number of whoever speaks from this door, let in if she was not in yet."""
        with self._lock:
            return self._admit(door, zone, at)

    def anybody(self) -> bool:
        """Whether there is anybody who is let in."""
        return bool(self.access())

    def access(self) -> list[Access]:
        """Who is let in, in the order first admitted."""
        with self._lock:
            return [
                Access(owner, data.instructor.door, data.admitted_at)
                for owner, data in self._data.items()
                if not data.revoked
            ]

    def revoke(self, door: str) -> bool:
        """Whether somebody was let in by this door, and no longer is; her data waits for her."""
        owner = self.owner(door)
        if owner is None:
            return False
        with self._transaction(owner) as data:
            data.revoked = True
        return True

    def add_code(self, digest: bytes, expires: datetime) -> None:
        """Keep the digest of a one-time code, replacing an earlier expiry."""
        with self._lock:
            self._codes[digest] = utc(expires)

    def redeem(self, digest: bytes, door: str, now: datetime) -> OwnerId | None:
        """Whom the code behind this digest has let in and is used up by, or None."""
        with self._lock:
            self._codes = {d: at for d, at in self._codes.items() if at > utc(now)}
            return self._admit(door, "", now) if self._codes.pop(digest, None) else None

    @contextmanager
    def begin(self, owner: OwnerId, *, replayed: bool = False) -> Iterator["MemoryStore"]:
        """One transaction on one instructor's data; whether it is replayed is all the same here.

        Raises:
            BusyError: another transaction on it has not ended for BUSY_S.
            StrangerError: nobody has this number.
        """
        with self._transaction(owner) as data:
            if data.revoked:
                raise StrangerError(f"there is no instructor {owner}")
            store = MemoryStore(data, self._boxes)
            yield store
            store.mail.keep()

    @contextmanager
    def mail(self) -> Iterator[MemoryMail]:
        """One transaction on the post alone: for whoever is not let in."""
        mail = MemoryMail(self._boxes, None)
        yield mail
        mail.keep()

    def earliest_due(self) -> datetime | None:
        """When the first reminder of anybody is due that no worker has in hand."""
        with self._lock:
            return min((claim.due for claim, lease in self._due() if lease is None), default=None)

    def claim_due(
        self,
        now: datetime,
        lease: timedelta,
        most: int,
        worker: str,
        owner: OwnerId | None = None,
    ) -> list[Claim]:
        """At most so many reminders that are due, in this worker's hand until the lease ends."""
        assert worker  # nobody else is here, but a database is told who
        with self._lock:
            free = [
                claim
                for claim, until in self._due()
                if owner in (None, claim.owner)
                and claim.due <= utc(now)
                and (until is None or until <= utc(now))
            ]
            free.sort(key=lambda claim: claim.due)
            for claim in free[:most]:
                self._data[claim.owner].filed.leases[claim.reminder] = utc(now) + lease
            return free[:most]

    def put_off(self, claim: Claim, until: datetime) -> None:
        """Leave a reminder that can't be said now alone until an instant."""
        with self._lock:
            self._data[claim.owner].filed.leases[claim.reminder] = utc(until)

    def _due(self) -> Iterator[tuple[Claim, datetime | None]]:
        """Every reminder that is due some day, and until when it is in somebody's hand."""
        for owner, data in self._data.items():
            for number, sheet in data.filed.sheets[Drawer.REMINDER].items():
                if sheet.due is not None:
                    claim = Claim(owner, ReminderId(number), sheet.due)
                    yield claim, data.filed.leases.get(number)

    def close(self) -> None:
        """Give back what is held open, which is nothing."""

    @contextmanager
    def _transaction(self, owner: OwnerId) -> Iterator[Data]:
        if owner not in self._locks:
            raise StrangerError(f"there is no instructor {owner}")
        if not self._locks[owner].acquire(timeout=BUSY_S):
            raise BusyError(f"somebody else has held the data for {BUSY_S} s")
        try:
            data = deepcopy(self._data[owner])
            yield data
            self._data[owner] = data
        finally:
            self._locks[owner].release()

    def _admit(self, door: str, zone: str, at: datetime | None) -> OwnerId:
        if door not in self._doors:
            owner = OwnerId(len(self._doors) + 1)
            self._data[owner] = Data(Instructor(owner, door, zone), None if at is None else utc(at))
            self._locks[owner] = Lock()
            self._doors[door] = owner
        owner = self._doors[door]
        if self._data[owner].revoked:
            with self._transaction(owner) as data:
                data.revoked, data.admitted_at = False, None if at is None else utc(at)
        return owner
