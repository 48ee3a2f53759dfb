"""Opening with keys, without them, with the wrong ones, and changing them."""

from collections.abc import Callable
from pathlib import Path

import pytest

from storage.crypto import Keys
from storage.errors import KeyMissingError
from storage.rotate import rotate
from storage.sql import SqlVault
from tests.builders import brief, plan, record
from tests.contract.scene import KEYS, LIBRARY, NOW, AnyStore
from tests.contract.sealed import MARK, NEW, OLD, Scene, marked

IN_THE_OPEN = "Wobbulate"  # is to be found for a while, so it is not the mark of other tests


def test_without_any_key_people_are_out_of_reach(scene: Scene) -> None:
    with scene.vault.begin(scene.me) as store:
        marked(store)
    scene.reopen(None)
    with scene.vault.begin(scene.me) as store:
        assert store.line("t1") is None
        assert store.remarks(f"chair-{MARK}") == []
        for ask in (
            lambda: store.people,
            lambda: store.talk("c1"),
            lambda: store.plan(1, LIBRARY),
            store.kept_classes,
            store.exercises,
        ):
            with pytest.raises(KeyMissingError, match="needs a key"):
                ask()
    with pytest.raises(KeyMissingError):
        rotate(scene.vault)


@pytest.mark.parametrize(
    ("keys", "sentence"),
    [({2: NEW}, "key 1 is missing"), ({1: NEW}, "another key 1")],
)
def test_keys_that_do_not_fit_are_refused_at_once(
    scene: Scene, keys: dict[int, bytes], sentence: str
) -> None:
    with pytest.raises(KeyMissingError, match=sentence):
        SqlVault(scene.url, Keys(keys))


def test_keys_are_changed_without_losing_anything(scene: Scene) -> None:
    with scene.vault.begin(scene.me) as store:
        marked(store)
        before = store.people.export(NOW)
    old = [sealed for (sealed,) in scene.raw("SELECT form FROM client")]
    scene.vault.revoke("console:you")
    scene.reopen(Keys({2: NEW, 1: OLD}))
    with scene.vault.begin(scene.me) as store:
        assert store.people.client_named("Ana") is not None
        assert store.people.group("Dawn") is not None
        with pytest.raises(Exception, match="somebody else"):
            store.people.add_client("ana", NOW)
        store.people.add_client("New", NOW)
        store.people.undo()
    done = rotate(scene.vault, batch=2)
    assert done.rows > 20
    assert done.faults == ()
    assert rotate(scene.vault).rows == 0
    kept = scene.files() if scene.sqlite else str(scene.raw("SELECT form FROM client")).encode()
    assert not any(sealed in kept for sealed in old)
    scene.reopen(Keys({2: NEW}))
    scene.vault.admit("console:you")
    with scene.vault.begin(scene.me) as store:
        after = store.people.export(NOW)
        assert {**after, "audit": []} == {**before, "audit": []}
        assert store.people.client_named(MARK) is not None
        assert store.line("t1") == f"note {MARK}: sore"
        assert store.talk("c1") == {"open": MARK, MARK: 1}
        assert store.groups() == [MARK]
        assert store.latest_plan(LIBRARY, MARK) == store.plan(1, LIBRARY)
        assert [kept.name for kept in store.kept_classes()] == [MARK, f"{MARK} on Friday"]
        assert store.keep_class(MARK.upper(), 1).version == 2
        assert store.remarks(f"chair-{MARK}") == [f"{MARK} only"]
        assert [own["name"] for own in store.exercises()] == [f"{MARK}'s pike"]
        assert store.retire_exercise(f"chair-{MARK}")
    assert scene.faults(scene.you) == set()


def test_keys_are_changed_around_what_is_broken(scene: Scene) -> None:
    scene.raw("UPDATE client SET form = x'01ff' WHERE owner = ? AND id = 1", scene.me)
    scene.reopen(Keys({2: NEW, 1: OLD}))
    done = rotate(scene.vault)
    assert [(fault.column, fault.row) for fault in done.faults] == [("form", 1)]
    scene.reopen(Keys({2: NEW}))
    assert scene.faults() == {("client", "form", 1)}


def test_keys_come_to_what_was_kept_without(url: str, tmp_path: Path) -> None:
    vault = SqlVault(url)
    me = vault.admit("console:me")
    with vault.begin(me) as store:
        store.keep_line("t1", f"note {IN_THE_OPEN}: sore")
        store.set_talk("c1", {"open": IN_THE_OPEN})
        store.add_plan(plan(LIBRARY, brief(group=IN_THE_OPEN)), LIBRARY, NOW)
        store.keep_class(IN_THE_OPEN, 1)
        store.keep_exercise(f"chair-{IN_THE_OPEN}", record(f"chair-{IN_THE_OPEN}"))
        store.add_remark(f"chair-{IN_THE_OPEN}", f"{IN_THE_OPEN} only")
    vault.close()
    vault = SqlVault(url, KEYS)
    read: list[Callable[[AnyStore], object]] = [
        lambda store: store.line("t1"),
        lambda store: store.talk("c1"),
        lambda store: store.plan(1, LIBRARY),
        lambda store: store.kept_classes(),
        lambda store: store.exercises(),
        lambda store: store.remarks(f"chair-{IN_THE_OPEN}"),
        lambda store: store.latest_plan(LIBRARY, IN_THE_OPEN),
        lambda store: store.groups(),
    ]
    with vault.begin(me) as store:
        before = [each(store) for each in read]
        store.add_plan(plan(LIBRARY, brief(group=IN_THE_OPEN)), LIBRARY, NOW)
        assert store.groups() == [IN_THE_OPEN]
    assert rotate(vault).rows == 6
    with vault.begin(me) as store:
        assert [each(store) for each in read[:6]] == before[:6]
        assert store.groups() == [IN_THE_OPEN]
    vault.close()
    if url.startswith("sqlite"):  # the other kind overwrites in its own time
        assert IN_THE_OPEN.encode() not in (tmp_path / "store.db").read_bytes()


def test_two_programs_on_one_database_see_the_same_names(scene: Scene) -> None:
    other = SqlVault(scene.url, KEYS)
    for n in range(3):
        for writing, reading in ((scene.vault, other), (other, scene.vault)):
            with writing.begin(scene.me) as store:
                name = f"New {n} {writing is other}"
                store.people.add_client(name, NOW)
            with reading.begin(scene.me) as store:
                assert name in store.people.names().values()
                store.people.undo()
            with writing.begin(scene.me) as store:
                assert name not in store.people.names().values()
    other.close()
