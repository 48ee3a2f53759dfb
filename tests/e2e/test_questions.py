"""A question waits for its answer for a day, or until something else is said; no longer."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.people_talk import people_talk
from tests.talk import Talk

ELSE = (
    "clients",
    "client ANA",
    "note ANA: slept well",
    "help",
    "who has access",
    "ANA's knee hurts",
)


@pytest.fixture
def talk(tmp_path: Path) -> Iterator[Talk]:
    """A conversation in which ANA is known and there is no class yet."""
    with people_talk(tmp_path) as talk:
        talk.all("client add ANA", "client add BO")
        yield talk


def declared(talk: Talk) -> object:
    """What is kept of ANA's readiness."""
    return talk.say("client ANA")["data"]["client"]["readiness"]


def test_a_typed_answer_is_an_answer(talk: Talk) -> None:
    talk.say("screen ANA")
    for word, missing in (("yes", "disease"), ("No", "symptoms"), ("no", "vigorous")):
        assert talk.say(word)["data"]["missing"] == missing
    assert talk.say("yes")["data"]["readiness"]["answers"] == {
        "active": True,
        "disease": False,
        "symptoms": False,
        "vigorous": True,
    }
    assert talk.say("yes")["data"]["error"] == "UnknownCommand"


@pytest.mark.parametrize("hours", [24, 72])
def test_a_forgotten_question_takes_no_answer(talk: Talk, hours: int) -> None:
    talk.say("screen ANA yes no no")
    talk.all(f"@now +{hours}h")
    assert talk.say("yes")["data"]["error"] == "UnknownCommand"
    assert declared(talk) is None


def test_within_the_day_it_still_does(talk: Talk) -> None:
    talk.say("screen ANA yes no no")
    talk.all("@now +23h")
    assert "readiness" in talk.say("no")["data"]


@pytest.mark.parametrize("line", ELSE)
def test_after_something_else_it_takes_no_answer(talk: Talk, line: str) -> None:
    talk.all("screen ANA yes no no", line)
    assert talk.say("yes")["data"]["error"] == "UnknownCommand"
    assert declared(talk) is None


def test_what_is_not_understood_leaves_it_open(talk: Talk) -> None:
    talk.all("screen ANA yes no no", "blorb zork")
    assert "readiness" in talk.say("yes")["data"]


def test_a_class_is_asked_about_in_the_same_way(talk: Talk) -> None:
    assert talk.say("plan chair")["data"]["missing"] == "minutes"
    assert talk.say("45")["data"]["plan"]["slot_s"] == 45 * 60
    talk.all("@as other")
    talk.say("plan chair")
    talk.all("@now +3d")
    assert talk.say("an hour")["data"]["missing"] == "apparatus"


@pytest.mark.parametrize("word", ["yes", "for good", "sure", "ok", "erase", "yes for good"])
@pytest.mark.parametrize("hours", [0, 72])
def test_nobody_is_erased_by_a_word(talk: Talk, word: str, hours: int) -> None:
    talk.say("erase ANA")
    talk.all(f"@now +{hours}h", word)
    assert [each["name"] for each in talk.say("clients")["data"]["clients"]] == ["ANA", "BO"]


def test_undo_still_knows_the_class_before_a_question(talk: Talk) -> None:
    first = talk.plan("plan 30 chair")["id"]
    talk.say("another")
    talk.all("screen ANA", "clients")
    assert talk.plan("undo")["id"] == first
