"""The terminal door: what is typed, what comes back, and the form it has."""

import re

import pytest

from tests.e2e.contract import check_plan, check_reply, items_of
from tests.talk import NOW, Talk, labels, same_line, too_wide

PLANS = (
    "plan 50 chair",
    "plan 20 mat level 1",
    "plan 45 mat tue 18:00 level 2 focus glutes no wrists for dawn",
    "plan 55 reformer private with mermaid",
    "plan 50 chair mat 6 people",
    "plan 90 reformer level 3 focus legs",
)


@pytest.fixture
def talk() -> Talk:
    """A conversation with nothing said yet."""
    return Talk()


@pytest.mark.parametrize("line", PLANS)
def test_a_plan_has_its_public_form_and_fits_a_phone(talk: Talk, line: str) -> None:
    reply = talk.say(line)
    check_reply(reply)
    check_plan(reply["data"]["plan"])
    assert reply["data"]["plan"]["id"] == 1
    assert too_wide(reply) == []


def test_the_brief_is_what_was_asked(talk: Talk) -> None:
    brief = talk.plan("plan 45 mat tue 18:00 level 2 focus glutes no wrists for dawn")["brief"]
    assert brief["minutes"] == 45
    assert brief["apparatus"] == ["mat"]
    assert brief["level"] == 2
    assert [aim["name"] for aim in brief["focus"]] == ["glutes"]
    assert [bar["name"] for bar in brief["without"]] == ["wrists"]
    assert brief["group"] == "dawn"
    assert brief["starts"] == "2026-12-01T18:00"
    assert (brief["must"], brief["people"]) == ([], 4)


def test_what_must_be_there_is_and_what_is_barred_is_not(talk: Talk) -> None:
    items = items_of(talk.plan("plan 50 chair with mermaid no prone"))
    assert "chair-mermaid" in [item["exercise"] for item in items]
    assert not [item for item in items if "prone" in item["demands"]]


def test_every_exercise_has_its_line_under_the_head_of_its_part(talk: Talk) -> None:
    reply = talk.say("plan 50 chair")
    plan, lines = reply["data"]["plan"], reply["text"].splitlines()
    heads = [line for line in lines if re.fullmatch(r"[A-Z-]+ · \d+ min", line)]
    assert [head.partition(" ·")[0].lower() for head in heads] == [
        section["phase"] for section in plan["sections"]
    ]
    numbered = [line for line in lines if re.match(r" ?\d+ +\d+:\d\d ", line)]
    assert len(numbered) == len(items_of(plan))
    for line, item in zip(numbered, items_of(plan), strict=True):
        number, clock, *_, last = line.split()
        assert int(number) == item["n"]
        assert clock == f"{item['start_s'] // 60}:{item['start_s'] % 60:02}"
        sets = f"{item['sets']}·" if item["sets"] > 1 else ""
        assert last == f"{sets}{item['reps']}" + ("×2" if item["sides"] == 2 else "")


def test_the_totals_and_the_standing_line_come_after(talk: Talk) -> None:
    reply = talk.say("plan 50 chair for dawn")
    plan, said = reply["data"]["plan"], same_line(reply["text"])
    total, slot = plan["total_s"], plan["slot_s"]
    assert f"Ends {total // 60}:{total % 60:02} of {slot // 60}:00" in said
    for what in ("spring change", "position change", "flexion", "extension", "side", "rotation"):
        assert what in said
    assert "dawn is new to me" in said
    assert "Health questions belong to the client's clinician" in said


def test_what_can_not_be_honoured_is_said(talk: Talk) -> None:
    reply = talk.say("plan 50 chair with pike no pike")
    check_reply(reply)
    assert reply["data"]["plan"] is None
    assert reply["data"]["proven"] is True
    assert "rule each other out" in same_line(reply["text"])
    assert talk.plans == 0


def test_show_gives_the_plan_again_and_one_place_of_it(talk: Talk) -> None:
    plan = talk.plan("plan 50 chair")
    assert talk.plan("show") == plan
    assert talk.plan("show #1") == plan
    seven = talk.say("show 7")
    check_reply(seven)
    assert seven["data"]["item"] == items_of(plan)[6]
    assert items_of(plan)[6]["name"] in same_line(seven["text"])
    assert labels(seven)[-1] == "Whole class"
    for line in ("show 0", "show -1", "show 99"):
        assert talk.say(line)["data"]["error"] == "NoSuchPlace"
    for line in ("show #0", "show #2", "why #99"):
        assert talk.say(line)["data"]["error"] == "NoSuchPlan"


def test_why_gives_reasons(talk: Talk) -> None:
    plan = talk.plan("plan 50 chair focus glutes")
    whole = talk.say("why")
    check_reply(whole)
    for word in ("Arc:", "Balance:", "Changes:", "Focus:", "Given up:"):
        assert word in whole["text"]
    assert whole["data"]["why"]["focus_s"]["glutes"] > 0
    for item in items_of(plan):
        place = talk.say(f"why {item['n']}")
        check_reply(place)
        assert place["data"]["why"]["exercise"] == item["exercise"]
        assert place["text"].startswith(f"{item['n']}. ")


def test_another_is_the_same_wish_and_another_class(talk: Talk) -> None:
    first = talk.plan("plan 50 chair focus glutes")
    plans = [first, *(talk.plan("another") for _ in range(2))]
    assert [plan["id"] for plan in plans] == [1, 2, 3]
    assert all(plan["brief"] == first["brief"] for plan in plans)
    taught = [{item["exercise"] for item in items_of(plan)} for plan in plans]
    assert len(taught[0] & taught[1]) < len(taught[0]) / 2
    assert taught[1] != taught[2]
    for plan in plans:
        check_plan(plan)


def test_before_there_is_a_plan_none_can_be_asked_about(talk: Talk) -> None:
    for line in ("show", "show 7", "why", "why 7", "another"):
        reply = talk.say(line)
        assert reply["data"] == {"error": "NoPlanYet"}
        assert "plan 50 chair" in same_line(reply["text"])


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("", "nothing I can read"),
        ("   ", "nothing I can read"),
        ("🙂🙃", "nothing I can read"),
        ("\x00\x1b\x7f", "nothing I can read"),
        ("/", "nothing I can read"),
        ("x" * 10_000, "10000 characters"),
        ("plan " * 2000, "10000 characters"),
        ("plan -5", "-5 is out of range"),
        ("plan 500 chair", "500 is out of range"),
        ("plan 50 spaceship", "“spaceship”"),
        ("plan 50 chair 🙂", "“🙂”"),
        ("'; DROP TABLE plans; --", "“'”"),
        ("plan 50 chair'; DELETE FROM plans", "“DELETE”"),
        ("<script>alert(1)</script>", "“<script>"),
        ("plan 50 <b>chair</b>", "“<b>chair</b>”"),
        ("plan 50 chair {0} %s", "“{0}”"),
        ("plan 31 feb 18:00 50 chair", "31 feb is no date"),
        ("\u202eplan 50 riahc\u202c", "“riahc”"),
    ],
    ids=lambda text: repr(text)[:30],
)
def test_bad_input_gets_a_clear_sentence(talk: Talk, line: str, words: str) -> None:
    reply = talk.say(line)
    check_reply(reply)
    assert words in same_line(reply["text"])
    assert "error" in reply["data"]
    assert too_wide(reply) == []
    assert talk.plans == 0


def test_a_word_not_understood_offers_the_nearest_meanings_to_press(talk: Talk) -> None:
    reply = talk.say("plan 45 mat glutes")
    assert "“glutes”" in reply["text"]
    assert "Nothing is changed" in same_line(reply["text"])
    assert labels(reply) == ["focus glutes", "no glutes"]
    assert talk.plans == 0
    plan = talk.plan("@tap focus glutes")
    assert [aim["name"] for aim in plan["brief"]["focus"]] == ["glutes"]


def test_help_lists_what_can_be_said_and_its_examples_can_be_pressed(talk: Talk) -> None:
    whole = talk.say("help")
    check_reply(whole)
    assert {"plan", "another", "show", "why"} <= set(whole["data"]["help"])
    one = talk.say("@tap plan")
    assert one["data"]["examples"][0] == "plan 50 chair"
    assert talk.plan("@tap 1")["brief"]["minutes"] == 50


def test_the_clock_of_the_conversation_is_the_one_given(talk: Talk) -> None:
    assert talk.plan("plan 50 chair 18:00")["brief"]["starts"] == f"{NOW[:10]}T18:00"
