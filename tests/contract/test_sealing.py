"""What is in the database of people: nothing that can be read, changed or moved unseen."""

import logging
from collections.abc import Callable
from datetime import timedelta

import pytest

from storage.drawers import TEXTS, Drawer
from storage.errors import SealError, StorageError
from tests.builders import record
from tests.contract.cast import WRIST
from tests.contract.scene import NOW
from tests.contract.sealed import MARK, Scene, marked

FIELDS = [(drawer, column) for drawer in Drawer for column in TEXTS[drawer]]


def test_nothing_planted_is_found(scene: Scene, caplog: pytest.LogCaptureFixture) -> None:
    caplog.set_level(logging.DEBUG)
    for name in ("sqlalchemy", "sqlalchemy.engine", "sqlalchemy.pool"):
        logging.getLogger(name).setLevel(logging.DEBUG)
    try:
        with scene.vault.begin(scene.me) as store:
            client = marked(store)
        with scene.vault.begin(scene.me) as store:
            assert store.people.client_named(MARK) is not None
            assert MARK in str(store.people.export(NOW))
            assert MARK in str(store.people.export(NOW, client))
            assert store.groups() == [MARK]
            assert [kept.name for kept in store.kept_classes()] == [MARK, f"{MARK} on Friday"]
            assert store.remarks(f"chair-{MARK}") == [f"{MARK} only"]
            assert store.exercises()[0]["name"] == f"{MARK}'s pike"
            store.people.undo()
            # A name met by its index only, and an error on the way.
            with pytest.raises(Exception, match="somebody else"):
                store.people.add_client(MARK, NOW)
        with scene.vault.begin(scene.you) as store:
            assert MARK not in str(store.people.export(NOW))
    finally:
        for name in ("sqlalchemy", "sqlalchemy.engine", "sqlalchemy.pool"):
            logging.getLogger(name).setLevel(logging.NOTSET)
    assert caplog.records
    for form in (MARK, MARK.casefold(), MARK.upper()):
        assert form.encode() not in scene.files()
        assert form not in caplog.text
    assert not scene.sqlite or scene.log().stat().st_size > 0


@pytest.mark.parametrize(("drawer", "column"), FIELDS)
def test_a_changed_bit_is_named_and_the_rest_stays_readable(
    scene: Scene, drawer: Drawer, column: str
) -> None:
    where = f"FROM {drawer} WHERE owner = ? ORDER BY id LIMIT 1"
    number, sealed = scene.raw(f"SELECT id, {column} {where}", scene.me)[0]
    change = f"UPDATE {drawer} SET {column} = ? WHERE owner = ? AND id = ?"  # noqa: S608
    # A bit of the key's number, of the nonce, of the text, of the tag; and what is cut short.
    broken = [_flipped(sealed, n) for n in (0, 7, 8, 100, 110, len(sealed) * 8 - 1)]
    for each in (*broken, sealed[:-1], sealed[:12], sealed[:1], b"", sealed + b"\0"):
        scene.raw(change, each, scene.me, number)
        assert scene.faults() == {(drawer, column, number)}
        assert scene.faults(scene.you) == set()
    with scene.vault.begin(scene.me) as store:
        assert store.people.names().get(scene.bo) == "Bo"
        form = store.people.export(NOW)
        assert form["unreadable"] == [{"table": drawer, "row": number, "column": column}]
        assert len(form["clients"]) == 2
        bo = store.people.client(scene.bo)
        assert bo is not None
        assert bo.flags
    scene.raw(change, sealed, scene.me, number)
    assert scene.faults() == set()


@pytest.mark.parametrize("kind", ["sqlite"])  # what is sealed does not know where it stands
def test_every_bit_of_a_field_counts(scene: Scene) -> None:
    number, sealed = scene.raw("SELECT id, text FROM note WHERE owner = ?", scene.me)[0]
    for bit in range(len(sealed) * 8):
        change = "UPDATE note SET text = ? WHERE owner = ? AND id = ?"
        scene.raw(change, _flipped(sealed, bit), scene.me, number)
        with scene.vault.begin(scene.me) as store:
            assert len(store.people.notes(scene.ana)) == 1
            assert [fault.row for fault in store.faults] == [number]


def test_a_client_who_cannot_be_read_is_an_error_and_can_be_erased(scene: Scene) -> None:
    scene.raw("UPDATE client SET flags = x'00' WHERE owner = ? AND id = ?", scene.me, scene.ana)
    with scene.vault.begin(scene.me) as store:
        asked: list[Callable[[], object]] = [
            lambda: store.people.client(scene.ana),
            lambda: store.people.client_named("ana"),
            lambda: store.people.add_flag(scene.ana, WRIST, NOW),
        ]
        for ask in asked:
            with pytest.raises(SealError, match=r"^client 1: its flags can't be read") as caught:
                ask()
            assert "Ana" not in str(caught.value)
        assert [each.name for each in store.people.clients()] == ["Bo"]
        assert len(store.people.notes(scene.ana)) == 2
    scene.raw("UPDATE client SET name = x'01' WHERE owner = ? AND id = ?", scene.me, scene.ana)
    with scene.vault.begin(scene.me) as store:
        store.keep_line("t1", "client Ana show")
        counts = store.people.erase_client(scene.ana, NOW)
        assert counts is not None
        assert (counts["notes"], counts["lines"]) == (2, 1)
        assert store.people.names() == {scene.bo: "Bo"}
    assert scene.faults() == set()


MOVES = {
    "rows": "UPDATE note SET text = (SELECT text FROM note n WHERE n.owner = note.owner"
    " AND n.client = note.client AND n.id <> note.id) WHERE owner = 1 AND client = 1",
    "columns": "UPDATE client SET form = flags, flags = form WHERE owner = 1",
    "owners": "UPDATE client SET form = (SELECT form FROM client c WHERE c.owner = 2"
    " AND c.id = client.id) WHERE owner = 1",
    "whose note": "UPDATE note SET client = (SELECT max(id) FROM client) WHERE owner = 1"
    " AND client = 1",
    "when": "UPDATE note SET made_at = '2020-01-01 00:00:00.000000' WHERE owner = 1",
    "people of groups": "UPDATE client_group SET members = (SELECT members FROM client_group g"
    " WHERE g.owner = 2) WHERE owner = 1",
}


@pytest.mark.parametrize("move", MOVES)
def test_what_was_moved_is_not_believed(scene: Scene, move: str) -> None:
    scene.raw(MOVES[move])
    assert scene.faults()
    assert scene.faults(scene.you) == set()


def test_a_name_that_leads_to_another_is_not_believed(scene: Scene) -> None:
    keys = dict(scene.raw("SELECT id, name_key FROM client WHERE owner = ?", scene.me))
    change = "UPDATE client SET name_key = ? WHERE owner = ? AND id = ?"
    scene.raw(change, b"spare", scene.me, scene.ana)
    scene.raw(change, keys[scene.ana], scene.me, scene.bo)
    with (
        pytest.raises(SealError, match=f"client {scene.bo}: its name_key"),
        scene.vault.begin(scene.me) as store,
    ):
        store.people.client_named("Ana")


SHELF = (("kept_class", "name"), ("exercise", "form"), ("remark", "text"))


@pytest.mark.parametrize(("table", "column"), SHELF)
def test_a_changed_letter_on_the_shelf_is_named_and_the_rest_stays_readable(
    scene: Scene, table: str, column: str
) -> None:
    with scene.vault.begin(scene.me) as store:
        marked(store)
    text = f"CAST({column} AS TEXT)"
    kept = scene.raw(f"SELECT {text} FROM {table} LIMIT 1")[0][0]  # noqa: S608
    change = f"UPDATE {table} SET {column} = ? WHERE {text} = ?"  # noqa: S608
    at = len(kept) - 8
    scene.raw(change, kept[:at] + ("A" if kept[at] != "A" else "B") + kept[at + 1 :], kept)
    with scene.vault.begin(scene.me) as store:
        shown = (store.kept_classes(), store.exercises(), store.remarks(f"chair-{MARK}"))
        assert [len(each) for each in shown] == [
            full - (name == table) for full, (name, _) in zip((2, 1, 1), SHELF, strict=True)
        ]
        assert [fault.table for fault in store.faults] == [table]
        assert len(store.people.clients()) == 3


SHELF_MOVES = {
    "names of kept classes": "UPDATE kept_class SET name = (SELECT name FROM kept_class k"
    " WHERE k.name_key <> kept_class.name_key)",
    "plans of kept classes": "UPDATE kept_class SET plan = plan + 1",
    "keys of kept classes": "UPDATE kept_class SET name_key = name_key || 'a'",
    "remarks": "UPDATE remark SET text = (SELECT text FROM remark r WHERE r.id <> remark.id)",
    "remarks to another exercise": "UPDATE remark SET exercise = (SELECT exercise FROM remark r"
    " WHERE r.id <> remark.id) WHERE id = 1",
    "exercises": "UPDATE exercise SET form = (SELECT form FROM exercise e"
    " WHERE e.id <> exercise.id)",
}


@pytest.mark.parametrize("move", SHELF_MOVES)
def test_what_was_moved_on_the_shelf_is_not_believed(scene: Scene, move: str) -> None:
    with scene.vault.begin(scene.me) as store:
        marked(store)
        store.add_remark("mat-curl", "zip up")
        store.keep_exercise("own-hop", record("own-hop"))
    scene.raw(SHELF_MOVES[move])
    with scene.vault.begin(scene.me) as store:
        for ask in (
            store.kept_classes,
            store.exercises,
            lambda: store.remarks("mat-curl"),
            lambda: store.remarks(f"chair-{MARK}"),
        ):
            ask()
        assert {fault.table for fault in store.faults} == {SHELF_MOVES[move].split()[1]}


def test_a_button_is_found_by_no_hash_that_anybody_could_make(scene: Scene) -> None:
    with scene.vault.begin(scene.me) as store:
        store.keep_line("~guessable", f"note {MARK}: sore")
    with scene.vault.begin(scene.you) as store:
        store.keep_line("~guessable", f"note {MARK}: sore")
        assert store.line("~guessable") == f"note {MARK}: sore"
    tokens = {token for (token,) in scene.raw("SELECT token FROM line")}
    assert len(tokens) == 2
    assert not [token for token in tokens if "guessable" in token]


def test_a_button_kept_again_is_not_written_again(scene: Scene) -> None:
    for _ in range(2):
        with scene.vault.begin(scene.me) as store:
            store.keep_line("~t", "show 1")
            store.keep_line("~u", "show 2")
        before = scene.raw("SELECT token, line FROM line ORDER BY token")
    with scene.vault.begin(scene.me) as store:
        store.keep_line("~u", "show 3")
        assert store.line("~u") == "show 3"
    after = scene.raw("SELECT token, line FROM line ORDER BY token")
    assert len(before) == len(after) == 2
    assert len(set(before) & set(after)) == 1


@pytest.mark.parametrize("table", ["line", "talk"])
def test_a_broken_line_or_talk_is_nothing_and_named(scene: Scene, table: str) -> None:
    with scene.vault.begin(scene.me) as store:
        marked(store)
    column = {"line": "line", "talk": "form"}[table]
    kept = scene.raw(f"SELECT CAST({column} AS TEXT) FROM {table}")[0][0]  # noqa: S608
    at = kept.index(":") + (60 if table == "line" else 80)
    other = "A" if kept[at] != "A" else "B"
    change = f"UPDATE {table} SET {column} = ?"  # noqa: S608
    scene.raw(change, kept[:at] + other + kept[at + 1 :])
    with scene.vault.begin(scene.me) as store:
        assert store.line("t1") is None or table == "talk"
        assert store.talk("c1") == {} or table == "line"
        assert [fault.table for fault in store.faults] == [table]
        store.set_talk("c1", {"new": 1})
        assert store.talk("c1") == {"new": 1}


def test_two_of_the_same_never_look_the_same(scene: Scene) -> None:
    with scene.vault.begin(scene.me) as store:
        for _ in range(500):
            store.people.add_note(scene.ana, "the same", NOW)
    rows = [sealed for (sealed,) in scene.raw("SELECT text FROM note")]
    rows += [sealed for (sealed,) in scene.raw("SELECT name FROM client")]
    assert len({sealed[1:13] for sealed in rows}) == len(rows)
    keys = [key for (key,) in scene.raw("SELECT name_key FROM client")]
    assert len(set(keys)) == len(keys) == 4  # two instructors have the same two names


def test_what_is_erased_is_overwritten(scene: Scene) -> None:
    with scene.vault.begin(scene.me) as store:
        client = marked(store)
        for n in range(200):
            store.people.add_note(client, f"{n} " * 300, NOW)
    hers = [sealed for (sealed,) in scene.raw("SELECT text FROM note WHERE client = ?", client)]
    hers += scene.raw("SELECT name, form, flags FROM client WHERE id = ?", client)[0]
    hers += [form for (form,) in scene.raw("SELECT form FROM change WHERE client = ?", client)]
    before = scene.files()
    assert all(sealed in before for sealed in hers if len(sealed) < 500)
    with scene.vault.begin(scene.me) as store:
        store.people.erase_client(client, NOW)
    if scene.sqlite:  # the other kind overwrites in its own time: see deploy/README.md
        after = scene.files()
        assert not [sealed for sealed in hers if sealed[:200] in after]
        assert scene.log().stat().st_size == 0
    for table in ("client", "note", "change"):
        column = "id" if table == "client" else "client"
        assert not scene.raw(f"SELECT 1 FROM {table} WHERE {column} = ?", client)  # noqa: S608


def test_errors_of_the_database_have_no_names_in_them(scene: Scene) -> None:
    scene.raw("DROP TABLE note")
    with pytest.raises(StorageError) as caught, scene.vault.begin(scene.me) as store:
        store.people.add_note(scene.ana, MARK, NOW + timedelta(1))
    assert MARK not in f"{caught.value} {caught.value.__cause__} {caught.value.__cause__!r}"


def _flipped(sealed: bytes, bit: int) -> bytes:
    changed = bytearray(sealed)
    changed[bit // 8] ^= 1 << (bit % 8)
    return bytes(changed)
