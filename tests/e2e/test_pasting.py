"""Conversations about classes written elsewhere, with a database behind."""

import shutil
from pathlib import Path
from typing import Any

import pytest

from storage.migrate import upgrade
from storage.sql import SqlVault
from tests.e2e.contract import check_reply, items_of
from tests.talk import Replied, Talk, labels, same_line, too_wide

PASTED = """paste 45 chair for dawn
WARM UP
Seated twist x4
Chest opening 5
Footwork:
toes 10x 3+3
heels 10x 3+3
zzyzx press 8
Main part
Pike x15 4+4
tendon stretch 2x5 @3
a thing with the ball
Cool down
Hamstring stretch with the hands on the pedal 3
Total: 45 min"""


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


def block(talk: Talk, text: str) -> Replied:
    """The reply to a message of several lines."""
    (reply,) = talk.all("<<<", *text.splitlines(), ">>>")
    return reply


def test_a_pasted_class_is_asked_about_line_by_line(talk: Talk, url: str) -> None:
    asked = block(talk, PASTED)
    assert asked["data"]["line"] == 7
    assert "zzyzx press 8" in same_line(asked["text"])
    talk = restarted(url)
    left = talk.say("line 7 is -")
    assert left["data"]["line"] == 11
    talk.say("banana and more")  # something else in between
    again = talk.say("line 11 is chair mermaid")
    check_reply(again)
    plan = again["data"]["plan"]
    assert names(plan) == [
        "chair-seated-twist", "chair-chest-opening", "chair-footwork-toes", "chair-footwork-heels",
        "chair-pike", "chair-tendon-stretch", "chair-mermaid", "chair-hamstring-stretch-pedal",
    ]  # fmt: skip
    items = {item["exercise"]: item for item in items_of(plan)}
    assert items["chair-pike"]["reps"] == 10
    assert items["chair-tendon-stretch"]["sets"] == 2
    assert [s["phase"] for s in plan["sections"]] == ["warm-up", "peak", "cool-down"]
    text = same_line(again["text"])
    for said in (
        "I read 8 exercises",
        "Pike: 6 to 10 repetitions, so 10 instead of 15.",
        "“Footwork:”, “zzyzx press 8” and “Total: 45 min”",
        "Worth a look:",
    ):
        assert said in text
    assert too_wide(again) == []
    edited = talk.plan("drop 2")
    assert names(edited) == [e for e in names(plan) if e != "chair-chest-opening"]
    assert talk.plan("undo") == plan


def test_a_question_about_a_line_is_answered_by_a_tap(talk: Talk) -> None:
    asked = block(talk, "paste 30 chair\nhip extension 8\nleg press 6")
    assert labels(asked)[-1] == "Leave it out"
    taps = 0
    while "line" in asked["data"]:
        assert too_wide(asked) == []
        asked = talk.say("@tap 1")
        taps += 1
    assert taps == 2
    assert len(names(asked["data"]["plan"])) == 2


def test_all_lines_left_out_is_no_class(talk: Talk) -> None:
    asked = block(talk, "paste 30 chair\nzzyzx\nqwzx")
    talk.say("@tap Leave it out")
    done = talk.say("line 2 is -")
    assert asked["data"]["line"] == 1
    assert done["data"]["error"] == "NothingPasted"
    assert talk.say("line 1 is pike")["data"]["error"] == "NothingPasted"


def test_lines_beyond_the_last_are_told(talk: Talk) -> None:
    reply = block(talk, "paste 60 chair\n" + "\n".join(["pike x8"] * 63))
    assert "the last 3 are left out" in same_line(reply["text"])
