"""The contract of changes to people: each is taken back, and nobody else sees or loses a thing."""

import pytest

from core.client import Client, ClientId
from core.exercise import Level
from core.instructor import OwnerId
from storage.errors import NobodyError
from storage.kept import Change, Undone
from tests.contract.cast import EXPECTING, READY, WRIST, cast, texts
from tests.contract.scene import NOW, AnyStore, AnyVault, UnluckyError, in_parallel


class TestUndo:
    def test_takes_everything_back_step_by_step(self, vault: AnyVault, me: OwnerId) -> None:
        def state(store: AnyStore) -> object:
            people = store.people
            notes = [people.notes(each) for each in people.names()]
            said = [people.declarations(each) for each in people.names()]
            return people.clients(), notes, said, people.groups()

        states = []
        with vault.begin(me) as store:
            people = store.people
            states.append(state(store))
            ana = people.add_client("Ana", NOW).id
            states.append(state(store))
            people.save_client(Client(ana, "Anna", Level.ADVANCED), NOW)
            states.append(state(store))
            people.add_flag(ana, WRIST, NOW)
            states.append(state(store))
            people.replace_flags(ana, (EXPECTING,), NOW)
            states.append(state(store))
            people.add_note(ana, "knee sore", NOW)
            states.append(state(store))
            people.declare(ana, READY, NOW)
            states.append(state(store))
            people.set_group("Dawn", (ana,), NOW)
            states.append(state(store))
            people.remove_from_group("Dawn", ana, NOW)
            states.append(state(store))
            people.drop_group("Dawn", NOW)
        undone = []
        while states:
            with vault.begin(me) as store:
                undone.append(store.people.undo())
                assert state(store) == states.pop()
        assert undone == [
            Undone(Change.GROUP, "Dawn"),
            Undone(Change.GROUP, "Dawn"),
            Undone(Change.GROUP, "Dawn"),
            Undone(Change.DECLARATION, "Anna", ana),
            Undone(Change.NOTE, "Anna", ana),
            Undone(Change.FLAGS, "Anna", ana),
            Undone(Change.FLAGS, "Anna", ana),
            Undone(Change.CLIENT, "Anna", ana),
            Undone(Change.ADDED, "Ana", ana),
        ]
        with vault.begin(me) as store:
            assert store.people.undo() is None
            assert store.people.add_client("Ana", NOW).id > ana

    def test_brings_nobody_erased_back(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            ana, bo = cast(store)
            store.people.remove_from_group("Dawn", bo, NOW)
            store.people.erase_client(bo, NOW)
        with vault.begin(me) as store:
            while store.people.undo():
                assert store.people.client(bo) is None
                group = store.people.group("Dawn")
                assert group is None or group.members == (ana,)
            assert (store.people.clients(), store.people.groups()) == ([], [])

    def test_goes_back_a_hundred_steps(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            ana, _ = cast(store)
            for n in range(110):
                store.people.add_note(ana, f"note {n}", NOW)
            steps = 0
            while store.people.undo():
                steps += 1
            assert steps == 100
            assert len(texts(store, ana)) == 12


class TestPrivacy:
    def test_another_instructor_finds_nothing(self, vault: AnyVault, me: OwnerId) -> None:
        you = vault.admit("console:you")
        with vault.begin(me) as store:
            ana, _ = cast(store)
            before = store.people.export(NOW)
        with vault.begin(you) as store:
            people = store.people
            assert (people.clients(), people.names(), people.groups()) == ([], {}, [])
            assert (people.notes(ana), people.declarations(ana), people.audit()) == ([], [], [])
            assert people.client(ana) is people.client_named("Ana") is None
            assert people.group("Dawn") is None
            assert people.undo() is None
            assert people.erase_client(ana, NOW) is None
            assert people.export(NOW)["clients"] == []
            with pytest.raises(NobodyError):
                people.add_note(ana, "mine", NOW)
            mine = people.add_client("Ana", NOW)
            people.add_note(mine.id, "mine", NOW)
            people.erase_client(mine.id, NOW)
        with vault.begin(me) as store:
            after = store.people.export(NOW)
            assert {**after, "audit": []} == {**before, "audit": []}

    def test_what_fails_changes_nothing(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            ana, bo = cast(store)
            before = store.people.export(NOW)

        def fail(store: AnyStore) -> None:
            store.people.erase_client(ana, NOW)
            store.people.add_note(bo, "lost", NOW)
            store.people.set_group("Dawn", (), NOW)
            store.people.set_retention(1)
            raise UnluckyError

        with pytest.raises(UnluckyError), vault.begin(me) as store:
            fail(store)
        with vault.begin(me) as store:
            after = store.people.export(NOW)
            assert {**after, "audit": []} == {**before, "audit": []}

    def test_numbers_have_no_rivals_from_many_threads(self, vault: AnyVault, me: OwnerId) -> None:
        def add(n: int) -> list[ClientId]:
            numbers = []
            for m in range(3):
                with vault.begin(me) as store:
                    numbers.append(store.people.add_client(f"P{n} {m}", NOW).id)
            return numbers

        numbers = [number for each in in_parallel(add) for number in each]
        assert len(set(numbers)) == 24
        with vault.begin(me) as store:
            assert sorted(store.people.names()) == sorted(numbers)


class TestNames:
    def test_are_never_those_of_before(self, vault: AnyVault, me: OwnerId) -> None:
        def names() -> list[str]:
            with vault.begin(me) as store:
                return list(store.people.names().values())

        with vault.begin(me) as store:
            ana, bo = cast(store)
            assert list(store.people.names().values()) == ["Ana", "Bo"]
        assert names() == names() == ["Ana", "Bo"]
        with vault.begin(me) as store:
            store.people.names()[ana] = "hers to change"
            store.people.save_client(Client(ana, "Anna"), NOW)
            assert list(store.people.names().values()) == ["Anna", "Bo"]
        assert names() == ["Anna", "Bo"]
        with pytest.raises(UnluckyError), vault.begin(me) as store:
            _rename_and_fail(store, ana)
        assert names() == ["Anna", "Bo"]
        with vault.begin(me) as store:
            store.people.save_client(Client(bo, "Bob"), NOW)
        assert names() == ["Anna", "Bob"]
        for left in (["Anna", "Bo"], ["Ana", "Bo"]):
            with vault.begin(me) as store:
                store.people.undo()
            assert names() == left
        with vault.begin(me) as store:
            store.people.erase_client(ana, NOW)
            assert list(store.people.names().values()) == ["Bo"]
        assert names() == ["Bo"]


def _rename_and_fail(store: AnyStore, client: ClientId) -> None:
    store.people.save_client(Client(client, "Lost"), NOW)
    assert "Lost" in store.people.names().values()
    raise UnluckyError
