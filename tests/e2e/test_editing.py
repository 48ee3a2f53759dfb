"""Conversations about changing, keeping and continuing classes, with a database behind."""

import shutil
from pathlib import Path
from typing import Any

import pytest

from storage.migrate import upgrade
from storage.sql import SqlVault
from tests.e2e.contract import check_reply, items_of
from tests.talk import Replied, Talk, labels, same_line, too_wide


@pytest.fixture(scope="module")
def empty(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A database with nothing in it, made once."""
    path = tmp_path_factory.mktemp("empty") / "book.db"
    upgrade(f"sqlite:///{path}")
    return path


@pytest.fixture
def url(tmp_path: Path, empty: Path) -> str:
    """A database of its own."""
    return f"sqlite:///{shutil.copy(empty, tmp_path / 'book.db')}"


def restarted(url: str) -> Talk:
    """The bot started (again) on this database."""
    return Talk(SqlVault(url))


@pytest.fixture
def talk(url: str) -> Talk:
    """A conversation in which a class was planned."""
    talk = restarted(url)
    talk.plan("plan 50 chair")
    return talk


def names(plan: dict[str, Any]) -> list[str]:
    """Its exercises in order."""
    return [item["exercise"] for item in items_of(plan)]


def sound(reply: Replied) -> dict[str, Any]:
    """The plan in a reply that has the public form and breaks no rule."""
    check_reply(reply)
    assert too_wide(reply) == []
    assert "plan" in reply["data"], reply["text"]
    plan: dict[str, Any] = reply["data"]["plan"]
    assert not [f for f in plan["findings"] if f["weight"] == "fault"]
    return plan


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("drop 5", "Out: "),
        ("swap 7", "In: "),
        ("reps 7 {low}", "repetitions at "),
        ("springs 9 {easier}", "Springs: 9 on"),
        ("keep 7", "Fixed as they are: 7."),
        ("fit 40", "Now 40 min."),
        ("fit 60", "Now 60 min."),
        ("late 10", "Now 40 min."),
        ("drop 4, swap 7, fit 45", "Now 45 min."),
    ],
)
def test_each_edit_says_what_it_changed_and_is_taken_back(talk: Talk, line: str, said: str) -> None:
    before = talk.plan("show")
    items = items_of(before)
    low = talk.dispatch.library[items[6]["exercise"]].reps.low
    springs = talk.dispatch.library[items[8]["exercise"]].springs
    if "springs" in line and springs is None:
        line, said = "keep 9", "Fixed as they are: 9."
    easier = str(springs.easier) if springs else ""
    reply = talk.say(line.format(low=low, easier=easier))
    plan = sound(reply)
    assert said in same_line(reply["text"]) or "Everything else stays" in same_line(reply["text"])
    assert plan["id"] == before["id"] + 1
    assert "Undo" in labels(reply)
    back = talk.say("@tap Undo")
    assert back["data"]["plan"] == before
    assert "One step back" in back["text"]
    assert talk.plan("redo")["id"] == plan["id"]


def test_undo_and_redo_have_no_end_and_survive_a_restart(talk: Talk, url: str) -> None:
    ways = [talk.plan("show")]
    for line in ("drop 5", "swap 3", "late 5", "swap 4", "drop 9", "keep 2", "fit 50", "swap 8"):
        ways.append(sound(talk.say(line)))
    for plan in reversed(ways[:-1]):
        talk = restarted(url)
        assert talk.plan("undo") == plan
    assert talk.say("undo")["data"]["error"] == "NothingToUndo"
    for plan in ways[1:]:
        talk = restarted(url)
        assert talk.plan("redo") == plan
    assert talk.say("redo")["data"]["error"] == "NothingToUndo"


def test_a_new_edit_leaves_nothing_to_redo(talk: Talk) -> None:
    talk.plan("drop 5")
    talk.plan("undo")
    talk.plan("drop 6")
    assert talk.say("redo")["data"]["error"] == "NothingToUndo"


def test_what_can_not_be_done_is_said_and_nothing_is_changed(talk: Talk) -> None:
    before = talk.plan("show")
    for line in (
        "drop 99", "swap 3 banana boat", "reps 3 99", "springs 3 9+9", "move 1 to 99", "fit 999",
        "drop 4, drop 99", "drop 4, reps 5 99", "add elephant", "swap 7 xqzv", "late 59",
    ):  # fmt: skip
        reply = talk.say(line)
        check_reply(reply)
        assert too_wide(reply) == []
        assert reply["data"].get("error"), line
        assert talk.plan("show") == before


def test_a_guess_is_the_whole_message_with_the_right_word(talk: Talk) -> None:
    reply = talk.say("drop 4, swap 9 swn, late 5")
    assert reply["data"]["error"] == "UnknownWord"
    (first, *_) = reply["buttons"]
    assert first["line"].startswith("drop 4, swap 9 ")
    assert first["line"].endswith(", late 5")


def test_the_buttons_of_a_place_change_that_place(talk: Talk) -> None:
    plan = talk.plan("show")
    shown = talk.say("show 7")
    verbs = ["easier", "harder", "swap", "drop", "keep"]
    assert labels(shown)[:5] == verbs
    was = names(plan)[6]
    for verb in verbs:
        talk.say("show 7")
        reply = talk.say(f"@tap {verb}")
        check_reply(reply)
        if verb in ("swap", "drop"):
            assert was not in names(sound(reply))
        if verb == "keep":
            assert "Fixed as they are: 7." in same_line(reply["text"])
        if "plan" in reply["data"]:
            assert talk.plan("undo") == plan
        else:
            assert reply["data"]["error"] == "Refused"


def test_the_buttons_of_an_old_message_are_about_its_own_plan(talk: Talk) -> None:
    first = talk.plan("show")
    talk.plan("plan 45 mat")
    shown = talk.say("show 7 #1")
    assert all("#1" in button["line"] for button in shown["buttons"])
    plan = sound(talk.say("@tap drop"))
    assert plan["brief"]["apparatus"] == ["chair"]
    assert names(first)[6] not in names(plan)


def test_a_plan_that_is_shown_is_what_the_next_words_are_about(talk: Talk) -> None:
    first = talk.plan("show")
    talk.plan("plan 45 mat")
    talk.plan("show #1")
    assert names(first)[4] not in names(sound(talk.say("drop 5")))


def test_a_class_is_kept_opened_copied_listed_and_put_away(talk: Talk, url: str) -> None:
    kept = talk.plan("show")
    assert "save as tuesday core" in same_line(talk.say("plans")["text"])
    saved = talk.say("save as tuesday core")
    assert saved["data"]["kept"] == {"name": "tuesday core", "version": 1, "plan": kept["id"]}
    edited = sound(talk.say("drop 5"))
    assert talk.say("save as Tuesday Core")["data"]["kept"]["version"] == 2
    talk.plan("plan 45 mat")
    talk = restarted(url)
    listed = talk.say("plans")
    assert [label.casefold() for label in labels(listed)] == ["tuesday core"]
    opened = talk.say("@tap 1")
    assert names(sound(opened)) == names(edited)
    assert "version 2" in same_line(opened["text"])
    copied = talk.say("copy as wednesday")
    assert copied["data"]["kept"]["name"] == "wednesday"
    talk.plan("swap 3")
    assert names(talk.plan("open wednesday")) == names(edited)
    assert "retired" in talk.say("retire tuesday core")["data"]
    assert labels(talk.say("plans")) == ["wednesday"]
    gone = talk.say("open tuesday core")
    assert gone["data"]["error"] == "NoSuchClass"
    assert "wednesday" in gone["text"]


def test_two_classes_side_by_side(talk: Talk) -> None:
    talk.say("save as first")
    talk.plan("swap 7")
    compared = talk.say("compare first")
    check_reply(compared)
    assert too_wide(compared) == []
    assert "Only here:" in compared["text"]
    assert "Only in first:" in same_line(compared["text"])
    assert "The same exercises" in talk.say("compare #2")["text"]
    assert talk.say("compare #77")["data"]["error"] == "NoSuchPlan"
    assert talk.say("compare nothing")["data"]["error"] == "NoSuchClass"


def test_a_series_is_a_class_a_week(talk: Talk, url: str) -> None:
    before = talk.plan("show")
    reply = talk.say("series 4 weeks 50 chair for dawn")
    check_reply(reply)
    assert too_wide(reply) == []
    assert labels(reply) == [f"Week {n}" for n in range(1, 5)]
    assert "stay from last week" in same_line(reply["text"])
    weeks = reply["data"]["series"]
    talk = restarted(url)
    third = talk.plan(f"show #{weeks[2]['id']}")
    assert names(third) == names(weeks[2])
    assert names(third)[4] not in names(sound(talk.say("drop 5")))
    talk.plan("undo")
    talk.plan("undo")
    assert talk.plan("undo") == before


def test_ways_out_of_an_impossible_wish_show_a_plan() -> None:
    talk = Talk()
    line = "plan 45 chair no wrists with pike"
    asked = talk.say(line)
    assert asked["data"]["plan"] is None
    assert asked["data"]["proven"] is True
    assert len(asked["buttons"]) >= 2
    for n in range(1, len(asked["buttons"]) + 1):
        talk.say(line)
        plan = sound(talk.say(f"@tap {n}"))
        assert plan["brief"]["minutes"]


def test_each_sees_only_her_own_classes(talk: Talk) -> None:
    talk.say("save as tuesday core")
    talk.all("@as other")
    talk.plan("plan 30 mat")
    assert talk.say("open tuesday core")["data"]["error"] == "NoSuchClass"
    assert talk.say("undo")["data"]["error"] == "NothingToUndo"
    assert talk.say("drop 5 #2")["data"]["error"] == "NoSuchPlan"
