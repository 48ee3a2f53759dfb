"""The migrations lead to the tables, whole or not at all, and back."""

from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection, inspect

from bot.main import open_vault
from core.saved import DatedPlan
from storage import migrate
from storage.crypto import key_text
from storage.migrate import FOLDER, downgrade, draft, upgrade
from storage.revision import HEAD
from storage.sql import SqlVault
from storage.sql_store import SqlStore
from storage.tables import Row
from tests.builders import brief, plan, record
from tests.contract.scene import KEYS, LIBRARY, NOW, everything, fill, in_parallel
from tests.databases import Databases, looking, raw

KEY = key_text({1: bytes(range(32))})


@pytest.fixture
def url(databases: Databases, kind: str, tmp_path: Path) -> str:
    """The address of a database with nothing in it yet, of each kind in turn."""
    return databases.bare(kind, tmp_path)


@pytest.fixture
def look(url: str) -> Iterator[Connection]:
    """A connection to look at the database with."""
    with looking(url) as connection:
        yield connection


def test_from_nothing_to_exactly_the_tables(url: str, look: Connection) -> None:
    upgrade(url)
    context = MigrationContext.configure(look, opts={"compare_type": True})
    assert compare_metadata(context, Row.metadata) == []


def test_down_to_nothing_and_up_again(url: str, look: Connection) -> None:
    upgrade(url)
    full = set(inspect(look).get_table_names())
    downgrade(url, "base")
    assert set(inspect(look).get_table_names()) == {"alembic_version"}
    upgrade(url)
    assert set(inspect(look).get_table_names()) == full


def test_upgrading_again_changes_nothing(url: str) -> None:
    upgrade(url)
    vault = SqlVault(url)
    me = vault.admit("console:me")
    with vault.begin(me) as store:
        fill(store)
        before = everything(store)
    upgrade(url)
    with vault.begin(me) as store:
        assert everything(store) == before
    vault.close()


def test_back_to_before_people_and_up_again_the_rest_is_as_it_was(url: str) -> None:
    upgrade(url)
    vault = SqlVault(url)
    me, you = vault.admit("console:me"), vault.admit("console:you")
    with vault.begin(me) as store:
        fill(store)
        before = everything(store)
    vault.revoke("console:you")
    vault.close()
    vault = SqlVault(url, KEYS)
    with vault.begin(me) as store:
        store.people.add_note(store.people.add_client("Ana", NOW).id, "sore", NOW)
        store.keep_line("t2", "client Ana show")
        store.set_talk("c2", {"of": "Ana"})
    vault.close()
    downgrade(url, "0001")
    upgrade(url)
    vault = SqlVault(url, KEYS)
    assert vault.owner("console:you") is None
    assert vault.admit("console:new") > you
    with vault.begin(me) as store:
        assert everything(store) == before
        assert store.people.clients() == []
        assert store.line("t2") is None
        assert store.talk("c2") == {}
    vault.close()


def test_back_to_before_the_shelf_was_covered_and_up_again_it_is_all_there(url: str) -> None:
    upgrade(url)
    vault = SqlVault(url, KEYS)
    me = vault.admit("console:me")
    read: list[Callable[[SqlStore], object]] = [
        lambda store: store.kept_classes(),
        lambda store: store.exercises(),
        lambda store: store.remarks("mat-curl"),
        lambda store: store.line("t1"),
        lambda store: store.plan(1, LIBRARY),
        lambda store: store.plans_between(datetime.min, datetime.max),  # noqa: DTZ901
    ]
    with vault.begin(me) as store:
        fill(store)
        at = datetime(2026, 12, 1, 18, 0)  # noqa: DTZ001 - a time on her wall
        store.add_plan(plan(LIBRARY, brief(starts=at)), LIBRARY, NOW)
        for name in ("Ana", "ANA", "Bo", "Gone"):
            store.keep_class(name, 1)
        store.retire_class("Gone")
        store.keep_exercise("own-past", record("own-past"))
        store.retire_exercise("own-past")
        before = [each(store) for each in read]
        assert before[-1] == [DatedPlan(2, at)]
    vault.close()
    downgrade(url, "0004")
    with looking(url) as look:
        for table in ("kept_class", "exercise"):
            # Names that the version before could not read are put away, not shown.
            seen = f"SELECT count(*) FROM {table} WHERE NOT retired"  # noqa: S608
            assert look.exec_driver_sql(seen).scalar_one() == 0
    upgrade(url)
    vault = SqlVault(url, KEYS)
    with vault.begin(me) as store:
        assert [each(store) for each in read] == before
        assert store.keep_class("Gone", 1).version == 2
        assert not store.retire_exercise("own-past")
    vault.close()


def test_what_the_version_before_kept_open_is_covered_at_the_first_start(
    url: str, tmp_path: Path
) -> None:
    upgrade(url)
    vault = SqlVault(url)
    me = vault.admit("console:me")
    with vault.begin(me) as store:
        store.keep_class("Quibblezax", 1)
        store.add_remark("mat-curl", "Quibblezax only")
        store.keep_exercise("own-hop", record("own-hop") | {"name": "Quibblezax"})
    vault.close()
    downgrade(url, "0004")
    written = "SELECT name FROM kept_class UNION SELECT text FROM remark"
    assert {row[0][:10] for row in raw(url, written)} == {"Quibblezax"}
    vault = open_vault(url, KEY)
    with vault.begin(me) as store:
        assert [kept.name for kept in store.kept_classes()] == ["Quibblezax"]
        assert store.remarks("mat-curl") == ["Quibblezax only"]
        assert store.exercises()[0]["name"] == "Quibblezax"
    assert not [row for row in raw(url, written) if "Quibblezax" in row[0]]
    if url.startswith("sqlite"):  # the other kind overwrites in its own time
        assert b"Quibblezax" not in b"".join(path.read_bytes() for path in tmp_path.iterdir())
    vault.close()


def test_many_at_once_do_it_once(url: str) -> None:
    in_parallel(lambda _: upgrade(url), times=4)
    vault = SqlVault(url)
    assert not vault.anybody()
    vault.close()


def test_one_that_fails_leaves_nothing_behind(
    url: str, look: Connection, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(_: Connection) -> None:
        raise RuntimeError

    monkeypatch.setattr(migrate, "_refuse_orphans", fail)
    with pytest.raises(RuntimeError):
        upgrade(url)
    assert inspect(look).get_table_names() == []


def test_nothing_is_said(url: str, capfd: pytest.CaptureFixture[str]) -> None:
    upgrade(url)
    assert capfd.readouterr() == ("", "")


def test_no_migration_is_missing(tmp_path: Path) -> None:
    text = draft("what changed", tmp_path).read_text()
    assert text.startswith('"""what changed."""')
    assert text.count("    pass") == 2
    compile(text, "draft", "exec")


def test_the_newest_shape_is_known_without_the_migrations() -> None:
    config = Config()
    config.set_main_option("script_location", str(FOLDER))
    assert ScriptDirectory.from_config(config).get_heads() == [HEAD]
