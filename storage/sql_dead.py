"""What could not be done, and how much there is of everything, in a database."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from datetime import datetime

from sqlalchemy import Connection, Engine, delete, func, select, update

from storage.engine import plain_errors
from storage.form import utc
from storage.mail import Depth, Letter, Problem, State
from storage.sql_mail import INBOX, OUTBOX


class SqlDead:
    """The part of the office where what was given up lies."""

    def __init__(self, engine: Engine) -> None:
        self._engine = engine

    def bury(self, letter: Letter, error: str, *, all_of_chat: bool = False) -> None:
        """Give a letter up, or all that wait for its chat."""
        these = OUTBOX.c.chat == letter.chat if all_of_chat else OUTBOX.c.id == letter.id
        dead = update(OUTBOX).where(these, OUTBOX.c.state == State.OPEN)
        with self._transaction() as connection:
            connection.execute(dead.values(state=State.DEAD, error=error))

    def bury_update(self, number: int, error: str) -> None:
        """Give an update up."""
        this = update(INBOX).where(INBOX.c.number == number, INBOX.c.state == State.OPEN)
        with self._transaction() as connection:
            connection.execute(this.values(state=State.DEAD, error=error))

    def problems(self) -> list[Problem]:
        """What was given up, by kind and error."""
        found = []
        with self._transaction() as connection:
            for kind, table, made in (
                ("letter", OUTBOX, OUTBOX.c.made_at),
                ("update", INBOX, INBOX.c.arrived),
            ):
                error = func.coalesce(table.c.error, "")
                query = (
                    select(
                        error,
                        func.count(),
                        func.count(table.c.chat.distinct()),
                        func.min(made),
                        func.max(made),
                    )
                    .where(table.c.state == State.DEAD)
                    .group_by(error)
                    .order_by(error)
                )
                found += [Problem(kind, *row) for row in connection.execute(query)]
        return found

    def again(self, now: datetime) -> int:
        """How much of what was given up is tried once more."""
        return self._of_the_dead({"state": State.OPEN, "attempts": 0})

    def forget(self) -> int:
        """How much of what was given up is forgotten."""
        return self._of_the_dead({"state": State.DONE, "body": None})

    def prune(self, before: datetime) -> int:
        """How much that is done since before this instant was forgotten."""
        count = 0
        with self._transaction() as connection:
            for table, made in ((INBOX, INBOX.c.arrived), (OUTBOX, OUTBOX.c.made_at)):
                old = delete(table).where(table.c.state == State.DONE, made < utc(before))
                count += connection.execute(old).rowcount
        return count

    def depth(self, now: datetime) -> Depth:
        """How much waits."""
        due = (OUTBOX.c.state == State.OPEN) & (OUTBOX.c.due <= utc(now))
        waiting = INBOX.c.state == State.OPEN
        with self._transaction() as connection:
            updates, since = connection.execute(
                select(func.count(), func.min(INBOX.c.arrived)).where(waiting)
            ).one()
            letters, late = connection.execute(
                select(func.count(), func.min(OUTBOX.c.due)).where(due)
            ).one()
            dead = sum(
                connection.scalar(
                    select(func.count()).select_from(table).where(table.c.state == State.DEAD)
                )
                or 0
                for table in (INBOX, OUTBOX)
            )
        oldest = min((at for at in (since, late) if at), default=None)
        return Depth(updates, letters, dead, oldest)

    def _of_the_dead(self, values: Mapping[str, object]) -> int:
        with self._transaction() as connection:
            return sum(
                connection.execute(
                    update(table).where(table.c.state == State.DEAD).values(values)
                ).rowcount
                for table in (INBOX, OUTBOX)
            )

    @contextmanager
    def _transaction(self, engine: Engine | None = None) -> Iterator[Connection]:
        chosen = engine or self._engine
        with plain_errors(chosen), chosen.begin() as connection:
            yield connection
