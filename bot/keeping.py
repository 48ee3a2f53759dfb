"""Backups and their way back, as the command line asks for them."""

import shutil
import sys
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

from bot.keys import key_file
from bot.settings import SettingsError
from bot.wording import keeping as words
from storage.backup import BackupError, back_up, look_into, restoring
from storage.crypto import Keys, keys_from
from storage.key_file import MODE, keys_in
from storage.sql import SqlVault

SQLITE = "sqlite:///"
STAMP = "%Y%m%dT%H%M%SZ"
NAMES = "coilbook-*.db"


def backup(
    url: str, place: Path, keep: int | None, with_keys: bool, now: datetime | None = None
) -> int:
    """Copy the database into a file, or into a folder under a name with the time in it.

    Args:
        keep: how many such copies the folder keeps; None for all.
        with_keys: whether the key file is copied beside it.
    """
    source = _file(url)
    stamp = (now or datetime.now(UTC)).strftime(STAMP)
    target = place / f"coilbook-{stamp}.db" if place.is_dir() else place
    key = key_file(url)
    copy = back_up(source, target)
    sys.stdout.write(
        words.COPIED.format(path=copy.path, size=_size(copy.size), revision=copy.revision) + "\n"
    )
    if with_keys and key and key.exists():
        _copy_key(key, _key_beside(target))
        sys.stdout.write(words.WITH_KEYS.format(path=_key_beside(target)) + "\n")
    elif copy.sealed:
        where = words.IN_FILE.format(path=key) if key and key.exists() else words.IN_SETTING
        sys.stdout.write(words.WITHOUT_KEYS.format(where=where) + "\n")
    if keep is not None and place.is_dir():
        old = sorted(place.glob(NAMES))[:-keep]
        for each in old:
            each.unlink()
            _key_beside(each).unlink(missing_ok=True)
        if old:
            sys.stdout.write(words.REMOVED.format(count=len(old), kept=keep) + "\n")
    return 0


def restore(
    url: str,
    written: str,
    copy: Path,
    *,
    replace: bool,
    upgrade: Callable[[str], None],
    now: datetime | None = None,
) -> int:
    """Put a copy in the database's place, brought to the newest shape and opened with its keys.

    Args:
        written: the keys as the environment has them.
        replace: whether a database that is there is put aside.
        upgrade: what brings the database at an address to the newest shape.
    """
    target = _file(url)
    stamp = (now or datetime.now(UTC)).strftime(STAMP)
    aside = target.with_name(f"{target.name}.before-{stamp}") if target.exists() else None
    found = look_into(copy)
    keys, brought = _keys(url, written, copy)
    if keys is None and found.sealed:
        raise BackupError(words.KEY_NEEDED.format(path=key_file(url)))
    target.parent.mkdir(parents=True, exist_ok=True)
    with restoring(copy, target, aside if replace else None) as draft:
        address = f"{SQLITE}{draft}"
        upgrade(address)
        SqlVault(address, keys).close()  # opened once, so that a key that does not fit is said now
    own = key_file(url)
    if brought and own:
        _copy_key(brought, own)
    sys.stdout.write(words.RESTORED.format(copy=copy, path=target) + "\n")
    if aside:
        sys.stdout.write(words.ASIDE.format(path=aside) + "\n")
    sys.stdout.write(words.ERASE_AGAIN + "\n")
    return 0


def _keys(url: str, written: str, copy: Path) -> tuple[Keys | None, Path | None]:
    """What opens the copy; and the file that came with it, where that is what does."""
    if written:
        return keys_from(written), None
    own, beside = key_file(url), _key_beside(copy)
    if own and own.exists():
        return keys_in(own), None
    if beside.exists():
        return keys_in(beside), beside
    return None, None


def _file(url: str) -> Path:
    path = url.removeprefix(SQLITE).partition("?")[0]
    if not url.startswith(SQLITE) or not path or path == ":memory:":
        raise SettingsError(words.NO_FILE)
    return Path(path)


def _key_beside(copy: Path) -> Path:
    return copy.with_suffix(".key")


def _copy_key(source: Path, target: Path) -> None:
    target.touch(MODE, exist_ok=False)
    shutil.copyfile(source, target)


def _size(size: int) -> str:
    return f"{size / 1e6:.1f} MB" if size >= 1e6 else f"{size / 1e3:.0f} kB"
