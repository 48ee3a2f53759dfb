"""The public form of a reply and of a plan, each field looked at."""

from collections.abc import Mapping
from itertools import pairwise
from typing import Any

from core.apparatus import ApparatusId
from core.codec import plan_from_json, plan_to_json
from core.exercise import Demand, Direction, ExerciseId, Phase, Position
from core.plan import Weight
from core.repertoire import shipped
from core.rules import check

Form = Mapping[str, Any]

REPLY = ["to", "text", "buttons", "files", "data"]
PLAN = {"id", "slot_s", "total_s", "brief", "sections", "findings", "search"}
ITEM = {
    "n", "exercise", "name", "apparatus", "position", "level", "springs", "sides", "sets", "reps",
    "start_s", "transition_s", "setup_s", "duration_s", "directions", "demands", "options",
    "verdicts",
}  # fmt: skip
BRIEF = {
    "minutes", "apparatus", "level", "focus", "without", "must", "people", "group", "starts",
}  # fmt: skip


def check_reply(reply: Form) -> None:
    """Assert that a reply has the public form."""
    assert list(reply) == REPLY
    assert isinstance(reply["to"], str)
    assert reply["to"]
    assert isinstance(reply["text"], str)
    assert reply["text"].strip()
    for n, button in enumerate(reply["buttons"], 1):
        assert set(button) == {"n", "label", "line"}
        assert button["n"] == n
        assert button["label"]
        assert button["line"]
    for file in reply["files"]:
        assert set(file) == {"name", "kind", "bytes"}
    assert isinstance(reply["data"], dict)


def items_of(plan: Form) -> list[dict[str, Any]]:
    """The items of all sections, in order."""
    return [item for section in plan["sections"] for item in section["items"]]


def check_plan(plan: Form) -> None:
    """Assert that a plan has the public form, that its clock adds up, and that it keeps the rules.

    Other fields may stand beside the public ones.
    """
    assert set(plan) >= PLAN
    assert set(plan["brief"]) >= BRIEF
    assert set(plan["search"]) >= {"seed", "iterations", "objective", "elapsed_ms"}
    assert all(type(value) is int for value in plan["search"].values())
    assert plan["search"]["iterations"] > 0
    assert type(plan["id"]) is int
    assert plan["slot_s"] == plan["brief"]["minutes"] * 60
    assert plan["slot_s"] - 60 <= plan["total_s"] <= plan["slot_s"]
    assert [section["phase"] for section in plan["sections"]] == [phase.value for phase in Phase]
    for section in plan["sections"]:
        assert set(section) >= {"phase", "items"}
        assert section["items"]
    for finding in plan["findings"]:
        assert set(finding) >= {"rule", "weight", "facts", "place"}
        assert finding["weight"] == Weight.NOTE.value
        assert all(isinstance(fact, str) for fact in finding["facts"])
    items = items_of(plan)
    assert [item["n"] for item in items] == list(range(1, len(items) + 1))
    for item in items:
        _check_item(item)
    _check_clock(plan, items)
    again = plan_from_json(plan, shipped())
    assert plan_to_json(again, shipped(), plan["id"]) == plan
    assert [f for f in check(again, shipped()) if f.weight is Weight.FAULT] == []


def _check_clock(plan: Form, items: list[dict[str, Any]]) -> None:
    first, last = items[0], items[-1]
    assert first["transition_s"] == 0
    assert first["start_s"] == plan["opening_s"] > 0
    for before, after in pairwise(items):
        ends = before["start_s"] + before["setup_s"] + before["duration_s"]
        assert after["start_s"] == ends + after["transition_s"]
        assert after["transition_s"] > 0
    ends = last["start_s"] + last["setup_s"] + last["duration_s"]
    assert plan["total_s"] == ends + plan["closing_s"]
    assert plan["closing_s"] > 0


def _check_item(item: Form) -> None:
    assert set(item) >= ITEM
    e = shipped()[ExerciseId(item["exercise"])]
    on = shipped().apparatus[ApparatusId(item["apparatus"])]
    assert item["name"] == e.name
    assert item["apparatus"] == e.apparatus
    assert Position(item["position"]) is e.position
    assert item["level"] == int(e.level)
    assert item["sides"] == e.sides
    assert item["sets"] in (1, 2)
    assert e.reps.low <= item["reps"] <= e.reps.high
    assert item["setup_s"] >= 0
    assert item["duration_s"] > 0
    assert set(map(Direction, item["directions"])) == e.directions
    assert set(map(Demand, item["demands"])) == e.demands
    assert item["verdicts"] == []
    if e.springs:
        assert str(on.parse(item["springs"])) == item["springs"]
    else:
        assert item["springs"] is None
    for option in item["options"]:
        assert option["kind"] in ("easier", "harder")
        if "exercise" in option:
            assert shipped()[ExerciseId(option["exercise"])].name == option["name"]
        else:
            assert on.parse(option["springs"])
            assert isinstance(option["lighter"], bool)
