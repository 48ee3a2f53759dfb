"""How long it takes to find and claim what is due among many reminders.

python -m tests.bench.reminders [rows]
"""

import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter

from sqlalchemy import insert
from sqlmodel import Session

from core.instructor import OwnerId
from storage.diary_tables import ReminderRow
from storage.engine import open_engine
from storage.migrate import upgrade
from storage.sql import SqlVault
from storage.sql_due import claim_due, earliest_due

ROWS = 1_000_000
AT_ONCE = 10_000
APART = timedelta(seconds=7)
BATCH = 50
NOW = datetime(2026, 12, 1, tzinfo=UTC)
TABLE = ReminderRow.metadata.tables["reminder"]


def main(rows: int = ROWS) -> None:
    """Print the times."""
    with TemporaryDirectory() as folder:
        url = f"sqlite:///{Path(folder) / 'due.db'}"
        upgrade(url)
        vault = SqlVault(url)
        owner = vault.admit("telegram:1")
        vault.close()
        engine = open_engine(url)
        with Session(engine) as session:
            _fill(session, owner, rows)
            lease, clock = timedelta(days=90), [NOW]

            def claim() -> None:
                clock[0] += APART * BATCH
                claim_due(session, clock[0], lease, BATCH, "w")

            print(f"{rows} reminders, SQLite, one transaction")
            _time("nothing due", lambda: claim_due(session, NOW, lease, BATCH, "w"))
            _time("the earliest", lambda: earliest_due(session))
            _time(f"claim {BATCH}", claim)
        engine.dispose()


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


def _time(name: str, job: object, times: int = 100) -> None:
    assert callable(job)
    took = []
    for _ in range(times):
        began = perf_counter()
        job()
        took.append((perf_counter() - began) * 1000)
    took.sort()
    middle, high = took[times // 2], took[times * 95 // 100]
    print(f"{name}: best {took[0]:.3f} ms, p50 {middle:.3f} ms, p95 {high:.3f} ms")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else ROWS)
