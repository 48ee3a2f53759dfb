"""How long it takes to find and claim what is due among many reminders.

`python -m tests.bench.reminders`, on SQLite; with --postgresql on a server of its own.
"""

import argparse
from collections.abc import Callable
from contextlib import ExitStack
from datetime import UTC, datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter

from sqlalchemy import insert, update
from sqlmodel import Session

from core.instructor import OwnerId
from storage.diary_tables import ReminderRow
from storage.engine import open_engine
from storage.kept import Claim
from storage.migrate import upgrade
from storage.sql import SqlVault
from storage.sql_due import claim_due, earliest_due
from tests.bench.environment import environment
from tests.postgres.shared import running

ROWS = 1_000_000
AT_ONCE = 10_000
APART = timedelta(seconds=7)
BATCH = 50
LEASE = timedelta(seconds=20)
NOW = datetime(2026, 12, 1, tzinfo=UTC)
TABLE = ReminderRow.metadata.tables["reminder"]


def main() -> None:
    """Print the times."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench.reminders", description=__doc__)
    parser.add_argument("--rows", type=int, default=ROWS)
    parser.add_argument("--postgresql", action="store_true")
    args = parser.parse_args()
    print(environment())
    with TemporaryDirectory(ignore_cleanup_errors=True) as folder, ExitStack() as stack:
        url = f"sqlite:///{Path(folder) / 'due.db'}"
        if args.postgresql:
            server = running(Path(folder) / "postgresql")
            stack.callback(server.held.close)
            url = server.make("due", upgraded=False)
        upgrade(url)
        vault = SqlVault(url)
        owner = vault.admit("telegram:1")
        vault.close()
        engine = open_engine(url)
        with Session(engine) as session:
            _fill(session, owner, args.rows)
            if args.postgresql:
                session.connection().exec_driver_sql("ANALYZE reminder")
                session.commit()
            clock = Hand(session)
            print(f"{args.rows} reminders, {engine.dialect.name}, one transaction")
            _time("nothing due", lambda: claim_due(session, NOW, LEASE, BATCH, "w"))
            _time("the earliest", lambda: earliest_due(session))
            _time("claim the one due", lambda: clock.claim(1), clock.settle)
            _time(f"claim {BATCH} due", lambda: clock.claim(BATCH), clock.settle)
        engine.dispose()


class Hand:
    """A clock that goes on from reminder to reminder; what was claimed is said and settled."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self._now = NOW
        self._claims: list[Claim] = []

    def claim(self, count: int) -> None:
        """So many more are due, and are claimed."""
        self._now += APART * count
        self._claims = claim_due(self._session, self._now, LEASE, BATCH, "w")
        assert len(self._claims) == count

    def settle(self) -> None:
        """They are never due again."""
        gone = TABLE.c.id.in_([each.reminder for each in self._claims])
        self._session.connection().execute(update(TABLE).where(gone).values(due=None))


def _fill(session: Session, owner: OwnerId, rows: int) -> None:
    for start in range(0, rows, AT_ONCE):
        values = [
            {
                "owner": owner,
                "id": n + 1,
                "client": None,
                "made_at": NOW,
                "form": b"x" * 120,
                "due": NOW + APART * (n + 1),
            }
            for n in range(start, min(rows, start + AT_ONCE))
        ]
        session.connection().execute(insert(TABLE), values)
    session.commit()


def _time(
    name: str,
    job: Callable[[], object],
    after: Callable[[], object] = lambda: None,
    times: int = 100,
) -> None:
    took = []
    for _ in range(times):
        began = perf_counter()
        job()
        took.append((perf_counter() - began) * 1000)
        after()
    took.sort()
    middle, high = took[times // 2], took[times * 95 // 100]
    print(f"{name}: best {took[0]:.3f} ms, p50 {middle:.3f} ms, p95 {high:.3f} ms")


if __name__ == "__main__":
    main()
