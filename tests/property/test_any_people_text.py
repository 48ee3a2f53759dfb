"""Whatever is typed about people, there is a calm answer that fits a phone and ends as it must."""

from collections.abc import Iterator

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bot.reply import Incoming, Reply
from bot.wording import asking
from tests.people_talk import HEALTH
from tests.talk import WIDEST, Talk, same_line

QUICKLY = settings(
    max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
LEAKS = ("Traceback", "Exception", ".py", "None", "0x", "core.", "bot.", "storage")
WORDS = st.sampled_from(
    "client clients note flag flags unflag answered consent group groups mods screen export erase "
    "retention who revoke invite undo add remove drop level goal name no chair 3+2 ANA BO ana's "
    "dawn : , ; 1 2 9 #1 by physio for good yes no left right wrist knee glaucoma pregnant 24 "
    "weeks ago since may until review 1 mar says today is mild acute chest pain dizzy tue years "
    "off 🙂 {} %s ' -- \\ <b> pike blorb and with not".split()
)
LINES = st.lists(st.one_of(WORDS, st.text(max_size=6)), min_size=1, max_size=10).map(" ".join)


@pytest.fixture(scope="module")
def talk() -> Iterator[Talk]:
    """One long conversation; nothing said in it may spoil what comes after."""
    talk = Talk()
    talk.all("client add ANA", "client add BO", "group dawn add ANA, BO", "plan 45 chair for dawn")
    yield talk
    assert "error" not in talk.say("clients")["data"]


def answer(talk: Talk, text: str, *, tapped: bool = False) -> Reply:
    """The reply to any text, past the terminal's own steering."""
    (reply,) = talk.dispatch.answer(Incoming("console:me", "console:me", text, tapped=tapped))
    return reply


@QUICKLY
@given(LINES)
def test_any_line_about_people_has_an_answer(talk: Talk, text: str) -> None:
    said = answer(talk, text)
    assert said.text.strip()
    assert asking.BROKEN not in same_line(said.text), text
    assert said.data
    assert [line for line in said.text.splitlines() if len(line) > WIDEST] == [], text
    assert [leak for leak in LEAKS if leak in said.text and leak not in text] == []
    if {"flags", "verdicts", "red_flags", "readiness"} & set(said.data):
        assert same_line(said.text).endswith(HEALTH), text


@QUICKLY
@given(LINES)
def test_every_button_that_is_offered_says_something(talk: Talk, text: str) -> None:
    for button in answer(talk, text).buttons[:6]:
        if button.line.startswith(("refit", "erase", "undo")):
            continue
        said = answer(talk, button.line, tapped=True)
        assert said.data.get("error") not in ("UnknownCommand", "StaleButton", "Broken"), (
            button.line
        )
