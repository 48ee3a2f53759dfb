"""Brings a database to the shape this version of the program wants.

A migration is one transaction: it is done whole or not at all, and two programs that start at the
same time wait for one another. After changing a table, `python -m storage.migrate "what changed"`
drafts the next one.
"""

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

from alembic import command
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from alembic.script import Script, ScriptDirectory
from sqlalchemy import Connection, Engine, func, select

from storage.engine import open_engine, plain_errors
from storage.errors import NewerError, OlderError, StorageError

FOLDER = Path(__file__).parent / "migrations"
TURN = 0x636F696C  # the number of the lock that migrating programs queue for; ours alone


def upgrade(url: str) -> None:
    """Bring the database to what this program wants, making it if there was none.

    Raises:
        NewerError: a newer version of the program has been there.
        StorageError: the database can't be opened or changed.
    """
    with _migrating(url) as (connection, config):
        _refuse_newer(connection)
        command.upgrade(config, "head")
        _refuse_orphans(connection)


def downgrade(url: str, revision: str) -> None:
    """Bring the database back to an earlier revision, "base" being empty.

    Raises:
        NewerError: a newer version of the program has been there.
        StorageError: the database can't be opened or changed.
    """
    with _migrating(url) as (connection, config):
        _refuse_newer(connection)
        command.downgrade(config, revision)
        _refuse_orphans(connection)


def draft(message: str, folder: Path = FOLDER / "versions") -> Path:
    """The file of a new migration, written from what the tables have and the migrations do not."""
    with TemporaryDirectory() as place:
        url = f"sqlite:///{place}/draft.db"
        upgrade(url)
        with _migrating(url) as (_, config):
            number = len(list(ScriptDirectory.from_config(config).walk_revisions())) + 1
            config.set_main_option(
                "version_locations", f"{FOLDER / 'versions'}{os.pathsep}{folder}"
            )
            script = command.revision(
                config,
                message,
                autogenerate=True,
                rev_id=f"{number:04}",
                version_path=str(folder),
            )
    assert isinstance(script, Script)  # one is asked for, so it is neither a list nor nothing
    return Path(script.path)


def require_current(connection: Connection) -> None:
    """Pass only if the database is what this program wants.

    Raises:
        NewerError: a newer version of the program has been there.
        OlderError: it has to be upgraded first.
    """
    _refuse_newer(connection)
    if _revisions(connection) != set(ScriptDirectory.from_config(_config()).get_heads()):
        raise OlderError("the database has to be upgraded before it is used")


@contextmanager
def _migrating(url: str) -> Iterator[tuple[Connection, Config]]:
    # SQLite changes a table by making a new one and dropping the old one. With foreign keys on,
    # dropping it would take along all that belongs to its rows.
    engine: Engine = open_engine(url, foreign_keys=False)
    try:
        with plain_errors(engine), engine.begin() as connection:
            _wait_for_our_turn(connection)
            config = _config()
            config.attributes["connection"] = connection
            yield connection, config
    finally:
        engine.dispose()


def _wait_for_our_turn(connection: Connection) -> None:
    """Let one program migrate at a time; SQLite does so by itself, for a whole transaction."""
    if connection.dialect.name == "postgresql":
        connection.execute(select(func.pg_advisory_xact_lock(TURN)))


def _config() -> Config:
    config = Config()
    # A percent sign in a path would be read as the start of a substitution.
    config.set_main_option("script_location", str(FOLDER).replace("%", "%%"))
    config.set_main_option("path_separator", "os")
    return config


def _revisions(connection: Connection) -> set[str]:
    return set(MigrationContext.configure(connection).get_current_heads())


def _refuse_newer(connection: Connection) -> None:
    known = {script.revision for script in ScriptDirectory.from_config(_config()).walk_revisions()}
    if _revisions(connection) - known:
        raise NewerError("the database was made by a newer version of the program: update it first")


def _refuse_orphans(connection: Connection) -> None:
    """Pass only if every row still belongs to somebody; SQLite was not watching meanwhile."""
    if connection.dialect.name == "sqlite":
        lost = connection.exec_driver_sql("PRAGMA foreign_key_check").fetchall()
        if lost:
            raise StorageError(f"the migration was undone: {len(lost)} rows would belong to nobody")


if __name__ == "__main__":
    draft(" ".join(sys.argv[1:]))
