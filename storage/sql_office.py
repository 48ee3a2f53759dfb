"""The inbox, the outbox and the lanes in a database; each method is one transaction.

On PostgreSQL several workers share them by row locks, and on SQLite there is one writer at a time
anyway. Only what must not be lost in a power cut waits for the disk: updates, before the channel
is told that they came. All else is done again from them.
"""

import json
from collections.abc import Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, Engine, Row, bindparam, func, or_, select, update

from core.instructor import OwnerId
from storage.cover import Cover
from storage.crypto import Keys, Place, Seal
from storage.errors import KeyMissingError, SealError
from storage.form import utc
from storage.mail import (
    HOUSE,
    Allowed,
    Arrival,
    Letter,
    State,
    Update,
    Work,
    letter_place,
    update_place,
)
from storage.pacing import kept, share
from storage.sql_dead import SqlDead
from storage.sql_mail import INBOX, LANE, OUTBOX, PACE, inserting
from storage.turns import READING, SWIFT

FREE = or_(LANE.c.worker.is_(None), LANE.c.lease_until <= bindparam("now"))
WAITING = INBOX.c.state == State.OPEN
DUE = (OUTBOX.c.state == State.OPEN) & (OUTBOX.c.due <= bindparam("now"))
LOUD = or_(LANE.c.quiet_until.is_(None), LANE.c.quiet_until <= bindparam("now"))

ANSWERABLE = (
    select(INBOX.c.chat)
    .join(LANE, LANE.c.chat == INBOX.c.chat)
    .where(WAITING, FREE)
    .group_by(INBOX.c.chat)
    .order_by(func.min(INBOX.c.number))
    .limit(bindparam("most"))
)
SENDABLE = (
    select(OUTBOX.c.chat)
    .join(LANE, LANE.c.chat == OUTBOX.c.chat)
    .where(DUE, FREE, LOUD)
    .group_by(OUTBOX.c.chat)
    .order_by(func.min(OUTBOX.c.due))
    .limit(bindparam("most"))
)
LOCKED = (
    select(LANE.c.chat, LANE.c.worker)
    .where(LANE.c.chat.in_(bindparam("chats", expanding=True)), FREE)
    .order_by(LANE.c.chat)
    .with_for_update(skip_locked=True)
)
CLAIM = update(LANE).where(LANE.c.chat.in_(bindparam("chats", expanding=True)))
THIS_LANE = LANE.c.chat == bindparam("of")
THIS_LETTER = OUTBOX.c.id == bindparam("at")
FIRST = (
    select(INBOX.c.number, INBOX.c.body, INBOX.c.attempts)
    .where(INBOX.c.chat == bindparam("of"), WAITING)
    .order_by(INBOX.c.number)
    .limit(1)
)
HEAD = (
    select(OUTBOX)
    .where(OUTBOX.c.chat == bindparam("of"), DUE)
    .order_by(OUTBOX.c.due, OUTBOX.c.id)
    .limit(1)
)
LANE_PACE = select(LANE.c.quiet_until, LANE.c.recent).where(THIS_LANE)
SENT = update(OUTBOX).where(THIS_LETTER).values(state=State.DONE, body=None)
MORE_ATTEMPTS = update(OUTBOX).where(THIS_LETTER).values(attempts=OUTBOX.c.attempts + 1)


class SqlOffice(SqlDead):
    """The post of everybody, in one database."""

    def __init__(self, engine: Engine, keys: Keys | None) -> None:
        super().__init__(engine.execution_options(**{SWIFT: True}))
        self._durable = engine
        self._reader = engine.execution_options(**{READING: True})
        self._keys = keys

    def take(
        self,
        arrivals: Sequence[Arrival],
        worker: str,
        now: datetime,
        lease_until: datetime,
        most: int,
    ) -> list[str]:
        """Chats of these updates that are now this worker's; the updates are kept for good."""
        cover = self._cover(None)
        rows = {
            each.number: {
                "number": each.number,
                "chat": each.chat,
                "body": cover.closed(update_place(each.number), each.body),
                "arrived": utc(now),
                "state": State.OPEN,
                "attempts": 0,
            }
            for each in arrivals
        }
        chats = sorted({each.chat for each in arrivals})
        if not rows:
            return []
        with self._transaction(self._durable) as connection:
            kind = connection.dialect.name
            # In one order everywhere, so that two workers can't wait for one another.
            connection.execute(inserting(kind, INBOX), [rows[number] for number in sorted(rows)])
            connection.execute(
                inserting(kind, LANE), [{"chat": chat, "recent": "[]"} for chat in chats]
            )
            return self._claim(connection, chats[:most], worker, now, lease_until) if most else []

    def claim(self, worker: str, now: datetime, lease_until: datetime, most: int) -> list[str]:
        """Chats with work that are now this worker's."""
        asked = {"now": utc(now), "most": most}
        with self._transaction(self._reader) as connection:
            chats = list(connection.scalars(ANSWERABLE, asked))
            chats += connection.scalars(SENDABLE, asked)
        if not chats:
            return []
        with self._transaction() as connection:
            chats = list(dict.fromkeys(chats))[:most]
            return self._claim(connection, chats, worker, now, lease_until)

    def _claim(
        self,
        connection: Connection,
        chats: Sequence[str],
        worker: str,
        now: datetime,
        lease_until: datetime,
    ) -> list[str]:
        found = connection.execute(LOCKED, {"chats": chats, "now": utc(now)}).all()
        ours = [chat for chat, _ in found]
        if ours:
            values = {"worker": worker, "lease_until": utc(lease_until)}
            connection.execute(CLAIM.values(**values), {"chats": ours})
        for chat, before in found:
            if before is not None:
                self._blame(connection, chat, now)
        return [chat for chat in chats if chat in set(ours)]

    def _blame(self, connection: Connection, chat: str, now: datetime) -> None:
        """Count what a dead worker may have been at as attempted."""
        first = connection.execute(FIRST, {"of": chat}).first()
        if first:
            at = update(INBOX).where(INBOX.c.number == first.number)
            connection.execute(at.values(attempts=INBOX.c.attempts + 1))
        head = connection.execute(HEAD, {"of": chat, "now": utc(now)}).first()
        if head:
            connection.execute(MORE_ATTEMPTS, {"at": head.id})

    def work(self, chat: str, now: datetime) -> Work:
        """What there is to do in a chat."""
        with self._transaction(self._reader) as connection:
            lane = connection.execute(LANE_PACE, {"of": chat}).first()
            first = connection.execute(FIRST, {"of": chat}).first()
            head = connection.execute(HEAD, {"of": chat, "now": utc(now)}).first()
        return Work(
            self._update(chat, first) if first else None,
            self._letter(head) if head else None,
            lane.quiet_until if lane else None,
            tuple(json.loads(lane.recent)) if lane else (),
        )

    def sent(
        self,
        letter: Letter,
        message: int | None,
        quiet_until: datetime,
        recent: Sequence[float],
        *,
        rest_too: bool = False,
    ) -> None:
        """Mark a letter as sent, its body gone, and say when the chat may be written to next."""
        with self._transaction() as connection:
            connection.execute(SENT.values(message=message), {"at": letter.id})
            if rest_too:
                rest = update(OUTBOX).where(
                    OUTBOX.c.post == letter.post, OUTBOX.c.state == State.OPEN
                )
                connection.execute(rest.values(state=State.DONE, body=None))
            pace = {"quiet_until": utc(quiet_until), "recent": json.dumps(list(recent))}
            connection.execute(update(LANE).where(THIS_LANE).values(**pace), {"of": letter.chat})

    def later(self, letter: Letter, error: str | None, quiet_until: datetime) -> None:
        """Try a letter again then; without an error the attempt does not count."""
        with self._transaction() as connection:
            if error is not None:
                connection.execute(MORE_ATTEMPTS.values(error=error), {"at": letter.id})
            quiet = update(LANE).where(THIS_LANE).values(quiet_until=utc(quiet_until))
            connection.execute(quiet, {"of": letter.chat})

    def release(self, chat: str, worker: str, now: datetime, *, idle_only: bool) -> bool:
        """Whether a chat was given back."""
        ours = update(LANE).where(THIS_LANE, LANE.c.worker == worker)
        if idle_only:
            letters = select(OUTBOX.c.id).where(OUTBOX.c.chat == bindparam("of"), DUE)
            updates = select(INBOX.c.number).where(INBOX.c.chat == bindparam("of"), WAITING)
            ours = ours.where(~updates.exists(), ~letters.exists())
        free = ours.values(worker=None, lease_until=None)
        with self._transaction() as connection:
            asked = {"of": chat} | ({"now": utc(now)} if idle_only else {})
            return bool(connection.execute(free, asked).rowcount)

    def beat(self, worker: str, lease_until: datetime) -> None:
        """Renew the lease of all that is this worker's."""
        with self._transaction() as connection:
            ours = update(LANE).where(LANE.c.worker == worker)
            connection.execute(ours.values(lease_until=utc(lease_until)))

    def leave(self, worker: str) -> None:
        """Give everything back."""
        with self._transaction() as connection:
            ours = update(LANE).where(LANE.c.worker == worker)
            connection.execute(ours.values(worker=None, lease_until=None))

    def inherit(self, now: datetime) -> None:
        """Free the chats of all workers, where it is known that none of them lives."""
        with self._transaction() as connection:
            theirs = update(LANE).where(LANE.c.worker.is_not(None))
            connection.execute(theirs.values(lease_until=utc(now)))

    def allow(self, channel: str, now: datetime, most: int) -> Allowed:
        """Count a message about to be sent, where so many a second are allowed to all workers."""
        at = now.timestamp()
        with self._transaction() as connection:
            row = self._pace(connection, channel)
            if row.quiet_until and row.quiet_until > now:
                return Allowed(0, row.quiet_until)
            spent = [(float(then), int(count)) for then, count in json.loads(row.spent)]
            count, until = share(spent, most, at)
            if count:
                spent = [*kept(spent, at), (at, count)]
                ours = update(PACE).where(PACE.c.channel == channel)
                connection.execute(ours.values(spent=json.dumps(spent)))
        return Allowed(count, datetime.fromtimestamp(until, now.tzinfo))

    def hush(self, channel: str, until: datetime) -> None:
        """Send nothing to a channel before this instant."""
        with self._transaction() as connection:
            row = self._pace(connection, channel)
            if row.quiet_until is None or row.quiet_until < until:
                ours = update(PACE).where(PACE.c.channel == channel)
                connection.execute(ours.values(quiet_until=utc(until)))

    def _pace(self, connection: Connection, channel: str) -> Row[Any]:
        query = select(PACE).where(PACE.c.channel == channel).with_for_update()
        row = connection.execute(query).first()
        if row is None:
            new = inserting(connection.dialect.name, PACE)
            connection.execute(new, {"channel": channel, "spent": "[]"})
            row = connection.execute(query).one()
        return row

    def _update(self, chat: str, row: Any) -> Update:  # noqa: ANN401 - a row has no type of its own
        return Update(
            row.number, chat, self._opened(None, update_place(row.number), row.body), row.attempts
        )

    def _letter(self, row: Any) -> Letter:  # noqa: ANN401
        place = letter_place(row.chat, row.post, row.part)
        body = self._opened(row.owner, place, row.body)
        return Letter(row.id, row.chat, row.post, row.part, body, row.made_at, row.attempts)

    def _opened(self, owner: int | None, place: Place, body: bytes | None) -> str | None:
        try:
            return None if body is None else self._cover(owner).opened(place, body)
        except (SealError, KeyMissingError):
            return None

    def _cover(self, owner: int | None) -> Cover:
        return Cover(Seal(self._keys, OwnerId(owner or HOUSE)) if self._keys else None)
