"""The contract of people: clients, flags, notes and groups, and taking each change back."""

from datetime import date, timedelta

import pytest

from core.client import Client, ClientError, ClientId, Group
from core.exercise import Level
from core.instructor import OwnerId
from storage.errors import NobodyError
from storage.kept import Change, Declaration, Undone
from tests.builders import CHAIR, MAT
from tests.contract.cast import EXPECTING, LATER, READY, WRIST, cast, texts
from tests.contract.scene import NOW, AnyVault


class TestAClient:
    def test_comes_back_as_she_was(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            ana, bo = cast(store)
        with vault.begin(me) as store:
            people = store.people
            kept = Client(
                ana, "Ana", Level.INTERMEDIATE, ("sleep",), ((CHAIR.id, "3+2"),), (WRIST,)
            )
            assert people.client(ana) == people.client_named("  ÁNA!") == kept
            assert [each.name for each in people.clients()] == ["Ana", "Bo"]
            assert people.names() == {ana: "Ana", bo: "Bo"}
            assert people.clients()[1].flags == (EXPECTING,)

    def test_is_found_among_several_in_the_order_asked_for(
        self, vault: AnyVault, me: OwnerId
    ) -> None:
        with vault.begin(me) as store:
            ana, bo = cast(store)
            assert [c.name for c in store.people.some((bo, ClientId(999), ana))] == ["Bo", "Ana"]
            assert store.people.some((bo,)) == [store.people.client(bo)]
            assert store.people.some(()) == []
        with vault.begin(vault.admit("console:you")) as store:
            assert store.people.some((ana, bo)) == []

    def test_nobody_is_there_at_first(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            people = store.people
            assert (people.clients(), people.names(), people.groups()) == ([], {}, [])
            assert people.client_named("Ana") is people.client(ClientId(1)) is None
            assert (people.undo(), people.retention(), people.group("Dawn")) == (None, None, None)

    def test_has_a_name_of_her_own(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            ana, bo = cast(store)
            with pytest.raises(ClientError, match="somebody else"):
                store.people.add_client("ana", NOW)
            with pytest.raises(ClientError, match="somebody else"):
                store.people.save_client(Client(bo, "ANA"), NOW)
            store.people.save_client(Client(ana, "ANA"), NOW)
            for name in ("🌷", "🌻", "X"):
                assert store.people.client_named(name) is None
                store.people.add_client(name, NOW)
            assert store.people.client_named("🌻") != store.people.client_named("🌷")

    @pytest.mark.parametrize("name", ["", " ", " Ana", "A" * 41])
    def test_has_a_name(self, vault: AnyVault, me: OwnerId, name: str) -> None:
        with pytest.raises(ClientError), vault.begin(me) as store:
            store.people.add_client(name, NOW)
        with vault.begin(me) as store:
            assert store.people.clients() == []

    def test_changes_without_losing_flags(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            ana, _ = cast(store)
            changed = Client(ana, "Anna", Level.ADVANCED, ("run",), ((MAT.id, "none"),))
            store.people.save_client(changed, NOW)
        with vault.begin(me) as store:
            kept = store.people.client_named("anna")
            assert kept is not None
            assert kept == Client(
                ana, "Anna", Level.ADVANCED, ("run",), ((MAT.id, "none"),), (WRIST,)
            )
            assert store.people.client_named("Ana") is None

    def test_has_the_flags_she_is_given(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            ana, bo = cast(store)
            assert store.people.add_flag(ana, EXPECTING, NOW).flags == (WRIST, EXPECTING)
            assert store.people.replace_flags(ana, (EXPECTING,), NOW).flags == (EXPECTING,)
            store.people.replace_flags(bo, (), NOW)
        with vault.begin(me) as store:
            assert [each.flags for each in store.people.clients()] == [(EXPECTING,), ()]

    def test_who_is_not_there_can_be_done_nothing_to(self, vault: AnyVault, me: OwnerId) -> None:
        nobody = ClientId(99)
        with vault.begin(me) as store:
            people = store.people
            for do in (
                lambda: people.add_note(nobody, "x", NOW),
                lambda: people.add_flag(nobody, WRIST, NOW),
                lambda: people.save_client(Client(nobody, "X"), NOW),
                lambda: people.declare(nobody, READY, NOW),
                lambda: people.set_group("Dawn", (nobody,), NOW),
                lambda: people.export(NOW, nobody),
            ):
                with pytest.raises(NobodyError):
                    do()
            assert people.erase_client(nobody, NOW) is None
            assert people.audit() == []


class TestANote:
    def test_stands_newest_first(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            ana, bo = cast(store)
            store.people.add_note(ana, "late", LATER)
            store.people.add_note(ana, "early", NOW - timedelta(microseconds=1))
        with vault.begin(me) as store:
            assert texts(store, ana) == ["late", "knee fine 🙂", "knee sore", "early"]
            assert texts(store, bo) == ["tired"]
            assert [note.text for note in store.people.notes(ana, limit=1)] == ["late"]
            newest = store.people.notes(ana)[0]
            assert (newest.client, newest.made_at) == (ana, LATER)
            assert newest.made_at.utcoffset() == timedelta(0)

    def test_old_ones_go_when_asked(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            ana, _ = cast(store)
            store.people.add_note(ana, "late", LATER)
            store.people.set_retention(730)
        with vault.begin(me) as store:
            assert store.people.retention() == 730
            assert store.people.purge(LATER, LATER) == 3
            assert store.people.purge(LATER, LATER) == 0
        with vault.begin(me) as store:
            assert texts(store, ana) == ["late"]
            assert [each.what for each in store.people.audit()] == ["purge"]
            assert store.people.undo() == Undone(Change.NOTE, "Ana", ana)
            assert store.people.undo() is None
            store.people.set_retention(None)
            assert store.people.retention() is None


class TestADeclaration:
    def test_stands_newest_first_by_kind(self, vault: AnyVault, me: OwnerId) -> None:
        consent = Declaration("consent", date(2026, 3, 2), "given")
        with vault.begin(me) as store:
            ana, bo = cast(store)
            store.people.declare(ana, consent, LATER)
        with vault.begin(me) as store:
            assert store.people.declarations(ana) == [consent, READY]
            assert store.people.declarations(ana, "readiness") == [READY]
            assert store.people.declarations(bo) == []


class TestAGroup:
    def test_has_its_people_in_their_order(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            ana, bo = cast(store)
            store.people.set_group("Noon", (), NOW)
        with vault.begin(me) as store:
            assert store.people.group("DAWN") == Group("Dawn", (ana, bo))
            assert store.people.groups() == [Group("Dawn", (ana, bo)), Group("Noon")]
            store.people.set_group("dawn", (bo, ana), NOW)
            assert store.people.groups()[0] == Group("dawn", (bo, ana))
            assert store.people.remove_from_group("Dawn", bo, NOW)
            assert not store.people.remove_from_group("Dawn", bo, NOW)
            assert not store.people.remove_from_group("Dusk", bo, NOW)
            assert store.people.group("dawn") == Group("dawn", (ana,))

    def test_goes_without_its_people(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            cast(store)
            assert store.people.drop_group("dawn", NOW)
            assert not store.people.drop_group("dawn", NOW)
            assert store.people.groups() == []
            assert len(store.people.clients()) == 2
