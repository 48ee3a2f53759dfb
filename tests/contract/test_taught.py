"""The contract of taught classes: what was taught, who was there, what was learned."""

from dataclasses import replace
from datetime import timedelta

import pytest

from core.client import ClientId
from core.exercise import ExerciseId
from core.instructor import OwnerId
from core.taught import Attendance, Done, TaughtClass, taught_items
from storage.errors import NobodyError
from tests.builders import brief, plan
from tests.contract.cast import LATER, cast
from tests.contract.scene import LIBRARY, NOW, AnyStore, AnyVault


def taught(store: AnyStore, group: str = "Dawn", days: int = 0) -> TaughtClass:
    """A class of a plan of its own, kept."""
    made = plan(LIBRARY, brief(group=group))
    number = store.add_plan(made, LIBRARY, NOW).number
    items = taught_items(made, LIBRARY.apparatus, (2,), {1: 77})
    each = TaughtClass(number, NOW + timedelta(days=days), 4, 90, items, 1700, 5, group)
    store.keep_taught(each)
    return each


def went(client: ClientId, at: int = 0, plan: int = 1) -> Attendance:
    """How a class went for somebody."""
    did = (Done(ExerciseId("mat-curl"), "none", 8),)
    return Attendance(client, plan, NOW + timedelta(days=at), True, 4, 1700, "tired", did)


class TestATaughtClass:
    def test_comes_back_as_it_was(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            assert store.taught() == []
            assert store.taught_class(1) is None
            first, second = taught(store), taught(store, "Noon", 1)
        with vault.begin(me) as store:
            assert store.taught() == [second, first]
            assert store.taught(1) == [second]
            assert store.taught_class(first.plan) == first
            assert store.taught(group="  dáwn") == [first]
            assert store.taught(group="dusk") == []

    def test_is_kept_anew_and_forgotten(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            first = taught(store)
            store.keep_taught(replace(first, rpe=8))
        with vault.begin(me) as store:
            assert [each.rpe for each in store.taught()] == [8]
            assert store.untaught(first.plan)
            assert not store.untaught(first.plan)
        with vault.begin(me) as store:
            assert store.taught() == []

    def test_is_nobody_elses(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            first = taught(store)
            store.keep_learned("pace", {"since": "x"})
        with vault.begin(vault.admit("console:you")) as store:
            assert store.taught() == []
            assert store.taught_class(first.plan) is None
            assert not store.untaught(first.plan)
            assert store.learned("pace") == {}

    def test_loses_the_name_of_whoever_is_erased(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            ana, _ = cast(store)
            first = taught(store, "Ana")
            store.people.erase_client(ana, NOW)
        with vault.begin(me) as store:
            assert store.taught() == [replace(first, group="")]

    def test_what_is_learned_is_kept_by_what_it_is_about(
        self, vault: AnyVault, me: OwnerId
    ) -> None:
        with vault.begin(me) as store:
            store.keep_learned("pace", {"since": "a"})
            store.keep_learned("pace", {"since": "b"})
            store.keep_learned("taste", {"n": 1})
        with vault.begin(me) as store:
            assert (store.learned("pace"), store.learned("taste")) == ({"since": "b"}, {"n": 1})


class TestAnAttendance:
    def test_comes_back_newest_first(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            ana, bo = cast(store)
            first, second = went(ana), went(ana, 2, 2)
            for each in (first, second, went(bo)):
                store.people.attend(each)
        with vault.begin(me) as store:
            people = store.people
            assert people.attended(ana) == [second, first]
            assert people.attended(ana, 1) == [second]
            assert people.attendances(1) == [first, went(bo)]
            assert people.attended(bo) == [went(bo)]

    def test_of_the_same_class_is_replaced(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            ana, _ = cast(store)
            store.people.attend(went(ana))
            store.people.attend(replace(went(ana), there=False, effort=None, did=()))
        with vault.begin(me) as store:
            (kept,) = store.people.attended(ana)
            assert (kept.there, kept.effort, kept.did) == (False, None, ())
            assert store.people.unattend(1) == 1
            assert store.people.unattend(1) == 0
            assert store.people.attended(ana) == []

    def test_needs_somebody(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store, pytest.raises(NobodyError):
            store.people.attend(went(ClientId(99)))

    def test_is_nobody_elses(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            ana, _ = cast(store)
            store.people.attend(went(ana))
        with vault.begin(vault.admit("console:you")) as store:
            assert store.people.attended(ana) == []
            assert store.people.attendances(1) == []

    def test_goes_with_her_and_is_counted(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            ana, bo = cast(store)
            store.people.attend(went(ana))
            store.people.attend(went(bo))
            counts = store.people.erase_client(ana, NOW)
            assert counts is not None
            assert counts["attendances"] == 1
            assert store.people.attendances(1) == [went(bo)]

    def test_is_given_out_with_her(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            ana, bo = cast(store)
            store.people.attend(went(ana))
            store.people.attend(went(bo))
            (form,) = store.people.export(NOW, ana)["clients"]
        (kept,) = form["attendances"]
        assert (kept["plan"], kept["effort"], kept["note"]) == (1, 4, "tired")
        assert kept["did"] == [{"exercise": "mat-curl", "springs": "none", "reps": 8}]

    def test_grows_old_as_notes_do(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            ana, _ = cast(store)
            store.people.attend(went(ana))
            store.people.attend(went(ana, 5, 2))
            store.people.purge(LATER, NOW)
            assert [each.plan for each in store.people.attended(ana)] == [2]
            assert store.people.audit()[0].counts["attendances"] == 1
