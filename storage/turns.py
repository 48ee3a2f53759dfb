"""Who writes when in SQLite, where there is one writer at a time.

A transaction that is not said to be late takes its turn when it begins. A late one reads and thinks
first, in nobody's way, and takes its turn at its first write. What it has read may then be old; so
every transaction counts up a number of the instructor whose data it changes, and a late one in
whose way somebody came does nothing and is done again by whoever keeps what asked for it.
"""

import sqlite3
from threading import Lock

from sqlalchemy import Connection, Engine, event
from sqlalchemy.pool import ConnectionPoolEntry

from storage.errors import BUSY_S, BusyError, StorageError, TakenError

READING = "reading"  # execution option: this transaction only reads
SWIFT = "swift"  # execution option: losing it in a power cut only means that it is done again
LATE = "late"  # execution option: the turn to write is taken at the first write, not before
OF = "of"  # execution option: whose data this transaction may change
WRITES = ("INSERT", "UPDATE", "DELETE")


class Turns:
    """Turns of the threads of this program; another program's are waited for by SQLite itself.

    Its own way of waiting is to sleep and look again, which is slow where turns are short.
    """

    def __init__(self, engine: Engine) -> None:
        self._turn = Lock()
        event.listen(engine, "begin", self._begin)
        event.listen(engine, "before_cursor_execute", self._before)
        event.listen(engine, "checkin", self._over)

    def _begin(self, connection: Connection) -> None:
        # A transaction that reads first and writes later can't wait for its turn: SQLite refuses
        # it at once when somebody wrote in between. So whoever may write says so at the start.
        options = connection.get_execution_options()
        _sync(connection, "NORMAL" if options.get(SWIFT) else "FULL")
        late = bool(options.get(LATE))
        if late or options.get(READING):
            _tell(connection, "BEGIN")
        else:
            self._take(connection)
        connection.info["hers"] = options.get(OF)
        connection.info["late"] = late

    def _before(
        self, connection: Connection, _cursor: sqlite3.Cursor, statement: str, *_: object
    ) -> None:
        owner = connection.info.get("hers")
        if owner is None or not statement.startswith(WRITES):
            return
        connection.info["hers"] = None
        if not connection.info["late"]:
            _tell(connection, "UPDATE instructor SET turn = turn + 1 WHERE id = ?", owner)
            return
        seen = "SELECT turn FROM instructor WHERE id = ?"
        found = _tell(connection, seen, owner).fetchone()
        _tell(connection, "COMMIT")  # nothing has been written yet
        self._take(connection)
        count = "UPDATE instructor SET turn = turn + 1 WHERE id = ? AND turn = ?"
        if not found or not _tell(connection, count, owner, *found).rowcount:
            raise TakenError("something of hers was changed meanwhile")

    def _take(self, connection: Connection) -> None:
        if not self._turn.acquire(timeout=BUSY_S):
            raise BusyError(f"somebody else has held the database for {BUSY_S} s")
        connection.info["turn"] = True
        _tell(connection, "BEGIN IMMEDIATE")

    def _over(self, _connection: object, entry: ConnectionPoolEntry) -> None:
        entry.info.pop("hers", None)
        if entry.info.pop("turn", False):
            self._turn.release()


def _tell(connection: Connection, statement: str, *values: int) -> sqlite3.Cursor:
    """What the driver answers, asked directly: this is said for every message, several times."""
    driver = connection.connection.dbapi_connection
    assert isinstance(driver, sqlite3.Connection)
    try:
        return driver.execute(statement, values)
    except sqlite3.Error as fault:
        if getattr(fault, "sqlite_errorcode", None) == sqlite3.SQLITE_BUSY:
            raise BusyError(f"somebody else has held the database for {BUSY_S} s") from fault
        raise StorageError(f"the database failed: {fault}") from fault


def _sync(connection: Connection, wanted: str) -> None:
    """Have the disk waited for at the end of this transaction, or not.

    The log is lost from its end only, never in the middle: a transaction that is waited for brings
    all earlier ones to the disk with it.
    """
    if connection.info.get("sync", "FULL") != wanted:
        _tell(connection, f"PRAGMA synchronous = {wanted}")
        connection.info["sync"] = wanted
