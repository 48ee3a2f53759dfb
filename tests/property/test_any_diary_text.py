"""Whatever is typed about classes and reminders, there is a calm answer that fits a phone."""

from collections.abc import Iterator

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bot.reply import Incoming, Reply
from bot.wording import asking
from tests.talk import WIDEST, Talk, same_line

QUICKLY = settings(
    max_examples=200, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
LEAKS = ("Traceback", "Exception", ".py", "None", "0x", "core.", "bot.", "storage")
WORDS = st.sampled_from(
    "class classes week cancel move away remind me ask reminders done later pause resume digest "
    "quiet lead undo tue wed every weekly daily and until to from at on in 2 3 9 12 18:00 9am 6 "
    "17:30 tomorrow today days hours minutes dec jan 20 2026-12-01 1h 30 min off one all here "
    "this next ANA BO dawn dusk private for about the knee chair mat 50 45 | , : # & north "
    "springs order fortnightly monthly other week 🙂 {} %s ' -- \\ <b>".split()
)
HEADS = st.sampled_from(
    ["class", "cancel", "move", "away", "remind me", "ask ANA", "later 9", "quiet", "week", ""]
)
LINES = st.tuples(
    HEADS, st.lists(st.one_of(WORDS, st.text(max_size=5)), min_size=1, max_size=9).map(" ".join)
).map(" ".join)


@pytest.fixture(scope="module")
def talk() -> Iterator[Talk]:
    """One long conversation; nothing said in it may spoil what comes after."""
    talk = Talk()
    talk.all(
        "client add ANA",
        "client add BO",
        "group dawn add ANA, BO",
        "class tue 18:00 weekly 50 chair dawn",
        "ask ANA in 2 days about the knee",
        "remind me every mon 8:00 laundry",
    )
    yield talk
    for line in ("classes", "week", "reminders"):
        assert "error" not in talk.say(line)["data"]


def answer(talk: Talk, text: str, *, tapped: bool = False) -> Reply:
    """The reply to any text, past the terminal's own steering."""
    (reply,) = talk.dispatch.answer(Incoming("console:me", "console:me", text, tapped=tapped))
    return reply


@QUICKLY
@given(LINES)
def test_any_line_about_the_diary_has_an_answer(talk: Talk, text: str) -> None:
    said = answer(talk, text)
    assert said.text.strip()
    assert asking.BROKEN not in same_line(said.text), text
    assert said.data
    assert [line for line in said.text.splitlines() if len(line) > WIDEST] == [], text
    assert [leak for leak in LEAKS if leak in said.text and leak not in text] == []


@QUICKLY
@given(LINES)
def test_every_button_that_is_offered_says_something(talk: Talk, text: str) -> None:
    for button in answer(talk, text).buttons[:6]:
        if button.line.startswith(("undo", "plan", "show")):
            continue
        said = answer(talk, button.line, tapped=True)
        assert said.data.get("error") not in ("UnknownCommand", "StaleButton", "Broken"), (
            button.line
        )
