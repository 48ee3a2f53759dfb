"""One server for all processes of a test session, and a database for each of them."""

import fcntl
import os
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path
from typing import TextIO

from sqlalchemy import Engine, create_engine, text

from storage.migrate import upgrade
from storage.revision import HEAD
from tests.postgres.keeper import START_S, NoServerError

ROOT = Path(__file__).parents[2]
TEMPLATE = "template_coilbook"  # as the migrations leave it; copying it is faster than migrating


@dataclass(frozen=True)
class Server:
    """A running server, held as long as this is.

    Attributes:
        address: the address of a database of it, with a place for the database's name.
    """

    address: str
    held: TextIO

    def url(self, database: str) -> str:
        """The address of a database, for `COILBOOK_DB`."""
        return self.address.format(database=database)

    def make(self, database: str, *, upgraded: bool = True) -> str:
        """The address of a new database, as the migrations leave one or empty."""
        template = TEMPLATE if upgraded else "template0"
        self.run(f'DROP DATABASE IF EXISTS "{database}" WITH (FORCE)')
        self.run(f'CREATE DATABASE "{database}" TEMPLATE {template} STRATEGY file_copy')
        return self.url(database)

    def run(self, statement: str) -> None:
        """Say something to the server outside any transaction."""
        engine = create_engine(self.url("postgres"), isolation_level="AUTOCOMMIT")
        try:
            with engine.connect() as connection:
                connection.execute(text(statement))
        finally:
            engine.dispose()


def running(folder: Path) -> Server:
    """The server of whoever names this folder, started if it is not running.

    Raises:
        NoServerError: it can't be started on this machine.
    """
    folder.mkdir(exist_ok=True)
    with (folder / "starting").open("a") as turn:
        fcntl.flock(turn, fcntl.LOCK_EX)
        users = (folder / "users").open("a")
        # The keeper of a server that is going holds this for itself until it is gone.
        fcntl.flock(users, fcntl.LOCK_SH)
        address = folder / "address"
        if not address.exists():
            _start(folder)
            server = Server(address.read_text(), users)
            upgrade(server.make(TEMPLATE, upgraded=False))
            return server
        return Server(address.read_text(), users)


def _start(folder: Path) -> None:
    fault = folder / "fault"
    fault.unlink(missing_ok=True)
    keeper = subprocess.Popen(
        [sys.executable, "-m", "tests.postgres.keeper", str(folder)],
        cwd=ROOT,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        env=os.environ | {"PYTHONPATH": str(ROOT)},
        start_new_session=True,  # an interrupt of the tests is not one of the server
    )
    deadline = time.monotonic() + 2 * START_S
    while not (folder / "address").exists():
        ended = keeper.poll() is not None
        if fault.exists() or ended or time.monotonic() > deadline:
            why = fault.read_text() if fault.exists() else "its keeper ended"
            raise NoServerError(why)
        time.sleep(0.01)
    # It outlives us on purpose, so that nobody is to wait for it.
    keeper.returncode = 0


def emptying(engine: Engine) -> str:
    """What empties every table and starts all numbers anew; TRUNCATE takes ten times as long."""
    tables = (
        "SELECT format('DELETE FROM %I', tablename) FROM pg_tables"
        " WHERE schemaname = 'public' AND tablename <> 'alembic_version'"
    )
    numbers = (
        "SELECT format('ALTER SEQUENCE %I RESTART', sequencename) FROM pg_sequences"
        " WHERE schemaname = 'public'"
    )
    with engine.connect() as connection:
        found = [*connection.scalars(text(tables)), *connection.scalars(text(numbers))]
    # What a test that failed has left open would be waited for. With foreign keys not looked at,
    # tables can be emptied in any order.
    left = (
        "SELECT pg_terminate_backend(pid) FROM pg_stat_activity"
        " WHERE datname = current_database() AND pid <> pg_backend_pid()"
    )
    version = f"UPDATE alembic_version SET version_num = '{HEAD}'"  # noqa: S608 - a constant
    return "; ".join([left, "SET LOCAL session_replication_role = replica", version, *found])
