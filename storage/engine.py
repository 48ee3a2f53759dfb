"""How a database is opened, and what each kind has to be told."""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from time import monotonic, sleep

from sqlalchemy import Connection, Engine, create_engine, event, make_url
from sqlalchemy.engine.interfaces import DBAPIConnection
from sqlalchemy.exc import ArgumentError, DBAPIError, TimeoutError
from sqlalchemy.pool import ConnectionPoolEntry

from storage.errors import BUSY_S, BusyError, OpenError, StorageError
from storage.turns import SWIFT, Turns

POOL = 20  # connections kept open; as many again for a moment (house choice)
WAITED = ("55P03", "40P01", "40001")  # PostgreSQL's: lock not to be had, deadlock, not in order


def open_engine(url: str, *, foreign_keys: bool = True) -> Engine:
    """An engine for this address; nothing is opened before its first connection.

    Values never stand in its errors, because they are what users wrote.

    Raises:
        OpenError: the address is not understood, or its driver is not installed.
    """
    try:
        sqlite = make_url(url).get_backend_name() == "sqlite"
        if sqlite:
            # The latest used first: what it has read before may still be there.
            size = {"pool_size": POOL, "max_overflow": POOL, "pool_use_lifo": True}
            pool = size if make_url(url).database else {}
            engine = create_engine(url, hide_parameters=True, **pool)
        else:
            # One row is locked for a whole transaction, and what is read after it is what is there
            # now: that is what this level means, whatever the server prefers.
            engine = create_engine(
                url,
                hide_parameters=True,
                isolation_level="READ COMMITTED",
                pool_pre_ping=True,
                pool_size=POOL,
                max_overflow=POOL,
                pool_timeout=BUSY_S,
            )
    except (ArgumentError, ImportError) as fault:
        raise OpenError("the database address is not understood, or its driver is missing") from (
            fault
        )
    if sqlite:
        _teach_sqlite(engine, foreign_keys=foreign_keys)
    elif engine.dialect.name == "postgresql":
        _teach_postgresql(engine)
    return engine


@contextmanager
def plain_errors(engine: Engine) -> Iterator[None]:
    """A block in which what the database says comes out as an error of this floor.

    Raises:
        BusyError: somebody else held the data for longer than BUSY_S.
        OpenError: no connection could be made.
        StorageError: the database failed in another way.
    """
    try:
        yield
    except TimeoutError as fault:
        raise BusyError("all connections to the database are in use") from fault
    except DBAPIError as fault:
        # Only the first line: further ones may quote values.
        said = str(fault.orig).partition("\n")[0]
        state = getattr(fault.orig, "sqlstate", None)
        if "database is locked" in said or state in WAITED:
            raise BusyError(f"somebody else has held the database for {BUSY_S} s") from fault
        if fault.statement is None:
            # The address is shown without its password.
            raise OpenError(f"the database {engine.url!r} can't be opened: {said}") from fault
        if state:
            said = f"{type(fault.orig).__name__}, {state}"  # its first line may quote a value
        raise StorageError(f"the database failed: {said}") from fault


def truncate_log(engine: Engine) -> None:
    """Empty the write-ahead log, which still has what was overwritten; others may hold it longer.

    It then goes when SQLite next empties it by itself.
    """
    if engine.dialect.name == "sqlite":
        with plain_errors(engine):
            connection = engine.raw_connection()
            try:
                connection.cursor().execute("PRAGMA wal_checkpoint(TRUNCATE)")
            finally:
                connection.close()


def _teach_sqlite(engine: Engine, *, foreign_keys: bool) -> None:
    """Let SQLAlchemy open the transactions, and set each connection up."""

    @event.listens_for(engine, "connect")
    def connect(connection: sqlite3.Connection, _entry: ConnectionPoolEntry) -> None:
        connection.isolation_level = None  # the driver is to open no transaction of its own
        connection.execute(f"PRAGMA busy_timeout = {BUSY_S * 1000}")
        _write_ahead(connection)
        connection.execute("PRAGMA synchronous = FULL")
        # Four times the usual: pages written again and again go to the file once.
        connection.execute("PRAGMA wal_autocheckpoint = 4000")
        connection.execute("PRAGMA secure_delete = ON")  # what is erased is overwritten
        connection.execute(f"PRAGMA foreign_keys = {int(foreign_keys)}")

    Turns(engine)


def _teach_postgresql(engine: Engine) -> None:
    """Wait for somebody else's transaction as long as SQLite does, not for ever."""

    @event.listens_for(engine, "connect")
    def connect(connection: DBAPIConnection, _entry: ConnectionPoolEntry) -> None:
        cursor = connection.cursor()
        cursor.execute(f"SET lock_timeout = '{BUSY_S}s'")
        cursor.close()
        connection.commit()

    @event.listens_for(engine, "begin")
    def begin(connection: Connection) -> None:
        if connection.get_execution_options().get(SWIFT, False):
            connection.exec_driver_sql("SET LOCAL synchronous_commit = off")


def _write_ahead(connection: sqlite3.Connection) -> None:
    """Turn the write-ahead log on, so that reading does not wait for a writer.

    Where two open a new file at once, SQLite refuses one of them without waiting.
    """
    deadline = monotonic() + BUSY_S
    while True:
        try:
            connection.execute("PRAGMA journal_mode = WAL")
            return
        except sqlite3.OperationalError as fault:
            if fault.sqlite_errorcode != sqlite3.SQLITE_BUSY or monotonic() > deadline:
                raise
            sleep(0.01)
