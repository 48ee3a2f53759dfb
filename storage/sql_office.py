"""The inbox, the outbox and the lanes in a database; each method is one transaction.

On PostgreSQL several workers share them by row locks, and on SQLite there is one writer at a time
anyway. Only what must not be lost in a power cut waits for the disk: updates, before the channel
is told that they came. All else is done again from them.
"""

import json
from collections.abc import Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, Row, bindparam, func, or_, select, update

from storage.form import utc
from storage.mail import (
    BEGUN,
    SUSPECT,
    Allowed,
    Arrival,
    State,
    update_place,
)
from storage.pacing import kept, share
from storage.sql_due import give_back
from storage.sql_mail import INBOX, LANE, OUTBOX, PACE, inserting
from storage.sql_turns import DUE, FIRST, HEAD, MORE_ATTEMPTS, WAITING, SqlTurns

FREE = or_(LANE.c.worker.is_(None), LANE.c.lease_until <= bindparam("now"))
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


THIS_UPDATE = INBOX.c.number == bindparam("at")
# A chat that a dead worker had is not what it died of: most of them only waited for their turn.
BLAME = (
    update(INBOX)
    .where(THIS_UPDATE, or_(INBOX.c.attempts < SUSPECT, INBOX.c.error == BEGUN))
    .values(attempts=INBOX.c.attempts + 1, error=None)
)


class SqlOffice(SqlTurns):
    """The post of everybody, in one database."""

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
            connection.execute(BLAME, {"at": first.number})
        head = connection.execute(HEAD, {"of": chat, "now": utc(now)}).first()
        if head:
            connection.execute(MORE_ATTEMPTS, {"at": head.id})

    def begun(self, number: int) -> None:
        """Note that an update near which workers have died is being answered now."""
        with self._transaction() as connection:
            connection.execute(update(INBOX).where(THIS_UPDATE).values(error=BEGUN), {"at": number})

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
        """Free chats and reminders of all workers, where it is known that none of them lives."""
        with self._transaction() as connection:
            theirs = update(LANE).where(LANE.c.worker.is_not(None))
            connection.execute(theirs.values(lease_until=utc(now)))
            give_back(connection)

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
