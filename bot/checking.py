"""Whether the program could start as it is set up: every fault at once, and nothing is changed."""

import os
import sys
from collections.abc import Mapping
from pathlib import Path

from bot import settings as settings_module
from bot.keys import SQLITE, key_file
from bot.settings import SettingsError
from bot.wording import keeping as words
from storage.crypto import Keys, keys_from
from storage.errors import OlderError, StorageError
from storage.key_file import keys_in
from storage.sql import SqlVault


def check(environment: Mapping[str, str] = os.environ) -> int:
    """Say what is not right, line by line; 0 when everything is."""
    faults: list[str] = []
    notes: list[str] = []
    try:
        settings_module.read(environment, serving=True)
    except SettingsError as fault:
        faults += str(fault).splitlines()
    url = settings_module.database(environment)
    keys: Keys | None = None
    try:
        keys = _keys(url, environment.get("COILBOOK_KEY", ""))
    except StorageError as fault:
        faults.append(f"COILBOOK_KEY: {fault}")
    else:
        if keys is None and key_file(url) is None:
            notes.append(words.NO_KEY)
    try:
        notes.append(_database(url, keys))
    except StorageError as fault:
        faults.append(f"COILBOOK_DB: {fault}")
    for line in faults:
        sys.stderr.write(f"{line}\n")
    for line in notes:
        sys.stdout.write(f"{line}\n")
    if not faults:
        sys.stdout.write(f"{words.ALL_RIGHT}\n")
    return 2 if faults else 0


def _keys(url: str, written: str) -> Keys | None:
    """The keys there are; none is made."""
    if written:
        return keys_from(written)
    path = key_file(url)
    return keys_in(path) if path and path.exists() else None


def _database(url: str, keys: Keys | None) -> str:
    """What there is to say of the database.

    Raises:
        StorageError: it can't be used.
    """
    path = Path(url.removeprefix(SQLITE).partition("?")[0])
    if url.startswith(SQLITE) and not path.exists():
        standing = next(each for each in path.parents if each.exists())
        if not os.access(standing, os.W_OK | os.X_OK):
            raise StorageError(words.NOT_WRITABLE.format(path=standing))
        return words.WILL_BE_MADE
    try:
        SqlVault(url, keys).close()
    except OlderError:
        return words.WILL_BE_MIGRATED
    return words.CURRENT
