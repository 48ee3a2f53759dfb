"""A taught class and what follows from it."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from core.client import Client, ClientId, Flag
from core.taught import (
    Attendance,
    FollowUp,
    TaughtClass,
    TaughtError,
    Why,
    follow_ups,
    taught_items,
)
from core.timing import Pace, timeline
from tests.builders import plan, repertoire

AT = datetime(2026, 11, 24, 18, tzinfo=UTC)
TODAY = AT.date()
ANA = Client(ClientId(1), "ANA")
LIBRARY = repertoire()


def made(**changes: object) -> TaughtClass:
    """A class of three places, as planned."""
    asked = plan(LIBRARY)
    items = taught_items(asked, LIBRARY.apparatus, (2,), {1: 90, 2: 50})
    whole = TaughtClass(3, AT, 4, asked.opening_s + asked.closing_s, items)
    return replace(whole, **changes)  # type: ignore[arg-type]


def there(*kept: bool) -> list[Attendance]:
    """Her classes, the newest first."""
    return [Attendance(ANA.id, n, AT - timedelta(days=n), each) for n, each in enumerate(kept)]


def test_places_are_on_the_clock_without_anybodys_pace() -> None:
    asked = plan(LIBRARY)
    slow = replace(
        asked, items=timeline(asked.steps, asked.brief, LIBRARY.apparatus, Pace(1.4, 1.4))
    )
    assert taught_items(slow, LIBRARY.apparatus) == taught_items(asked, LIBRARY.apparatus)
    first = taught_items(asked, LIBRARY.apparatus)[0]
    assert first.change_s == asked.items[0].transition_s
    assert first.work_s == asked.items[0].setup_s + asked.items[0].duration_s
    assert first.kinds == ("on mat", "lying")


def test_what_was_skipped_counts_for_nothing() -> None:
    each = made()
    assert [item.took_s for item in each.items] == [90, None, None]
    assert [item.n for item in each.done] == [1, 3]
    work = sum(item.change_s + item.work_s for item in each.done)
    assert each.planned_s == each.talk_s + work
    assert each.lasted_s == each.planned_s
    assert made(took_s=1500).lasted_s == 1500


@pytest.mark.parametrize(
    "change", [{"rpe": 11}, {"rpe": -1}, {"took_s": 60}, {"at": AT.replace(tzinfo=None)}]
)
def test_a_class_that_can_not_be_is_refused(change: dict[str, object]) -> None:
    with pytest.raises(TaughtError):
        made(**change)


def test_effort_of_a_person_is_0_to_10() -> None:
    with pytest.raises(TaughtError):
        Attendance(ANA.id, 1, AT, effort=12)
    assert "ANA" not in repr(Attendance(ANA.id, 1, AT, note="ANA sore"))


def test_a_new_complaint_is_asked_about_in_two_days() -> None:
    assert follow_ups(ANA, there(True), ["knee"], TODAY) == (
        FollowUp(ANA.id, Why.COMPLAINT, TODAY + timedelta(days=2), "knee"),
    )


@pytest.mark.parametrize(
    ("kept", "writes"),
    [((False, False), True), ((False, True, False), False), ((False,), False), ((True,), False)],
)
def test_two_missed_in_a_row_are_written_about(kept: tuple[bool, ...], writes: bool) -> None:
    found = follow_ups(ANA, there(*kept), (), TODAY)
    assert [each.why for each in found] == ([Why.MISSED] if writes else [])


@pytest.mark.parametrize(
    ("days", "asked"), [(-3, TODAY), (0, TODAY), (7, TODAY + timedelta(days=7)), (8, None)]
)
def test_a_review_that_is_near_or_past_is_asked_about(days: int, asked: date | None) -> None:
    flag = Flag("wrist", review=TODAY + timedelta(days=days))
    found = follow_ups(replace(ANA, flags=(flag,)), there(True), (), TODAY)
    want = () if asked is None else (FollowUp(ANA.id, Why.REVIEW, asked, "wrist"),)
    assert found == want
