"""The keys that open what is kept about people: from the environment, or a file by the database."""

import os
import secrets
from pathlib import Path

from storage.crypto import KEY_BYTES, Keys, key_text, keys_from
from storage.errors import KeyFileError
from storage.key_file import MODE, keys_in

NAME = "coilbook.key"
SQLITE = "sqlite:///"


def keys_for(url: str, written: str) -> Keys | None:
    """The keys of the database at this address; None when it is no file and none are written.

    Raises:
        KeyFileError: they can't be read, or the file can't be made.
    """
    if written:
        return keys_from(written)
    path = key_file(url)
    return keys_in(path) if path else None


def key_file(url: str) -> Path | None:
    """Where the key file of a database lies, if the database is a file."""
    path = url.removeprefix(SQLITE).partition("?")[0]
    if not url.startswith(SQLITE) or not path or path == ":memory:":
        return None
    return Path(path).with_name(NAME)


def with_new_key(path: Path) -> Keys:
    """The keys of this file with a new one before them, which seals from now on.

    The older ones stay in the file: backups made earlier need them.

    Raises:
        KeyFileError: the file can't be used.
    """
    old = keys_in(path)
    number = max(old.numbers) + 1
    draft = path.with_name(f"{path.name}.{secrets.token_hex(4)}")
    try:
        new = key_text({number: secrets.token_bytes(KEY_BYTES)})
        text = f"{new}\n{path.read_text(encoding='ascii').strip()}\n"
        keys = keys_from(text)
        handle = os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, MODE)
        with os.fdopen(handle, "w", encoding="ascii") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        draft.replace(path)
    except OSError as fault:
        raise KeyFileError(f"the key file {path} can't be used: {fault.strerror}") from fault
    finally:
        draft.unlink(missing_ok=True)
    return keys
