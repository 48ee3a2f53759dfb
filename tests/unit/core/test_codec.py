"""Plans and briefs go to JSON and come back the same."""

import json
from dataclasses import replace
from datetime import datetime
from typing import Any

import pytest

from core.brief import ClassBrief
from core.codec import (
    StaleError,
    brief_from_json,
    brief_to_json,
    options,
    plan_from_json,
    plan_to_json,
)
from core.exercise import ExerciseId, Level, Load
from core.plan import ClassPlan, Pin
from core.repertoire import shipped
from tests.builders import plan, record, repertoire
from tests.composed import asked, composed

LIBRARY = shipped()
BRIEFS = (
    asked(20, ("mat",)),
    asked(50, focus=("glutes", "back"), without=("wrists", "prone"), people=12),
    asked(45, ("reformer",), level=Level.FUNDAMENTAL, must=("reformer-elephant",)),
    asked(60, ("tower", "mat"), level=Level.ADVANCED),
)


def through_text(form: dict[str, Any]) -> dict[str, Any]:
    """The form, written as text and read again."""
    read: dict[str, Any] = json.loads(json.dumps(form, allow_nan=False))
    return read


@pytest.mark.parametrize("brief", BRIEFS)
def test_a_plan_comes_back_the_same(brief: ClassBrief) -> None:
    made = composed(brief)
    form = through_text(plan_to_json(made, LIBRARY, 7))
    assert form["id"] == 7
    assert plan_from_json(form, LIBRARY) == made


def test_findings_pins_and_notes_come_back_too() -> None:
    library = repertoire()
    made = plan(library)
    pinned = replace(made.items[0].step, pins=frozenset({Pin.REPS, Pin.SPRINGS}))
    made = replace(made, items=(replace(made.items[0], step=pinned), *made.items[1:]))
    assert plan_from_json(through_text(plan_to_json(made, library)), library) == made


@pytest.mark.parametrize(
    "brief",
    [
        *BRIEFS,
        replace(BRIEFS[0], group="dawn", starts=datetime(2026, 12, 1, 18, 30)),  # noqa: DTZ001 - wall time
        replace(BRIEFS[0], dropped=(ExerciseId("mat-saw"),)),
    ],
)
def test_a_brief_comes_back_the_same(brief: ClassBrief) -> None:
    assert brief_from_json(through_text(brief_to_json(brief))) == brief


def test_the_public_form_says_what_a_reader_needs() -> None:
    made = composed(BRIEFS[1])
    form = plan_to_json(made, LIBRARY, 3)
    assert (form["slot_s"], form["total_s"]) == (3000, made.total_s)
    items = [item for section in form["sections"] for item in section["items"]]
    assert [item["n"] for item in items] == list(range(1, len(made.items) + 1))
    assert (
        form["total_s"]
        == items[-1]["start_s"] + items[-1]["setup_s"] + items[-1]["duration_s"] + form["closing_s"]
    )
    for item in items:
        sprung = LIBRARY[item["exercise"]].springs is not None
        assert (item["springs"] is not None) == sprung
    assert form["brief"]["level"] is None


def test_a_form_kept_before_a_field_was_added_is_still_read() -> None:
    made = composed(BRIEFS[0])
    form = through_text(plan_to_json(made, LIBRARY))
    del form["brief"]["dropped"]
    for section in form["sections"]:
        for item in section["items"]:
            del item["pins"]
    assert plan_from_json(form, LIBRARY) == made


def test_an_exercise_that_is_gone_is_named() -> None:
    form = through_text(plan_to_json(plan(repertoire()), repertoire()))
    fewer = repertoire(record("mat-curl"))
    with pytest.raises(StaleError, match="no longer has mat-bridge"):
        plan_from_json(form, fewer)


def test_springs_that_are_gone_are_named() -> None:
    library = repertoire()
    form = through_text(plan_to_json(plan(library), library))
    form["sections"][0]["items"][2]["springs"] = "9"
    with pytest.raises(StaleError, match=r"Chair press: '9' is no spring of the chair"):
        plan_from_json(form, library)


def test_options_say_which_way_the_springs_go() -> None:
    for e in LIBRARY.exercises.values():
        rank = LIBRARY.apparatus[e.apparatus].rank
        for option in options(e, LIBRARY):
            if "springs" not in option:
                assert LIBRARY[option["exercise"]].name == option["name"]
                continue
            assert e.springs is not None
            assert e.load in (Load.RESIST, Load.ASSIST)
            setting = LIBRARY.apparatus[e.apparatus].parse(option["springs"])
            assert option["lighter"] == (rank(setting) < rank(e.springs.usual)), e.id


def test_a_plan_of_one_has_the_same_seed_in_its_form() -> None:
    made: ClassPlan = composed(BRIEFS[0])
    form = plan_to_json(made, LIBRARY)
    assert form["search"]["seed"] == made.search.seed
    assert form["search"]["iterations"] > 0
