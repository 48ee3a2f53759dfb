"""The contract of the diary: kept, taken back, handed out once, and gone with whom it is about."""

import json
from dataclasses import replace
from datetime import date, datetime, timedelta

import pytest

from core.client import ClientId
from core.diary import AwayId, ClassId
from core.instructor import OwnerId
from core.reminder import Kind, Reminder, ReminderId, Rhythm
from storage.errors import NobodyError, StrangerError
from storage.kept import Change, Claim
from tests.contract.cast import cast
from tests.contract.diary_cast import LAUNDRY, NO_REMINDER, SLOW, TUESDAYS, diary_cast, knee
from tests.contract.scene import NOW, AnyStore, AnyVault, UnluckyError, in_parallel

LEASE = timedelta(seconds=60)
SECOND = timedelta(seconds=1)


def state(store: AnyStore) -> object:
    """All of a diary."""
    diary = store.diary
    return diary.classes(), diary.away(), diary.reminders(), diary.rhythm()


def due(vault: AnyVault, owner: OwnerId, *instants: datetime) -> list[ReminderId]:
    """Reminders of her own, due at these instants."""
    with vault.begin(owner) as store:
        return [store.diary.add_reminder(replace(LAUNDRY, due=each), NOW).id for each in instants]


def spoil(store: AnyStore) -> None:
    """Change something of each kind, and fail.

    Raises:
        UnluckyError: always.
    """
    store.diary.drop_class(store.diary.classes()[0].id, NOW)
    store.diary.set_rhythm(Rhythm(), NOW)
    store.diary.settle(replace(store.diary.reminders()[0], due=None))
    raise UnluckyError


class TestDiary:
    def test_is_empty_with_the_usual_rhythm_at_first(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            assert state(store) == ([], [], [], Rhythm())
            assert store.diary.reminder(ReminderId(1)) is None

    def test_keeps_everything_as_it_was_given(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            ana, _ = cast(store)
            mine = store.diary.add_class(replace(TUESDAYS, people=(ana,)), NOW)
            later = store.diary.add_away(date(2026, 12, 20), date(2027, 1, 3), NOW)
            sooner = store.diary.add_away(date(2026, 8, 1), date(2026, 8, 1), NOW)
            asked = store.diary.add_reminder(knee(ana, NOW), NOW)
            store.diary.set_rhythm(SLOW, NOW)
        with vault.begin(me) as store:
            assert store.diary.classes() == [replace(TUESDAYS, id=mine.id, people=(ana,))]
            assert store.diary.away() == [sooner, later]
            assert store.diary.reminders() == [replace(knee(ana, NOW), id=asked.id)]
            assert store.diary.reminder(asked.id) == asked
            assert store.diary.rhythm() == SLOW

    def test_takes_everything_back_step_by_step(self, vault: AnyVault, me: OwnerId) -> None:
        states = []
        with vault.begin(me) as store:
            diary = store.diary
            states.append(state(store))
            mine = diary.add_class(TUESDAYS, NOW)
            states.append(state(store))
            diary.save_class(replace(mine, minutes=55), NOW)
            states.append(state(store))
            diary.drop_class(mine.id, NOW)
            states.append(state(store))
            away = diary.add_away(date(2026, 8, 1), date(2026, 8, 9), NOW)
            states.append(state(store))
            diary.drop_away(away.id, NOW)
            states.append(state(store))
            laundry = diary.add_reminder(replace(LAUNDRY, due=NOW), NOW)
            states.append(state(store))
            diary.save_reminder(replace(laundry, paused=True, due=None), NOW)
            states.append(state(store))
            diary.drop_reminder(laundry.id, NOW)
            states.append(state(store))
            diary.set_rhythm(SLOW, NOW)
            states.append(state(store))
            diary.set_rhythm(Rhythm(paused=True), NOW)
        undone = []
        while states:
            with vault.begin(me) as store:
                taken = store.people.undo()
                assert taken is not None
                undone.append(taken.what)
                assert state(store) == states.pop()
        assert undone == [
            *(Change.RHYTHM, Change.RHYTHM),
            *(Change.REMINDER, Change.REMINDER, Change.REMINDER),
            *(Change.AWAY, Change.AWAY),
            *(Change.CLASS, Change.CLASS, Change.CLASS),
        ]

    def test_plans_and_what_was_said_are_no_changes(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            mine = store.diary.add_class(TUESDAYS, NOW)
            store.diary.set_plan(replace(mine, plans=((date(2026, 4, 7), 9),)))
            store.diary.add_reminder(Reminder(NO_REMINDER, Kind.DIGEST, due=NOW), NOW)
            digest = store.diary.standing(Kind.DIGEST)
            assert digest is not None
            store.diary.settle(replace(digest, due=NOW + LEASE, rung=NOW))
            assert store.diary.classes()[0].plans == ((date(2026, 4, 7), 9),)
            kept = store.diary.standing(Kind.DIGEST)
            assert kept == replace(digest, due=NOW + LEASE, rung=NOW)
            assert store.people.undo() is not None
            assert store.people.undo() is None
            assert store.diary.standing(Kind.LEAD) is None

    def test_what_is_done_to_nothing_is_refused(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            diary = store.diary
            for job in (
                lambda: diary.drop_class(ClassId(9), NOW),
                lambda: diary.save_class(TUESDAYS, NOW),
                lambda: diary.drop_away(AwayId(9), NOW),
                lambda: diary.settle(LAUNDRY),
                lambda: diary.drop_reminder(ReminderId(9), NOW),
                lambda: diary.add_reminder(knee(ClientId(9)), NOW),
            ):
                with pytest.raises(NobodyError):
                    job()
            assert state(store) == ([], [], [], Rhythm())

    def test_is_nobody_elses(self, vault: AnyVault, me: OwnerId) -> None:
        you = vault.admit("console:you")
        with vault.begin(me) as store:
            ana, _ = cast(store)
            diary_cast(store, ana, NOW)
            mine = store.diary.reminders()[0].id
        with vault.begin(you) as store:
            assert state(store) == ([], [], [], Rhythm())
            assert store.diary.reminder(mine) is None
            with pytest.raises(NobodyError):
                store.diary.drop_reminder(mine, NOW)

    def test_a_failed_transaction_leaves_it_as_it_was(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            ana, _ = cast(store)
            diary_cast(store, ana, NOW)
            before = state(store)
        with pytest.raises(UnluckyError), vault.begin(me) as store:
            spoil(store)
        with vault.begin(me) as store:
            assert state(store) == before

    def test_what_she_was_told_long_ago_is_tidied_away(self, vault: AnyVault, me: OwnerId) -> None:
        once = replace(LAUNDRY, rung=NOW, due=None)
        with vault.begin(me) as store:
            ana, _ = cast(store)
            kept = [
                replace(once, rung=NOW + LEASE),
                replace(once, due=NOW),
                replace(once, paused=True),
                replace(once, rung=None),
                replace(knee(ana), rung=NOW),
            ]
            for each in (once, *kept):
                store.diary.add_reminder(each, NOW)
            assert store.diary.tidy(NOW + SECOND) == 1
            assert [replace(e, id=NO_REMINDER) for e in store.diary.reminders()] == kept

    def test_what_is_past_goes_and_what_comes_again_stays(
        self, vault: AnyVault, me: OwnerId
    ) -> None:
        past = replace(TUESDAYS, cadence=replace(TUESDAYS.cadence, rule=None, without=frozenset()))
        past = replace(past, moved=(), plans=())
        later = NOW + timedelta(days=400)
        with vault.begin(me) as store:
            ana, _ = cast(store)
            stays = store.diary.add_class(TUESDAYS, NOW)
            store.diary.add_class(past, NOW)
            store.diary.add_away(date(2026, 8, 1), date(2026, 8, 9), NOW)
            coming = store.diary.add_away(later.date(), later.date(), NOW)
            store.diary.add_reminder(replace(LAUNDRY, rung=NOW, due=None), NOW)
            asked = store.diary.add_reminder(replace(knee(ana), rung=NOW), NOW)
            assert store.diary.purge(later) == 3
            assert store.diary.purge(later) == 0
        with vault.begin(me) as store:
            assert [each.id for each in store.diary.classes()] == [stays.id]
            assert store.diary.away() == [coming]
            assert [each.id for each in store.diary.reminders()] == [asked.id]


class TestErasing:
    def test_takes_her_out_of_classes_and_reminders(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            ana, bo = cast(store)
            diary = store.diary
            diary.add_class(replace(TUESDAYS, group="", people=(ana,)), NOW)
            both = diary.add_class(replace(TUESDAYS, group="Ana and Bo", people=(ana, bo)), NOW)
            dawn = diary.add_class(TUESDAYS, NOW)
            diary.add_reminder(knee(ana, NOW), NOW)
            diary.add_reminder(replace(LAUNDRY, text="call ANA back", due=NOW), NOW)
            laundry = diary.add_reminder(replace(LAUNDRY, due=NOW), NOW)
            gone = diary.add_reminder(knee(ana), NOW)
            diary.drop_reminder(gone.id, NOW)
            counts = store.people.erase_client(ana, NOW)
            assert counts is not None
            assert (counts["classes"], counts["reminders"], counts["mentions"]) == (2, 2, 0)
        with vault.begin(me) as store:
            assert store.diary.classes() == [replace(both, group="", people=(bo,)), dawn]
            assert store.diary.reminders() == [laundry]
            while store.people.undo():
                assert "Ana" not in str(store.people.export(NOW))
                assert all(ana not in each.people for each in store.diary.classes())
                assert all(each.client != ana for each in store.diary.reminders())

    def test_export_of_one_has_her_classes_and_reminders(
        self, vault: AnyVault, me: OwnerId
    ) -> None:
        with vault.begin(me) as store:
            ana, bo = cast(store)
            store.diary.add_class(replace(TUESDAYS, group="Ana and Bo", people=(ana, bo)), NOW)
            store.diary.add_reminder(knee(ana, NOW), NOW)
            store.diary.add_reminder(knee(bo, NOW), NOW)
            store.diary.add_reminder(Reminder(NO_REMINDER, Kind.DIGEST, due=NOW), NOW)
            hers = store.people.export(NOW, ana)
            everything = store.people.export(NOW)
        assert [each["people"] for each in hers["classes"]] == [["Ana"]]
        assert [each["client"] for each in hers["reminders"]] == ["Ana"]
        assert "Bo" not in json.dumps(hers)
        assert [each["people"] for each in everything["classes"]] == [["Ana", "Bo"]]
        assert [each["text"] for each in everything["reminders"]] == ["the knee", "the knee"]
        assert json.loads(json.dumps(everything)) == everything


class TestClaims:
    def test_are_what_is_due_the_longest_waiting_first(self, vault: AnyVault, me: OwnerId) -> None:
        you = vault.admit("console:you")
        late, now, future = due(vault, me, NOW - 2 * SECOND, NOW, NOW + SECOND)
        (hers,) = due(vault, you, NOW - SECOND)
        assert vault.earliest_due() == NOW - 2 * SECOND
        claims = vault.claim_due(NOW, LEASE, 10, "w1")
        assert claims == [
            Claim(me, late, NOW - 2 * SECOND),
            Claim(you, hers, NOW - SECOND),
            Claim(me, now, NOW),
        ]
        assert vault.earliest_due() == NOW + SECOND
        assert future not in [each.reminder for each in claims]

    def test_are_given_once_until_the_lease_ends(self, vault: AnyVault, me: OwnerId) -> None:
        due(vault, me, NOW, NOW)
        assert len(vault.claim_due(NOW, LEASE, 1, "w1")) == 1
        assert len(vault.claim_due(NOW, LEASE, 9, "w2")) == 1
        assert vault.claim_due(NOW + LEASE - SECOND, LEASE, 9, "w2") == []
        assert len(vault.claim_due(NOW + LEASE, LEASE, 9, "w2")) == 2

    def test_end_when_the_reminder_is_settled(self, vault: AnyVault, me: OwnerId) -> None:
        (mine,) = due(vault, me, NOW)
        vault.claim_due(NOW, LEASE, 9, "w1")
        with vault.begin(me) as store:
            kept = store.diary.reminder(mine)
            assert kept is not None
            store.diary.settle(replace(kept, due=NOW + 2 * SECOND, rung=NOW))
        assert vault.earliest_due() == NOW + 2 * SECOND
        assert vault.claim_due(NOW + SECOND, LEASE, 9, "w2") == []
        assert len(vault.claim_due(NOW + 2 * SECOND, LEASE, 9, "w2")) == 1
        with vault.begin(me) as store:
            store.diary.settle(replace(kept, due=None))
        assert vault.earliest_due() is None

    def test_can_be_put_off(self, vault: AnyVault, me: OwnerId) -> None:
        due(vault, me, NOW)
        (claim,) = vault.claim_due(NOW, LEASE, 9, "w1")
        vault.put_off(claim, NOW + 5 * LEASE)
        assert vault.claim_due(NOW + 4 * LEASE, LEASE, 9, "w1") == []
        assert vault.claim_due(NOW + 5 * LEASE, LEASE, 9, "w1") == [claim]

    def test_of_whoever_is_let_in_no_longer_cannot_be_done(
        self, vault: AnyVault, me: OwnerId
    ) -> None:
        due(vault, me, NOW)
        vault.revoke("console:me")
        (claim,) = vault.claim_due(NOW, LEASE, 9, "w1")
        with pytest.raises(StrangerError), vault.begin(claim.owner):
            pass

    def test_at_once_never_overlap(self, vault: AnyVault, me: OwnerId) -> None:
        numbers = due(vault, me, *[NOW] * 40)
        taken = in_parallel(lambda n: vault.claim_due(NOW, LEASE, 5, f"w{n}"))
        flat = [claim.reminder for claims in taken for claim in claims]
        assert sorted(flat) == sorted(numbers)
