"""The kinds of database that the program runs on, each made ready for a test."""

import os
import re
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import Connection, create_engine
from sqlalchemy.exc import ProgrammingError
from sqlalchemy.pool import NullPool

from storage.migrate import upgrade
from storage.people_tables import ClientRow
from tests.postgres.keeper import NoServerError
from tests.postgres.shared import Server, emptying, running

KINDS = ("sqlite", "postgresql")
WITHOUT = "COILBOOK_TEST_POSTGRESQL"  # "no" leaves PostgreSQL out, on purpose and said so


@dataclass
class Databases:
    """Databases of this process's own; each test gets an empty one.

    Attributes:
        folder: where what lasts for the session lies.
        shared: a folder that all processes of the session know.
    """

    folder: Path
    shared: Path
    _server: Server | None = None
    _main: str = ""
    _emptying: str = ""

    def ready(self, kind: str, folder: Path, name: str = "store") -> str:
        """The address of an empty database as the migrations leave it."""
        if kind == "postgresql":
            return self._emptied() if name == "store" else self.server.make(self._own(name))
        made = self.folder / "made.db"
        if not made.exists():
            upgrade(f"sqlite:///{made}")
        shutil.copy(made, folder / f"{name}.db")
        return f"sqlite:///{folder / name}.db"

    def bare(self, kind: str, folder: Path, name: str = "bare") -> str:
        """The address of a database without any tables; a file is not even there."""
        if kind == "postgresql":
            return self.server.make(self._own(name), upgraded=False)
        return f"sqlite:///{folder / f'100% {name}.db'}"

    @property
    def server(self) -> Server:
        """The session's PostgreSQL server; the test fails where there is none to be had."""
        if os.environ.get(WITHOUT) == "no":
            pytest.skip(f"{WITHOUT}=no leaves PostgreSQL out")
        if self._server is None:
            try:
                self._server = running(self.shared / "postgresql")
            except NoServerError as fault:
                pytest.fail(
                    f"These tests need a PostgreSQL server, and none could be started: {fault}."
                    f" Put it right, or set {WITHOUT}=no to test without.",
                    pytrace=False,
                )
        return self._server

    def close(self) -> None:
        """Let go of the server; it stops once everybody has."""
        if self._server is not None:
            self._server.held.close()

    def _own(self, name: str) -> str:
        return f"{os.environ.get('PYTEST_XDIST_WORKER', 'main')}_{name}"

    def _emptied(self) -> str:
        if not self._main:
            self._main = self.server.make(self._own("store"))
        engine = create_engine(self._main, poolclass=NullPool)
        try:
            self._emptying = self._emptying or emptying(engine)
            with engine.begin() as connection:
                connection.exec_driver_sql(self._emptying)
        except ProgrammingError:  # the test before broke it on purpose
            self._main = self.server.make(self._own("store"))
        return self._main


@contextmanager
def looking(url: str) -> Iterator[Connection]:
    """A connection that knows nothing of the program and holds nothing between two statements."""
    engine = create_engine(url, poolclass=NullPool, isolation_level="AUTOCOMMIT")
    with engine.connect() as connection:
        yield connection


def said(connection: Connection, statement: str, *values: object) -> list[tuple[Any, ...]]:
    """What a database answers; the statement is written as SQLite has it."""
    if connection.dialect.name == "postgresql":
        statement = re.sub(r"x'([0-9a-f]*)'", r"'\\x\1'::bytea", statement.replace("%", "%%"))
        statement = statement.replace("?", "%s")
    found = connection.exec_driver_sql(statement, values)
    rows = [tuple(row) for row in found] if found.returns_rows else []
    connection.commit()
    return rows


def raw(url: str, statement: str, *values: object) -> list[tuple[Any, ...]]:
    """What the database at this address answers."""
    with looking(url) as connection:
        return said(connection, statement, *values)


def copied(source: str, target: str) -> None:
    """Put all rows of one database into another, which is empty; sealed rows open there too."""
    from_, to = create_engine(source, poolclass=NullPool), create_engine(target, poolclass=NullPool)
    with from_.connect() as reading, to.begin() as writing:
        for table in ClientRow.metadata.sorted_tables:
            rows = [dict(row) for row in reading.execute(table.select()).mappings()]
            if rows:
                writing.execute(table.insert(), rows)
