"""The contract of the store: what is kept comes back, for every kind of it."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone

import pytest

from core.codec import StaleError
from core.instructor import OwnerId
from core.saved import DatedPlan
from tests.builders import CHAIR, MAT, brief, plan, record, repertoire
from tests.contract.scene import LIBRARY, NOW, THREADS, AnyStore, AnyVault, in_parallel


class TestAPlan:
    def test_comes_back_as_it_was(self, vault: AnyVault, me: OwnerId) -> None:
        made = plan(LIBRARY, brief(group="Tue 18h", starts=datetime(2026, 4, 1, 18)))  # noqa: DTZ001
        with vault.begin(me) as store:
            saved = store.add_plan(made, LIBRARY, NOW)
            assert (saved.number, saved.plan, saved.made_at) == (1, made, NOW)
            assert store.plan(1, LIBRARY) == saved
        with vault.begin(me) as store:
            assert store.plan(1, LIBRARY) == saved
            assert store.latest_plan(LIBRARY) == saved

    def test_comes_back_at_an_aware_instant_in_utc(self, vault: AnyVault, me: OwnerId) -> None:
        summer = timezone(timedelta(hours=2))
        moment = datetime(2026, 7, 1, 8, 15, 30, 123456, tzinfo=summer)
        with vault.begin(me) as store:
            assert store.add_plan(plan(LIBRARY), LIBRARY, moment).made_at.tzinfo is UTC
        with vault.begin(me) as store:
            saved = store.plan(1, LIBRARY)
            assert saved is not None
            assert saved.made_at == moment
            assert saved.made_at.utcoffset() == timedelta(0)

    def test_made_at_no_instant_is_refused(self, vault: AnyVault, me: OwnerId) -> None:
        wall = NOW.replace(tzinfo=None)
        with pytest.raises(ValueError, match="needs a zone"), vault.begin(me) as store:
            store.add_plan(plan(LIBRARY), LIBRARY, wall)

    @pytest.mark.parametrize("number", [-1, 0, 2, 2**31 - 1, 2**31, 2**63, 10**30])
    def test_of_another_number_is_none(self, vault: AnyVault, me: OwnerId, number: int) -> None:
        with vault.begin(me) as store:
            store.add_plan(plan(LIBRARY), LIBRARY, NOW)
            assert store.plan(number, LIBRARY) is None

    def test_is_numbered_without_holes_from_many_threads(self, vault: AnyVault) -> None:
        owners = [vault.admit("console:me"), vault.admit("console:you")]
        made = plan(LIBRARY)

        def add(n: int) -> list[int]:
            numbers = []
            for _ in range(4):
                with vault.begin(owners[n % 2]) as store:
                    numbers.append(store.add_plan(made, LIBRARY, NOW).number)
            return numbers

        lists = in_parallel(add)
        for which in (0, 1):
            numbers = [number for each in lists[which::2] for number in each]
            assert sorted(numbers) == list(range(1, 4 * THREADS // 2 + 1))

    def test_naming_what_the_library_lost_is_stale(self, vault: AnyVault, me: OwnerId) -> None:
        smaller = repertoire(record("mat-curl"))
        with vault.begin(me) as store:
            store.add_plan(plan(LIBRARY), LIBRARY, NOW)
            with pytest.raises(StaleError):
                store.plan(1, smaller)
            with pytest.raises(StaleError):
                store.latest_plan(smaller)


class TestPlansBetween:
    def test_stand_by_their_beginning_the_latest_of_each(
        self, vault: AnyVault, me: OwnerId
    ) -> None:
        nine, noon, later = (
            datetime(2026, 12, day, hour)  # noqa: DTZ001 - a time on her wall
            for day, hour in ((1, 9), (1, 12), (2, 9))
        )
        with vault.begin(me) as store:
            assert store.plans_between(nine, later) == []
            for starts in (noon, None, nine, later, noon):
                store.add_plan(plan(LIBRARY, brief(starts=starts)), LIBRARY, NOW)
        with vault.begin(vault.admit("console:you")) as store:
            assert store.plans_between(nine, later) == []
        with vault.begin(me) as store:
            every = [DatedPlan(3, nine), DatedPlan(5, noon), DatedPlan(4, later)]
            assert store.plans_between(nine, later) == every
            minute = timedelta(minutes=1)
            assert store.plans_between(nine + minute, later - minute) == every[1:2]
            assert store.plans_between(nine, nine) == every[:1]


class TestGroups:
    def test_there_are_none_without_plans(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            assert store.latest_plan(LIBRARY) is None
            assert store.latest_plan(LIBRARY, "Tue") is None
            assert store.groups() == []

    def test_latest_first_each_once_as_last_written(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            for group in ("tue 18h", "", "Léa", "Tue, 18h", "Fri"):
                store.add_plan(plan(LIBRARY, brief(group=group)), LIBRARY, NOW)
            assert store.groups() == ["Fri", "Tue, 18h", "Léa"]

    def test_latest_plan_of_one_is_found_however_it_is_spelled(
        self, vault: AnyVault, me: OwnerId
    ) -> None:
        with vault.begin(me) as store:
            for group in ("Léa", "Tue", "LEA", "Tue", ""):
                store.add_plan(plan(LIBRARY, brief(group=group)), LIBRARY, NOW)
        with vault.begin(me) as store:
            assert number_of(store, "lea") == 3
            assert number_of(store, " TUE ") == 4
            assert number_of(store, "Wed") is None
            assert number_of(store, None) == 5

    def test_named_by_emoji_alone_are_told_apart(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            for group in ("🌙", "☀️", ""):
                store.add_plan(plan(LIBRARY, brief(group=group)), LIBRARY, NOW)
            assert store.groups() == ["☀️", "🌙"]
            assert number_of(store, "🌙") == 1


class TestATalk:
    def test_is_empty_until_something_is_open(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            assert store.talk("chat") == {}

    def test_is_kept_for_each_chat(self, vault: AnyVault, me: OwnerId) -> None:
        first = {"plan": 3, "asked": ["how long?", None], "deep": {"x": [1.5, True]}, "é": "🧘"}
        with vault.begin(me) as store:
            store.set_talk("a", first)
            store.set_talk("b", {"plan": 4})
            assert store.talk("a") == first
        with vault.begin(me) as store:
            assert (store.talk("a"), store.talk("b")) == (first, {"plan": 4})
            store.set_talk("a", {})
        with vault.begin(me) as store:
            assert (store.talk("a"), store.talk("b")) == ({}, {"plan": 4})

    def test_is_no_longer_the_callers_once_set(self, vault: AnyVault, me: OwnerId) -> None:
        for n in (1, 2):
            talk = {"items": [n]}
            with vault.begin(me) as store:
                store.set_talk("chat", talk)
                talk["items"].append(8)
                store.talk("chat")["items"].append(9)
            with vault.begin(me) as store:
                assert store.talk("chat") == {"items": [n]}

    def test_changed_deep_inside_and_set_again_is_kept(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            store.set_talk("chat", {"items": [1]})
        with vault.begin(me) as store:
            talk = store.talk("chat")
            talk["items"].append(2)
            store.set_talk("chat", talk)
        with vault.begin(me) as store:
            assert store.talk("chat") == {"items": [1, 2]}


class TestALine:
    def test_is_found_by_its_token(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            assert store.line("t1") is None
            store.keep_line("t1", "swap 3 → 🪑 \N{LATIN SMALL LETTER E}\N{COMBINING ACUTE ACCENT}")
            store.keep_line("T1", "drop 2")
        with vault.begin(me) as store:
            assert store.line("t1") == "swap 3 → 🪑 e\u0301"
            assert store.line("T1") == "drop 2"

    def test_kept_again_is_replaced(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            store.keep_line("t1", "drop 2")
            store.keep_line("t1", "drop 2")
            store.keep_line("t1", "drop 3")
        with vault.begin(me) as store:
            assert store.line("t1") == "drop 3"


class TestHerApparatus:
    def test_is_what_she_described_last(self, vault: AnyVault, me: OwnerId) -> None:
        mine = replace(CHAIR, name="pedal chair", most=1, rig=(("pedal", ("split", "joined")),))
        with vault.begin(me) as store:
            assert store.apparatus() == {}
            store.describe(MAT)
            store.describe(CHAIR)
            store.describe(mine)
        with vault.begin(me) as store:
            assert store.apparatus() == {MAT.id: MAT, CHAIR.id: mine}
            store.describe(replace(MAT, swap_s=20))
        with vault.begin(me) as store:
            assert list(store.apparatus().items()) == [
                (MAT.id, replace(MAT, swap_s=20)),
                (CHAIR.id, mine),
            ]


class TestHerExercises:
    def test_stand_in_the_order_added(self, vault: AnyVault, me: OwnerId) -> None:
        tables = [record(f"own-{name}", cues=["Lift 🪶"]) for name in ("hop", "arc", "bow")]
        with vault.begin(me) as store:
            assert store.exercises() == []
            for table in tables:
                store.keep_exercise(table["id"], table)
        with vault.begin(me) as store:
            assert store.exercises() == tables
            store.exercises()[1]["cues"].append("changed by the caller alone")
            store.keep_exercise("own-hop", tables[0] | {"effort": 9})
        with vault.begin(me) as store:
            assert store.exercises() == [tables[0] | {"effort": 9}, *tables[1:]]

    def test_retired_are_out_of_use_until_kept_again(self, vault: AnyVault, me: OwnerId) -> None:
        hop, arc = record("own-hop"), record("own-arc")
        with vault.begin(me) as store:
            store.keep_exercise("own-hop", hop)
            store.keep_exercise("own-arc", arc)
            assert store.retire_exercise("own-hop")
            assert store.exercises() == [arc]
        with vault.begin(me) as store:
            assert not store.retire_exercise("own-hop")
            assert not store.retire_exercise("own-bow")
            store.keep_exercise("own-hop", hop)
        with vault.begin(me) as store:
            assert store.exercises() == [hop, arc]


class TestRemarks:
    def test_stand_by_exercise_in_the_order_written(self, vault: AnyVault, me: OwnerId) -> None:
        with vault.begin(me) as store:
            assert store.remarks("mat-curl") == []
            for text in ("zip up", "ribs 🙂", "zip up"):
                store.add_remark("mat-curl", text)
            store.add_remark("mat-bridge", "heels")
        with vault.begin(me) as store:
            assert store.remarks("mat-curl") == ["zip up", "ribs 🙂", "zip up"]
            assert store.remarks("mat-bridge") == ["heels"]


def number_of(store: AnyStore, group: str | None) -> int | None:
    """The number of the latest plan for a group."""
    saved = store.latest_plan(LIBRARY, group)
    return saved.number if saved else None
