"""The file that holds the keys where the environment gives none: made once, read by nobody else."""

import os
import secrets
import stat
from pathlib import Path

from storage.crypto import KEY_BYTES, Keys, key_text, keys_from
from storage.errors import KeyFileError

MODE = 0o600


def keys_in(path: Path) -> Keys:
    """The keys in this file, which is made with a new key if it is not there.

    Raises:
        KeyFileError: it can't be read or made, others may read it, or it holds no keys.
    """
    try:
        _make(path)
        handle = os.open(path, os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0))
        with os.fdopen(handle, encoding="ascii") as file:
            mode = os.fstat(file.fileno()).st_mode
            if not stat.S_ISREG(mode):
                raise KeyFileError(f"the key file {path} is no file")
            if os.name == "posix" and stat.S_IMODE(mode) & 0o077:
                raise KeyFileError(
                    f"others may read the key file {path}: make it yours alone with chmod 600"
                )
            return keys_from(file.read())
    except UnicodeDecodeError:
        raise KeyFileError(f"the key file {path} holds no keys") from None
    except OSError as fault:
        raise KeyFileError(f"the key file {path} can't be used: {fault.strerror}") from fault


def _make(path: Path) -> None:
    """Make the file whole or not at all; of two at once, one makes it and the other keeps it."""
    if path.exists() or path.is_symlink():
        return
    draft = path.with_name(f"{path.name}.{secrets.token_hex(4)}")
    handle = os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, MODE)
    try:
        with os.fdopen(handle, "w", encoding="ascii") as file:
            file.write(key_text({1: secrets.token_bytes(KEY_BYTES)}) + "\n")
            file.flush()
            os.fsync(file.fileno())
        try:
            os.link(draft, path)
        except FileExistsError:
            return
        except OSError:  # not every file system has links
            draft.rename(path)
    finally:
        draft.unlink(missing_ok=True)
