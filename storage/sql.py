"""The vault on a database: SQLite by default, PostgreSQL by its address.

A call is synchronous and may come from any thread; each transaction has its own session.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta

from sqlalchemy import Connection, Engine, delete, update
from sqlalchemy.exc import IntegrityError
from sqlmodel import Session, col, select

from core.instructor import Habits, OwnerId
from storage.cover import Cover
from storage.crypto import Keys, Seal
from storage.engine import open_engine, plain_errors, truncate_log
from storage.errors import KeyMissingError, StrangerError
from storage.form import habits_to_json, utc
from storage.hers import locked
from storage.kept import Access, Claim
from storage.mail import HOUSE
from storage.mail_rows import renew_letters, renew_updates
from storage.people_tables import KeyRow
from storage.revision import is_current
from storage.sql_drawers import Books
from storage.sql_due import claim_due, earliest_due, put_off
from storage.sql_mail import SqlMail, inserting
from storage.sql_office import SqlOffice
from storage.sql_store import SqlStore
from storage.tables import CodeRow, InstructorRow
from storage.tie import Tie
from storage.turns import LATE, OF, READING, SWIFT

KEYS = KeyRow.metadata.tables["sealing_key"]


class SqlVault:
    """All instructors' data in one database.

    Attributes:
        office: what comes in and goes out.
    """

    def __init__(self, url: str, keys: Keys | None = None) -> None:
        """Open the database at this address; it has to be upgraded already.

        Without keys it can't keep people.

        Raises:
            KeyMissingError: something in it was sealed with a key that is not among these.
            NewerError: a newer version of the program has been there.
            OlderError: it has not been upgraded.
            OpenError: it can't be opened.
        """
        self.keys = keys
        self._books: Books = {}
        self._engine = open_engine(url)
        self._reader = self._engine.execution_options(**{READING: True})
        self.office = SqlOffice(self._engine, keys)
        try:
            with self._session(self._reader) as session:
                if not is_current(session.connection()):
                    _say_why_not(session.connection())
            if keys is not None:
                self._introduce(keys)
        except BaseException:
            self.close()
            raise

    def current(self) -> bool:
        """Whether the database can be reached and still has the shape that is wanted."""
        with self._session(self._reader) as session:
            return is_current(session.connection())

    def owner(self, door: str) -> OwnerId | None:
        """Who speaks from this door, or None for a stranger."""
        with self._session(self._reader) as session:
            return _owner(session, door)

    def admit(self, door: str, zone: str = "", at: datetime | None = None) -> OwnerId:
        """The number of whoever speaks from this door, let in if she was not in yet."""
        with self._session(self._engine) as session:
            return _admit(session, door, zone, at)

    def anybody(self) -> bool:
        """Whether there is anybody who is let in."""
        return bool(self.access())

    def access(self) -> list[Access]:
        """Who is let in, in the order first admitted."""
        query = select(InstructorRow).where(col(InstructorRow.revoked).is_(False))
        with self._session(self._reader) as session:
            rows = session.exec(query.order_by(col(InstructorRow.id))).all()
            return [Access(OwnerId(row.id), row.door, row.admitted_at) for row in rows]

    def revoke(self, door: str) -> bool:
        """Whether somebody was let in by this door, and no longer is; her data waits for her."""
        with self._session(self._engine) as session:
            hers = update(InstructorRow).where(
                col(InstructorRow.door) == door, col(InstructorRow.revoked).is_(False)
            )
            return bool(session.exec(hers.values(revoked=True)).rowcount)

    def add_code(self, digest: bytes, expires: datetime) -> None:
        """Keep the digest of a one-time code, replacing an earlier expiry."""
        with self._session(self._engine) as session:
            session.merge(CodeRow(digest=digest, expires=utc(expires)))

    def redeem(self, digest: bytes, door: str, now: datetime) -> OwnerId | None:
        """Whom the code behind this digest has let in and is used up by, or None."""
        with self._session(self._engine) as session:
            # Deleting is the check: of two at once, only one can find the row to delete.
            ours = delete(CodeRow).where(
                col(CodeRow.digest) == digest, col(CodeRow.expires) > utc(now)
            )
            used = session.exec(ours).rowcount
            session.exec(delete(CodeRow).where(col(CodeRow.expires) <= utc(now)))
            return _admit(session, door, "", now) if used else None

    def owners(self) -> list[OwnerId]:
        """Everybody who has data here, let in or not."""
        with self._session(self._reader) as session:
            query = select(InstructorRow.id).order_by(col(InstructorRow.id))
            return [OwnerId(number) for number in session.exec(query)]

    @contextmanager
    def begin(
        self, owner: OwnerId, *, revoked_too: bool = False, replayed: bool = False
    ) -> Iterator[SqlStore]:
        """One transaction on one instructor's data.

        Args:
            replayed: it is done again if it comes to nothing; see `storage.engine`.

        Raises:
            StrangerError: nobody who is let in has this number.
            TakenError: replayed only: something of hers was changed meanwhile.
        """
        hers = {SWIFT: replayed, LATE: replayed, OF: owner}
        with self._tied(self._engine.execution_options(**hers)) as tie:
            row = locked(tie.connection, owner)
            if row is None or (row.revoked and not revoked_too):
                raise StrangerError(f"there is no instructor {owner}")
            store = SqlStore(tie, row, Seal(self.keys, owner) if self.keys else None, self._books)
            yield store
            row.write(tie.connection)
        if store.drawers is not None and store.drawers.erased:
            truncate_log(self._engine)

    @contextmanager
    def mail(self) -> Iterator[SqlMail]:
        """One transaction on the post alone: for whoever is not let in."""
        with self._tied(self._engine) as tie:
            yield SqlMail(tie, Cover(Seal(self.keys, HOUSE) if self.keys else None), None)

    def earliest_due(self) -> datetime | None:
        """When the first reminder of anybody is due that no worker has in hand."""
        with self._session(self._reader) as session:
            return earliest_due(session)

    def claim_due(
        self,
        now: datetime,
        lease: timedelta,
        most: int,
        worker: str,
        owner: OwnerId | None = None,
    ) -> list[Claim]:
        """At most so many reminders that are due, in this worker's hand until the lease ends."""
        with self._session(self._engine) as session:
            return claim_due(session, utc(now), lease, most, worker, owner)

    def put_off(self, claim: Claim, until: datetime) -> None:
        """Leave a reminder that can't be said now alone until an instant."""
        with self._session(self._engine) as session:
            put_off(session, claim, utc(until))

    def renew_house(self) -> int:
        """How much of what is nobody's yet was sealed anew."""
        with self._session(self._engine) as session:
            cover = Cover(Seal(self.keys, HOUSE) if self.keys else None)
            return renew_updates(session, cover) + renew_letters(session, cover, None)

    def leave_old_keys(self) -> None:
        """Need the newest key alone from now on; nothing may be sealed with another any more."""
        with self._session(self._engine) as session:
            newest = self.keys.newest if self.keys else 0
            session.exec(delete(KeyRow).where(col(KeyRow.number) != newest))
        truncate_log(self._engine)

    def empty_log(self) -> None:
        """Leave nothing of what was overwritten in the write-ahead log."""
        truncate_log(self._engine)

    def close(self) -> None:
        """Give back what is held open."""
        self._engine.dispose()

    def _introduce(self, keys: Keys) -> None:
        """Pass only if these keys open what is sealed here, and remember the newest of them.

        Raises:
            KeyMissingError: they do not.
        """
        known = self._recognised(keys)
        if keys.newest not in known:
            mine = {"number": keys.newest, "mark": keys.mark(keys.newest)}
            with self._session(self._engine) as session:
                session.connection().execute(inserting(self._engine.dialect.name, KEYS), mine)
            # Of several workers that start at once one was first; all look at what it has left.
            self._recognised(keys)

    def _recognised(self, keys: Keys) -> list[int]:
        """The numbers of all keys that have sealed something here."""
        with self._session(self._reader) as session:
            known = {row.number: row.mark for row in session.exec(select(KeyRow))}
        for number, mark in known.items():
            if number not in keys.numbers:
                raise KeyMissingError(f"key {number} is missing, and the database needs it")
            if not keys.recognised(number, mark):
                raise KeyMissingError(f"the database was sealed with another key {number}")
        return list(known)

    @contextmanager
    def _tied(self, engine: Engine) -> Iterator[Tie]:
        with plain_errors(engine), engine.begin() as connection, Tie(connection).held() as tie:
            yield tie

    @contextmanager
    def _session(self, engine: Engine) -> Iterator[Session]:
        # Once closed, a session stays closed: a store kept too long fails instead of writing.
        with (
            plain_errors(engine),
            Session(engine, close_resets_only=False) as session,
            session.begin(),
        ):
            yield session


def _say_why_not(connection: Connection) -> None:
    """Tell an older database from a newer one; loads the migrations' library, so only now."""
    from storage.migrate import require_current  # noqa: PLC0415

    require_current(connection)


def _owner(session: Session, door: str) -> OwnerId | None:
    query = select(InstructorRow.id).where(
        InstructorRow.door == door, col(InstructorRow.revoked).is_(False)
    )
    found = session.exec(query).one_or_none()
    return None if found is None else OwnerId(found)


def _admit(session: Session, door: str, zone: str, at: datetime | None) -> OwnerId:
    query = select(InstructorRow).where(InstructorRow.door == door).with_for_update()
    row = session.exec(query).one_or_none()
    if row is None:
        row = InstructorRow(door=door, zone=zone, habits=habits_to_json(Habits()))
        row.admitted_at = None if at is None else utc(at)
        try:
            with session.begin_nested():
                session.add(row)
        except IntegrityError:
            # Where only rows are locked, somebody at the same door may have been quicker.
            row = session.exec(query).one()
    elif row.revoked:
        row.revoked = False
        row.admitted_at = None if at is None else utc(at)
    return OwnerId(row.id)
