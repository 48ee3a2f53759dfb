"""One program at a time at a SQLite file: a lock beside it, gone however the program ends."""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy import make_url

from storage.errors import HeldError, OpenError


@contextmanager
def alone(url: str) -> Iterator[None]:
    """A block in which no other program that asks for it is at work on this database.

    A server lets as many work as like; there nothing is held, nor where there is no folder yet.

    Raises:
        HeldError: one is at work.
        OpenError: there can't be a lock beside it.
    """
    address = make_url(url)
    if (
        address.get_backend_name() != "sqlite"
        or not address.database
        or not Path(address.database).parent.is_dir()
    ):
        yield
        return
    try:
        import fcntl  # noqa: PLC0415 - not every system has it
    except ImportError:
        yield
        return
    path = Path(f"{address.database}.lock")
    try:
        # It stays when we leave: to remove it would let two hold locks on two files of one name.
        held = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
    except OSError as fault:
        raise OpenError(f"the database's folder can't be used: {fault.strerror}") from fault
    try:
        try:
            fcntl.flock(held, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError as fault:
            raise HeldError(
                f"another program is at work on {address.database}: stop that one first"
            ) from fault
        yield
    finally:
        os.close(held)
