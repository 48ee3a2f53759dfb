"""What an instructor's year weighs in PostgreSQL: the arithmetic of a million of them.

Run as `python -m tests.bench.rows`, with the number of instructors after it. Each has 40 clients,
400 notes, 200 plans, 60 buttons, 1,000 updates and letters (house assumption: a busy year).
Printed: bytes a row with its indexes, by table, and of all of it an instructor.
"""

import sys
import tempfile
from datetime import UTC, datetime, timedelta
from pathlib import Path

from sqlalchemy import create_engine

from bot.demo import fill
from core.repertoire import shipped
from storage.crypto import Keys
from storage.mail import Arrival
from storage.sql import SqlVault
from tests.bench.environment import environment
from tests.postgres.shared import running
from tests.talk import Talk

CLIENTS, NOTES, PLANS, LINES, UPDATES = 40, 400, 200, 60, 1000
NOTE = "left knee sore after footwork, better with one spring less; ask again next week"
NOW = datetime(2026, 12, 1, 18, 0, tzinfo=UTC)
SIZES = (
    "SELECT relname, n_live_tup, pg_total_relation_size(relid) FROM pg_stat_user_tables"
    " WHERE n_live_tup > 0 ORDER BY 3 DESC"
)


def year(vault: SqlVault, n: int, source: Talk) -> None:
    """A year of one instructor."""
    chat = f"telegram:{4_000_000_000 + n}"
    owner = vault.admit(chat, "Europe/Lisbon")
    library = shipped()
    with source.vault.begin(source.vault.admit("console:me")) as store:
        kept = store.latest_plan(library)
    assert kept is not None
    with vault.begin(owner) as store:
        people = [store.people.add_client(f"Client {each}", NOW).id for each in range(CLIENTS)]
        for each in range(NOTES):
            store.people.add_note(people[each % CLIENTS], NOTE, NOW + timedelta(hours=each))
        for each in range(PLANS):
            store.add_plan(kept.plan, library, NOW + timedelta(days=each))
        for each in range(LINES):
            store.keep_line(f"~{each}", f"swap {each} in plan {each} for a longer line than fits")
        store.set_talk(chat, {"plan": PLANS})
    first = n * UPDATES
    arrivals = [Arrival(first + each, chat, "{}") for each in range(UPDATES)]
    vault.office.take(arrivals, "w", NOW, NOW, 0)
    with vault.mail() as mail:
        for arrival in arrivals:
            mail.done(arrival.number)
            mail.post(chat, f"{arrival.number}", ["{}"], NOW)


def main(count: int) -> None:
    """Print the sizes."""
    with tempfile.TemporaryDirectory() as place:
        server = running(Path(place) / "postgresql")
        url = server.make("rows")
        vault = SqlVault(url, Keys({1: bytes(32)}))
        source = Talk()
        fill(source.vault, shipped(), NOW, "Europe/Lisbon")
        source.all("plan 50 chair")
        for n in range(count):
            year(vault, n, source)
        vault.close()
        server.run("SELECT 1")
        engine = create_engine(url, isolation_level="AUTOCOMMIT")
        with engine.connect() as connection:
            connection.exec_driver_sql("VACUUM (ANALYZE)")
            rows = connection.exec_driver_sql(SIZES).all()
        engine.dispose()
        server.held.close()
    print(environment())
    print(f"{'table':14} rows/instructor  bytes/row  kB/instructor")
    for name, live, size in rows:
        print(f"{name:14} {live / count:15.0f}  {size / live:9.0f}  {size / count / 1000:13.1f}")
    print(f"all {sum(row[2] for row in rows) / count / 1000:44.1f}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 20)
