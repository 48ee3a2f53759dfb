"""A database with people in it, looked at from outside."""

from pathlib import Path
from typing import Any

from sqlalchemy import create_engine

from core.client import ClientId
from core.instructor import OwnerId
from core.taught import Attendance
from storage.crypto import Keys
from storage.sql import SqlVault
from tests.builders import brief, plan, record
from tests.contract.cast import READY, WRIST, cast
from tests.contract.diary_cast import diary_cast
from tests.contract.scene import KEYS, LIBRARY, NOW, AnyStore
from tests.databases import Databases, said

OLD = bytes(range(32))  # key 1 of KEYS
NEW = bytes(range(100, 132))
MARK = "Quibblezax"


class Scene:
    """A database with two instructors who have the same, and what it is opened with."""

    def __init__(self, url: str, databases: Databases) -> None:
        self.url = url
        self.vault = SqlVault(self.url, KEYS)
        self._databases = databases
        self._engine = create_engine(url)
        self.me = self.vault.admit("console:me")
        self.you = self.vault.admit("console:you")
        for owner in (self.me, self.you):
            with self.vault.begin(owner) as store:
                self.ana, self.bo = cast(store)
                diary_cast(store, self.ana, NOW)

    @property
    def sqlite(self) -> bool:
        """Whether the database is a file, which then overwrites what is erased."""
        return self.url.startswith("sqlite")

    def raw(self, statement: str, *values: object) -> list[tuple[Any, ...]]:
        """What the database itself answers; the statement is written as SQLite has it."""
        with self._engine.connect() as connection:
            return said(connection, statement, *values)

    def log(self) -> Path:
        """The write-ahead log of a database that is a file."""
        return Path(f"{self._engine.url.database}-wal")

    def files(self) -> bytes:
        """All of the files of the database, and of what it wrote ahead."""
        if self.sqlite:
            path = Path(self._engine.url.database or "")
            return b"".join(each.read_bytes() for each in path.parent.glob(f"{path.name}*"))
        self._databases.server.run("CHECKPOINT")
        ((number,),) = self.raw("SELECT oid FROM pg_database WHERE datname = current_database()")
        ((where,),) = self.raw("SELECT setting FROM pg_settings WHERE name = 'data_directory'")
        places = (Path(where, "base", str(number)), Path(where, "pg_wal"))
        files = (each for place in places for each in place.iterdir() if each.is_file())
        return b"".join(each.read_bytes() for each in files)

    def close(self) -> None:
        """Give back what is held open."""
        self.vault.close()
        self._engine.dispose()

    def faults(self, owner: OwnerId | None = None) -> set[tuple[str, str, int | str]]:
        """What can't be read, once everything was."""
        with self.vault.begin(owner or self.me) as store:
            store.people.check()
            return {(fault.table, fault.column, fault.row) for fault in store.faults}

    def reopen(self, keys: Keys | None) -> None:
        """Go on with other keys."""
        self.vault.close()
        self.vault = SqlVault(self.url, keys)


def dated(store: AnyStore, client: ClientId) -> None:
    """Give every text of the diary the mark, too."""
    diary_cast(store, client, NOW, MARK)


def marked(store: AnyStore) -> ClientId:
    """A client of whom every text has the mark in it."""
    people = store.people
    client = people.add_client(MARK, NOW, goals=(MARK,)).id
    people.add_flag(client, WRIST.__class__(MARK, words=f"{MARK} hurts"), NOW)
    people.replace_flags(client, (), NOW)
    people.add_note(client, f"a note on {MARK}", NOW)
    people.attend(Attendance(client, 1, NOW, note=MARK))
    people.declare(client, READY.__class__(MARK, READY.day, MARK, {MARK: MARK}), NOW)
    people.set_group(f"{MARK} and friends", (client,), NOW)
    people.drop_group(f"{MARK} and friends", NOW)
    people.set_group(MARK, (client,), NOW)
    dated(store, client)
    store.keep_line("t1", f"note {MARK}: sore")
    store.set_talk("c1", {"open": MARK, MARK: 1})
    store.add_plan(plan(LIBRARY, brief(group=MARK)), LIBRARY, NOW)
    store.keep_class(f"{MARK} on Friday", 1)
    store.keep_class(MARK, 1)
    store.keep_exercise(f"chair-{MARK}", record(f"chair-{MARK}") | {"name": f"{MARK}'s pike"})
    store.add_remark(f"chair-{MARK}", f"{MARK} only")
    return client
