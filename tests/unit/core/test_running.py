"""Where a class stands while it is taught, by the taps that came and those that did not."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.running import OVERTIME, Running, RunningError, open_class
from tests.sheets import small_plan

PLAN = small_plan()
PLACES = len(PLAN.items)
HOUR = datetime(2026, 12, 1, 18, tzinfo=UTC)


def after(seconds: float) -> datetime:
    """So many seconds into the slot."""
    return HOUR + timedelta(seconds=seconds)


def opened(now: datetime = HOUR) -> Running:
    """The class opened at its hour."""
    return open_class(7, PLAN, HOUR, now)


def as_planned(places: int) -> Running:
    """The class, every place tapped to the second of the plan."""
    running = opened().next(after(PLAN.opening_s), PLACES)
    for item in PLAN.items[:places]:
        running = running.next(after(item.end_s), PLACES)
    return running


def test_a_class_opened_before_its_hour_waits_for_it() -> None:
    early = opened(HOUR - timedelta(minutes=10))
    assert early.began == HOUR
    assert early.in_hand_s(PLAN, HOUR - timedelta(minutes=5)) == 0
    assert early.next(HOUR - timedelta(minutes=1), PLACES).since == HOUR


def test_a_class_opened_after_its_hour_is_late_from_the_start() -> None:
    late = opened(after(PLAN.opening_s + 300)).next(after(PLAN.opening_s + 300), PLACES)
    assert late.in_hand_s(PLAN, after(PLAN.opening_s + 300)) == -300


@pytest.mark.parametrize(
    ("starts", "now"),
    [
        (None, HOUR),
        (HOUR, HOUR - timedelta(hours=2)),
        (HOUR, HOUR + timedelta(hours=2)),
        (HOUR - timedelta(days=3), HOUR),
    ],
)
def test_a_class_away_from_its_hour_begins_now(starts: datetime | None, now: datetime) -> None:
    assert open_class(7, PLAN, starts, now).began == now


def test_taps_to_the_second_leave_nothing_in_hand_and_time_every_place() -> None:
    running = as_planned(PLACES)
    assert running.ended == after(PLAN.items[-1].end_s)
    assert running.in_hand_s(PLAN, running.ended) == 0
    assert running.left_out(PLAN) == ()
    assert running.took(PLAN) == {
        item.n: item.transition_s + item.setup_s + item.duration_s for item in PLAN.items
    }


def test_time_in_hand_is_what_was_saved_until_a_place_takes_longer() -> None:
    running = opened().next(after(PLAN.opening_s), PLACES)
    first = PLAN.items[0]
    running = running.next(after(first.end_s - 30), PLACES)
    assert running.in_hand_s(PLAN, after(first.end_s - 30)) == 30
    second = PLAN.items[1]
    assert running.in_hand_s(PLAN, after(second.end_s + 20)) == -20


def test_a_skipped_place_has_no_time_and_is_left_out() -> None:
    running = as_planned(1).skip(after(PLAN.items[0].end_s + 2), PLACES)
    assert running.skipped == (2,)
    assert running.left_out(PLAN) == (2,)
    assert set(running.took(PLAN)) == {1}


def test_taps_made_up_for_later_time_nothing() -> None:
    running = opened().next(after(PLAN.opening_s), PLACES)
    late = after(PLAN.items[3].end_s)
    for n in range(4):
        running = running.next(late + timedelta(seconds=n), PLACES)
    assert running.took(PLAN) == {}
    assert running.left_out(PLAN) == ()


def test_back_is_as_if_the_tap_had_not_been() -> None:
    running = as_planned(3)
    moved = running.next(after(PLAN.items[3].end_s), PLACES)
    assert moved.back() == running
    over = as_planned(PLACES)
    assert over.reopen(PLACES) == as_planned(PLACES - 1)
    assert opened().back() == opened()


def test_stopped_by_a_slip_it_runs_on() -> None:
    running = as_planned(3)
    assert running.stop(after(PLAN.items[3].end_s)).reopen(PLACES) == running


def test_what_was_not_come_to_before_a_stop_is_left_out() -> None:
    running = as_planned(2)  # at 3 now
    stopped = running.stop(after(PLAN.items[1].end_s + 20))
    assert stopped.left_out(PLAN) == (4, 5, 6)
    # Nothing tapped for as long as two more places take: they were taught, untimed.
    long = running.stop(after(PLAN.items[4].start_s + 1))
    assert long.left_out(PLAN) == (6,)


def test_it_stops_by_itself_half_an_hour_after_its_slot() -> None:
    running = as_planned(2)
    end = HOUR + timedelta(seconds=PLAN.brief.slot_s)
    assert not running.lapsed(end + OVERTIME)
    assert running.lapsed(end + OVERTIME + timedelta(seconds=1))
    over = running.lapse()
    assert over.ended == end
    assert over.lasted_s() is None  # nobody said so
    assert over.left_out(PLAN) == ()  # not tapping is fine
    assert not over.lapsed(end + timedelta(days=1))


def test_a_change_of_plan_moves_the_clock_by_what_it_saves() -> None:
    running = as_planned(2)
    shorter = small_plan()
    now = after(PLAN.items[1].end_s)
    assert running.on(8, PLAN, shorter).in_hand_s(shorter, now) == running.in_hand_s(PLAN, now)
    assert running.on(8, PLAN, shorter).first == 7


def test_marks_stand_in_order_and_instants_have_a_zone() -> None:
    with pytest.raises(RunningError):
        Running(1, 1, HOUR, 1800, HOUR, place=3)
    with pytest.raises(RunningError):
        Running(1, 1, HOUR.replace(tzinfo=None), 1800, HOUR)


@given(
    st.lists(
        st.tuples(
            st.sampled_from(("next", "skip", "back", "stop", "reopen")),
            st.integers(0, 900),
        ),
        max_size=40,
    )
)
def test_whatever_is_tapped_it_stands_somewhere(taps: list[tuple[str, int]]) -> None:
    running, now = opened(), HOUR
    for what, wait in taps:
        now += timedelta(seconds=wait)
        match what:
            case "next":
                running = running.next(now, PLACES)
            case "skip":
                running = running.skip(now, PLACES)
            case "back":
                running = running.back()
            case "stop":
                running = running.stop(now)
            case _:
                running = running.reopen(PLACES)
        assert 0 <= running.place <= PLACES + 1
        assert (running.place > PLACES) <= (running.ended is not None)
        assert set(running.took(PLAN)).isdisjoint(running.left_out(PLAN))
        assert running.since <= now
        assert isinstance(running.in_hand_s(PLAN, now), int)
