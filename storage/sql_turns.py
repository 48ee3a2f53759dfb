"""What is done in chats, turn by turn, in a database: letters marked, what comes next, chats left.

The turns of many chats are one transaction: what is asked for while the last was being written
comes together by itself.
"""

import json
from collections.abc import Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import BindParameter, Connection, Engine, bindparam, func, or_, select, update

from core.instructor import OwnerId
from storage.cover import Cover
from storage.crypto import Keys, Place, Seal
from storage.errors import KeyMissingError, SealError
from storage.form import utc
from storage.mail import HOUSE, Letter, Sent, State, Update, Work, letter_place, update_place
from storage.sql_dead import SqlDead
from storage.sql_mail import INBOX, LANE, OUTBOX
from storage.turns import READING, SWIFT

WAITING = INBOX.c.state == State.OPEN
DUE = (OUTBOX.c.state == State.OPEN) & (OUTBOX.c.due <= bindparam("now"))
THIS_LANE = LANE.c.chat == bindparam("of")
THIS_LETTER = OUTBOX.c.id == bindparam("at")
THESE: BindParameter[Sequence[str]] = bindparam("chats", expanding=True)
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
LANES = select(LANE.c.chat, LANE.c.worker, LANE.c.quiet_until, LANE.c.recent).where(
    LANE.c.chat.in_(THESE)
)
LOWEST = (
    select(func.min(INBOX.c.number).label("number"))
    .where(WAITING, INBOX.c.chat.in_(THESE))
    .group_by(INBOX.c.chat)
    .subquery()
)
FIRSTS = select(INBOX.c.chat, INBOX.c.number, INBOX.c.body, INBOX.c.attempts).join(
    LOWEST, LOWEST.c.number == INBOX.c.number
)
EARLIER = OUTBOX.alias("earlier")
HEADS = select(OUTBOX).where(
    DUE,
    OUTBOX.c.chat.in_(THESE),
    ~select(EARLIER.c.id)
    .where(
        EARLIER.c.chat == OUTBOX.c.chat,
        EARLIER.c.state == State.OPEN,
        or_(
            EARLIER.c.due < OUTBOX.c.due,
            (EARLIER.c.due == OUTBOX.c.due) & (EARLIER.c.id < OUTBOX.c.id),
        ),
    )
    .exists(),
)
SENT = (
    update(OUTBOX)
    .where(THIS_LETTER)
    .values(state=State.DONE, body=None, message=bindparam("called"))
)
REST = (
    update(OUTBOX)
    .where(OUTBOX.c.post == bindparam("of"), OUTBOX.c.state == State.OPEN)
    .values(state=State.DONE, body=None)
)
QUIET = (
    update(LANE).where(THIS_LANE).values(quiet_until=bindparam("until"), recent=bindparam("lately"))
)
LEFT = (
    update(LANE)
    .where(
        LANE.c.chat.in_(THESE),
        LANE.c.worker == bindparam("ours"),
        ~select(INBOX.c.number).where(INBOX.c.chat == LANE.c.chat, WAITING).exists(),
        ~select(OUTBOX.c.id).where(OUTBOX.c.chat == LANE.c.chat, DUE).exists(),
    )
    .values(worker=None, lease_until=None)
    .returning(LANE.c.chat)
)
MORE_ATTEMPTS = update(OUTBOX).where(THIS_LETTER).values(attempts=OUTBOX.c.attempts + 1)


class SqlTurns(SqlDead):
    """The part of the office where workers do what there is to do."""

    def __init__(self, engine: Engine, keys: Keys | None) -> None:
        super().__init__(engine.execution_options(**{SWIFT: True}))
        self._durable = engine
        self._reader = engine.execution_options(**{READING: True})
        self._keys = keys

    def work(self, chat: str, now: datetime) -> Work:
        """What there is to do in a chat."""
        with self._transaction(self._reader) as connection:
            return self._works(connection, _lanes(connection, [chat]), now).get(chat, Work())

    def turn(
        self, worker: str, now: datetime, chats: Sequence[str], letters: Sequence[Sent] = ()
    ) -> dict[str, Work]:
        """What there is to do in these chats once these letters are marked; idle ones go back."""
        if not letters:
            with self._transaction(self._reader) as connection:
                found = self._ours(connection, worker, chats, now)
            if len(found) == len(set(chats)) and all(map(_busy, found.values())):
                return found
        with self._transaction() as connection:
            _mark(connection, letters)
            found = self._ours(connection, worker, chats, now)
            idle = [chat for chat, work in found.items() if not _busy(work)]
            if idle:
                asked = {"chats": idle, "ours": worker, "now": utc(now)}
                for chat in connection.scalars(LEFT, asked).all():
                    del found[chat]
        return found

    def _ours(
        self, connection: Connection, worker: str, chats: Sequence[str], now: datetime
    ) -> dict[str, Work]:
        """What there is to do in those of these chats that are this worker's still."""
        lanes = [lane for lane in _lanes(connection, chats) if lane.worker == worker]
        return self._works(connection, lanes, now)

    def _works(
        self, connection: Connection, lanes: Sequence[Any], now: datetime
    ) -> dict[str, Work]:
        asked = {"chats": [lane.chat for lane in lanes], "now": utc(now)}
        firsts = {row.chat: row for row in connection.execute(FIRSTS, asked)}
        heads = {row.chat: row for row in connection.execute(HEADS, asked)}
        return {
            lane.chat: Work(
                self._update(firsts[lane.chat]) if lane.chat in firsts else None,
                self._letter(heads[lane.chat]) if lane.chat in heads else None,
                lane.quiet_until,
                tuple(json.loads(lane.recent)),
            )
            for lane in lanes
        }

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

    def _update(self, row: Any) -> Update:  # noqa: ANN401 - a row has no type of its own
        body = self._opened(None, update_place(row.number), row.body)
        return Update(row.number, row.chat, body, row.attempts)

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


def _busy(work: Work) -> bool:
    return bool(work.update or work.letter)


def _lanes(connection: Connection, chats: Sequence[str]) -> list[Any]:
    return list(connection.execute(LANES, {"chats": list(chats)}))


def _mark(connection: Connection, letters: Sequence[Sent]) -> None:
    if not letters:
        return
    # In one order everywhere, so that two workers can't wait for one another.
    by_chat = sorted(letters, key=lambda each: each.letter.chat)
    connection.execute(SENT, [{"at": each.letter.id, "called": each.message} for each in by_chat])
    rest = [{"of": each.letter.post} for each in by_chat if each.rest_too]
    if rest:
        connection.execute(REST, rest)
    quiet = [
        {
            "of": each.letter.chat,
            "until": utc(each.quiet_until),
            "lately": json.dumps(list(each.recent)),
        }
        for each in by_chat
    ]
    connection.execute(QUIET, quiet)
