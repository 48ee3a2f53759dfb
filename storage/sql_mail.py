"""The post inside a transaction of a database."""

from collections.abc import Sequence
from datetime import datetime
from functools import lru_cache
from typing import Any

from sqlalchemy import Insert, Table, bindparam, select, update
from sqlalchemy.dialects import postgresql, sqlite

from core.instructor import OwnerId
from storage.cover import Cover
from storage.errors import TakenError
from storage.form import utc
from storage.mail import HOUSE, State, letter_place
from storage.mail_tables import InboxRow
from storage.tie import Tie, Tied

TABLES = InboxRow.metadata.tables
INBOX, OUTBOX, LANE, PACE = (TABLES[name] for name in ("inbox", "outbox", "lane", "pace"))
DONE = (
    update(INBOX)
    .where(INBOX.c.number == bindparam("at"), INBOX.c.state == State.OPEN)
    .values(state=State.DONE, body=None)
)
POSTING = OUTBOX.insert()
POSTED = select(OUTBOX.c.id).where(OUTBOX.c.post == bindparam("of")).limit(1)


@lru_cache
def inserting(dialect: str, table: Table) -> Insert:
    """An insert that leaves alone what is there already."""
    which: Any = sqlite.insert if dialect == "sqlite" else postgresql.insert
    ignoring: Insert = which(table).on_conflict_do_nothing()
    return ignoring


@lru_cache
def replacing(dialect: str, table: Table) -> Insert:
    """An insert that takes the place of the row of its key."""
    which: Any = sqlite.insert if dialect == "sqlite" else postgresql.insert
    adding = which(table)
    keys = [column.name for column in table.primary_key]
    new = {c.name: adding.excluded[c.name] for c in table.c if c.name not in keys}
    instead: Insert = adding.on_conflict_do_update(index_elements=keys, set_=new)
    return instead


class SqlMail(Tied):
    """The post inside one transaction; made by the vault and its stores only."""

    def __init__(self, tie: Tie, cover: Cover, owner: OwnerId | None) -> None:
        super().__init__(tie, owner or HOUSE, cover)
        self._whose = owner

    def post(
        self,
        chat: str,
        post: str,
        letters: Sequence[str],
        at: datetime,
        due: datetime | None = None,
    ) -> bool:
        """Whether these letters will be sent; False when this post was given before."""
        self._tie.flush()
        if self._connection.execute(POSTED, {"of": post}).first():
            return False
        self._add(chat, post, letters, at, due)
        if letters:
            lane = inserting(self._connection.dialect.name, LANE)
            self._connection.execute(lane, {"chat": chat, "recent": "[]"})
        return True

    def answered(self, number: int, chat: str, letters: Sequence[str], at: datetime) -> None:
        """Mark an update as answered by these letters; its body goes.

        Raises:
            TakenError: somebody else has answered it.
        """
        self.done(number)  # which is done once only, so its letters are new and its chat known
        self._add(chat, f"update {number}", letters, at, None)

    def _add(
        self, chat: str, post: str, letters: Sequence[str], at: datetime, due: datetime | None
    ) -> None:
        rows = [
            {
                "owner": self._whose,
                "chat": chat,
                "post": post,
                "part": part,
                "body": self._cover.closed(letter_place(chat, post, part), text),
                "made_at": utc(at),
                "due": utc(due or at),
                "state": State.OPEN,
                "attempts": 0,
            }
            for part, text in enumerate(letters)
        ]
        if rows:
            # Of two at once, the database lets one pass; the other one's transaction fails.
            self._connection.execute(POSTING, rows)

    def done(self, number: int) -> None:
        """Mark an update as answered; its body goes.

        Raises:
            TakenError: somebody else has answered it.
        """
        self._tie.flush()
        if not self._connection.execute(DONE, {"at": number}).rowcount:
            raise TakenError(f"update {number} has been answered by another worker")
