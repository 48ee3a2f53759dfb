"""The contract of the vault: who gets in, and what a transaction promises, for every kind of it."""

from datetime import timedelta, timezone

import pytest

from core.instructor import Habits, Instructor, OwnerId
from storage.errors import StrangerError
from tests.builders import CHAIR, MAT, plan
from tests.contract.scene import (
    CODE,
    LIBRARY,
    NOW,
    THREADS,
    AnyVault,
    UnluckyError,
    everything,
    fill,
    in_parallel,
    spoil,
)


class TestTheDoor:
    def test_nobody_is_in_at_first(self, vault: AnyVault) -> None:
        assert not vault.anybody()
        assert vault.owner("console:me") is None

    def test_whoever_is_admitted_is_known_by_her_door(self, vault: AnyVault) -> None:
        me = vault.admit("console:me")
        assert vault.anybody()
        assert vault.owner("console:me") == me
        assert vault.owner("console:you") is None

    def test_admitting_again_changes_nothing(self, vault: AnyVault, me: OwnerId) -> None:
        assert vault.admit("console:me", "Asia/Tokyo") == me
        with vault.begin(me) as store:
            assert store.instructor().zone == "Europe/Madrid"

    def test_two_doors_are_two_people(self, vault: AnyVault, me: OwnerId) -> None:
        assert vault.admit("console:you") != me

    def test_doors_are_told_apart_to_the_last_digit(self, vault: AnyVault) -> None:
        doors = [f"telegram:{2**52 - n}" for n in (1, 2, 3)]
        owners = [vault.admit(door) for door in doors]
        assert len(set(owners)) == 3
        assert [vault.owner(door) for door in doors] == owners

    def test_one_door_at_once_is_one_person(self, vault: AnyVault) -> None:
        assert len(set(in_parallel(lambda _: vault.admit("console:me")))) == 1

    def test_nobody_behind_a_number_is_a_stranger(self, vault: AnyVault, me: OwnerId) -> None:
        with pytest.raises(StrangerError), vault.begin(OwnerId(me + 1)):
            pass


class TestACode:
    def test_lets_in_once(self, vault: AnyVault) -> None:
        vault.add_code(CODE, NOW + timedelta(hours=1))
        me = vault.redeem(CODE, "console:me", NOW)
        assert me is not None
        assert vault.owner("console:me") == me
        assert vault.redeem(CODE, "console:you", NOW) is None
        assert vault.owner("console:you") is None

    def test_is_worth_nothing_from_the_instant_it_expires(self, vault: AnyVault) -> None:
        vault.add_code(CODE, NOW)
        assert vault.redeem(CODE, "console:me", NOW) is None
        assert not vault.anybody()

    def test_expires_at_the_same_instant_in_every_zone(self, vault: AnyVault) -> None:
        east = timezone(timedelta(hours=9))
        vault.add_code(CODE, (NOW + timedelta(microseconds=1)).astimezone(east))
        assert vault.redeem(CODE, "console:me", NOW) is not None

    @pytest.mark.parametrize("other", [b"", CODE[:-1], CODE + b"\0", CODE.hex().encode()])
    def test_is_compared_byte_for_byte(self, vault: AnyVault, other: bytes) -> None:
        vault.add_code(CODE, NOW + timedelta(hours=1))
        assert vault.redeem(other, "console:me", NOW) is None

    def test_wrong_one_uses_nothing_up(self, vault: AnyVault) -> None:
        vault.add_code(CODE, NOW + timedelta(hours=1))
        vault.redeem(b"wrong", "console:you", NOW)
        assert vault.redeem(CODE, "console:me", NOW) is not None

    def test_given_again_takes_the_new_expiry(self, vault: AnyVault) -> None:
        vault.add_code(CODE, NOW)
        vault.add_code(CODE, NOW + timedelta(hours=1))
        assert vault.redeem(CODE, "console:me", NOW) is not None

    def test_leaves_somebody_already_in_who_she_is(self, vault: AnyVault, me: OwnerId) -> None:
        vault.add_code(CODE, NOW + timedelta(hours=1))
        assert vault.redeem(CODE, "console:me", NOW) == me

    def test_lets_in_one_of_many_at_once(self, vault: AnyVault) -> None:
        vault.add_code(CODE, NOW + timedelta(hours=1))
        got = in_parallel(lambda n: vault.redeem(CODE, f"console:{n}", NOW))
        inside = [n for n in range(THREADS) if vault.owner(f"console:{n}") is not None]
        assert [n for n, owner in enumerate(got) if owner is not None] == inside
        assert len(inside) == 1


class TestAnInstructor:
    def test_has_her_door_and_zone_and_no_habits_yet(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            assert store.instructor() == Instructor(me, "console:me", "Europe/Madrid")

    def test_keeps_zone_and_habits(self, vault: AnyVault, me: OwnerId) -> None:
        habits = Habits(50, (MAT.id, CHAIR.id))
        with vault.begin(me) as store:
            store.set_zone("Asia/Tokyo")
            store.set_habits(habits)
            assert store.instructor() == Instructor(me, "console:me", "Asia/Tokyo", habits)
        with vault.begin(me) as store:
            assert store.instructor() == Instructor(me, "console:me", "Asia/Tokyo", habits)


class TestATransaction:
    def test_that_fails_leaves_everything_as_it_was(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            fill(store)
            before = everything(store)
        with pytest.raises(UnluckyError), vault.begin(me) as store:
            spoil(store)
        with vault.begin(me) as store:
            assert everything(store) == before

    def test_that_fails_takes_no_number(self, vault: AnyVault, me: OwnerId) -> None:
        with pytest.raises(UnluckyError), vault.begin(me) as store:
            spoil(store)
        with vault.begin(me) as store:
            assert store.add_plan(plan(LIBRARY), LIBRARY, NOW).number == 1

    def test_sees_nothing_of_another_owner(self, vault: AnyVault, me: OwnerId) -> None:
        you = vault.admit("console:you")
        with vault.begin(you) as store:
            empty = everything(store)
        with vault.begin(me) as store:
            fill(store)
        with vault.begin(you) as store:
            assert everything(store) == empty
            assert not store.retire_exercise("own-hop")

    def test_of_another_owner_changes_nothing_here(self, vault: AnyVault, me: OwnerId) -> None:
        you = vault.admit("console:you")
        with vault.begin(me) as store:
            fill(store)
            before = everything(store)
        with vault.begin(you) as store:
            assert store.add_plan(plan(LIBRARY), LIBRARY, NOW).number == 1
            store.set_talk("chat", {"step": 9})
            store.keep_line("t1", "hers")
            store.describe(MAT)
            store.keep_exercise("own-hop", {"id": "own-hop", "name": "hers"})
            store.add_remark("mat-curl", "hers")
        with vault.begin(me) as store:
            assert everything(store) == before

    def test_loses_no_change_of_another_at_once(self, vault: AnyVault, me: OwnerId) -> None:
        def count(_: int) -> None:
            for _ in range(5):
                with vault.begin(me) as store:
                    store.set_talk("chat", {"n": store.talk("chat").get("n", 0) + 1})

        in_parallel(count)
        with vault.begin(me) as store:
            assert store.talk("chat") == {"n": 5 * THREADS}
