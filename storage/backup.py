"""Copies of a database that is a file: made while it is used, and put in its place again.

A copy is finished or not there: it grows under another name, is checked, and only then gets its
own. The keys are not in it, so it is of no use to whoever finds it.
"""

import os
import secrets
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

from storage.errors import BUSY_S, StorageError

MODE = 0o600


class BackupError(StorageError):
    """A copy can't be made, or can't be put in place."""


@dataclass(frozen=True, slots=True)
class Copy:
    """What is known of a copy.

    Attributes:
        revision: the shape it has.
        sealed: whether a key is needed to read all of it.
        size: bytes.
    """

    path: Path
    revision: str
    sealed: bool
    size: int


def back_up(source: Path, target: Path) -> Copy:
    """The finished copy of a database that others may go on using.

    It holds one instant of it; nobody has to wait meanwhile.

    Raises:
        BackupError: there is no such database, the target is there already, or either is broken.
    """
    if not source.is_file():
        raise BackupError(f"there is no database {source} to copy")
    if target.exists():
        raise BackupError(f"{target} is there already, and a copy never replaces anything")
    with _draft(target) as draft:
        with _opened(source) as database, _opened(draft) as copy:
            database.backup(copy)
            # One file, without a log beside it.
            copy.execute("PRAGMA journal_mode = DELETE")
        found = look_into(draft)
        _to_disk(draft)
        try:
            os.link(draft, target)
        except FileExistsError:
            raise BackupError(f"{target} has just been made by somebody else") from None
        except OSError:  # not every file system has links
            draft.rename(target)
    _to_disk(target.parent)
    return Copy(target, found.revision, found.sealed, found.size)


def look_into(path: Path) -> Copy:
    """What is known of a copy that is whole.

    Raises:
        BackupError: it is not.
    """
    if not path.is_file():
        raise BackupError(f"there is no file {path}")
    with _opened(path) as copy:
        if [row[0] for row in copy.execute("PRAGMA integrity_check")] != ["ok"]:
            raise BackupError(f"{path} is broken: it does not pass the database's own check")
        lost = len(copy.execute("PRAGMA foreign_key_check").fetchall())
        if lost:
            raise BackupError(f"{path} is broken: {lost} rows belong to nobody")
        tables = {row[0] for row in copy.execute("SELECT name FROM sqlite_master")}
        if "alembic_version" not in tables:
            raise BackupError(f"{path} is no database of this program")
        revisions = [row[0] for row in copy.execute("SELECT version_num FROM alembic_version")]
        if len(revisions) != 1:
            raise BackupError(f"{path} is no finished database of this program")
        sealed = "sealing_key" in tables and bool(
            copy.execute("SELECT 1 FROM sealing_key").fetchone()
        )
    return Copy(path, revisions[0], sealed, path.stat().st_size)


@contextmanager
def restoring(copy: Path, target: Path, aside: Path | None) -> Iterator[Path]:
    """A draft of the database from a copy, which takes its place when the block ends well.

    Args:
        copy: what it is made from.
        target: where the database lies.
        aside: where the one that lies there goes; None where it must not be replaced.

    Raises:
        BackupError: the copy is broken, the place is taken, or somebody has it open.
    """
    look_into(copy)
    if target.exists() and aside is None:
        raise BackupError(f"{target} is there already: say --replace to put it aside")
    with _draft(target) as draft:
        with _opened(copy) as source, _opened(draft) as database:
            source.backup(database)
        yield draft
        with _opened(draft) as database:
            database.execute("PRAGMA journal_mode = DELETE")  # all of it in one file
        _to_disk(draft)
        if target.exists() and aside is not None:
            _alone(target)
            target.rename(aside)
            for end in ("-wal", "-shm"):
                Path(f"{target}{end}").unlink(missing_ok=True)
        draft.rename(target)
    _to_disk(target.parent)


def _alone(path: Path) -> None:
    """Pass only if nobody has this database open; all of it is then in its file."""
    try:
        with closing(sqlite3.connect(path, timeout=0.5)) as database:
            mode = database.execute("PRAGMA journal_mode = DELETE").fetchone()[0]
    except sqlite3.Error:
        mode = "wal"
    if mode != "delete":
        raise BackupError(f"somebody has {path} open: stop the program first")


@contextmanager
def _draft(target: Path) -> Iterator[Path]:
    """An empty file beside the target, for its owner alone; gone afterwards, however it ends."""
    draft = target.with_name(f".{target.name}.{secrets.token_hex(4)}")
    try:
        os.close(os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, MODE))
        yield draft
    except OSError as fault:
        raise BackupError(f"{target} can't be written: {fault.strerror}") from fault
    finally:
        for end in ("", "-wal", "-shm", "-journal"):
            Path(f"{draft}{end}").unlink(missing_ok=True)


@contextmanager
def _opened(path: Path) -> Iterator[sqlite3.Connection]:
    try:
        with closing(sqlite3.connect(path, timeout=BUSY_S, isolation_level=None)) as database:
            yield database
    except sqlite3.Error as fault:
        # Only the first line, as everywhere: further ones may quote values.
        said = str(fault).partition("\n")[0]
        raise BackupError(f"{path} can't be used: {said}") from fault


def _to_disk(path: Path) -> None:
    with suppress(PermissionError):  # a folder that may not be read can't be waited for
        handle = os.open(path, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
