"""Signs of an emergency, readiness, agreement: what is said first, and what is never said."""

from collections.abc import Iterator
from itertools import product
from pathlib import Path

import pytest

from bot.console import Console
from bot.dispatch import Dispatch
from bot.reply import Incoming
from core.screening import TABLE
from tests.people_talk import HEALTH, people_talk
from tests.talk import Talk, labels, same_line


@pytest.fixture
def talk(tmp_path: Path) -> Iterator[Talk]:
    """A conversation in which ANA is known."""
    with people_talk(tmp_path) as talk:
        talk.say("client add ANA")
        yield talk


@pytest.mark.parametrize(
    "line",
    [
        "note ANA: chest pain on the stairs",
        "flag ANA chest pain",
        "ANA has chest pain",
        "somebody here has chest pain",
        "chest pain",
        "note nobody I know: chest pain",
        "note ANA: lost control of her bladder since yesterday",
        "note ANA: fainted in class",
    ],
)
def test_an_emergency_is_answered_first(talk: Talk, line: str) -> None:
    reply = talk.say(line)
    assert reply["text"].startswith("STOP")
    assert "help" in same_line(reply["text"]) or "emergency number" in same_line(reply["text"])
    assert same_line(reply["text"]).endswith(HEALTH)
    assert reply["data"]["red_flags"][0]["urgency"] in ("stop", "emergency")


def test_the_note_is_kept_all_the_same_and_no_class_is_changed(talk: Talk) -> None:
    plan = talk.plan("plan 45 chair")
    talk.say("note ANA: chest pain on the stairs")
    assert "chest pain" in talk.say("client ANA")["text"]
    assert talk.plan("show")["id"] == plan["id"]
    assert talk.say("client ANA")["data"]["client"]["flags"] == []


def test_a_denied_sign_is_asked_about(talk: Talk) -> None:
    reply = talk.say("note ANA: no chest pain today")
    assert "Please make sure" in same_line(reply["text"])
    assert not reply["text"].startswith("STOP")


def test_some_signs_weigh_more_in_pregnancy(talk: Talk) -> None:
    assert "red_flags" not in talk.say("note ANA: headache")["data"]
    talk.say("flag ANA pregnant 24 weeks")
    assert talk.say("note ANA: headache")["text"].startswith("STOP")


def test_ordinary_words_raise_nothing(talk: Talk) -> None:
    for line in ("note ANA: left knee sore after footwork", "exercise chest expansion", "banana"):
        assert "red_flags" not in talk.say(line)["data"]


@pytest.mark.parametrize("answers", list(product((True, False), repeat=4)))
def test_every_row_of_the_table_has_its_outcome_in_plain_words(
    talk: Talk, answers: tuple[bool, bool, bool, bool]
) -> None:
    reply = talk.say("screen ANA")
    for answer in answers:
        assert labels(reply) == ["Yes", "No"]
        reply = talk.say(f"@tap {'Yes' if answer else 'No'}")
    kept = reply["data"]["readiness"]
    assert kept["outcome"] == TABLE[answers].value
    assert kept["day"] == "2026-11-25"
    text = same_line(reply["text"])
    assert "clear" not in text.casefold()
    assert text.endswith(HEALTH)
    assert talk.say("client ANA")["data"]["client"]["readiness"] == kept["outcome"]
    assert talk.say("undo")["data"]["undone"]["what"] == "declaration"
    assert talk.say("client ANA")["data"]["client"]["readiness"] is None


def test_agreement_is_asked_with_the_first_flag_only(talk: Talk) -> None:
    first = talk.say("flag ANA left wrist mild")
    assert "She has agreed that I keep this" in labels(first)
    assert "25 Nov 2026" in talk.say("@tap She has agreed that I keep this")["text"]
    assert "She has agreed that I keep this" not in labels(talk.say("flag ANA right knee mild"))
    talk.all("client add BO", "consent BO")
    assert "She has agreed that I keep this" not in labels(talk.say("flag BO left wrist mild"))


def test_more_than_the_limit_in_a_minute_is_asked_to_wait(talk: Talk) -> None:
    now = [0.0]
    limited = Dispatch(
        talk.vault,
        talk.console.clock,
        talk.dispatch.library,
        elapsed_ms=lambda: now[0],
        limit=3,
    )
    console: Console = talk.console
    console.answerer = limited
    assert [r["data"].get("error") for r in talk.all(*["help zone"] * 4)] == [None] * 3 + [
        "TooMany"
    ]
    stranger = Incoming("telegram:9", "telegram:9", "help")
    assert [limited.answer(stranger)[0].data["error"] for _ in range(4)] == [
        *["Stranger"] * 3,
        "TooMany",
    ]
    now[0] = 59_999.0
    assert talk.say("help zone")["data"]["error"] == "TooMany"
    now[0] = 60_000.0
    assert "error" not in talk.say("help zone")["data"]
    assert talk.all(*["client ANA"] * 3)[-1]["data"]["error"] == "TooMany"


def test_without_a_limit_nobody_waits(talk: Talk) -> None:
    assert all("error" not in reply["data"] for reply in talk.all(*["help zone"] * 60))
