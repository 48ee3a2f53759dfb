"""A class given to a colleague, from the line to the text of the file."""

from collections.abc import Iterator
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from bot.reply import Incoming, Reply
from tests.people_talk import people_talk
from tests.talk import Talk

NOTE, HALL = "quillfeather", "wrenchmoor"


@pytest.fixture
def talk(tmp_path: Path) -> Iterator[Talk]:
    """A class of three on Tuesday, one of whom minds a wrist, one of whom waits on a clinician."""
    with people_talk(tmp_path) as talk:
        talk.all(
            "client add Ana Quenby", f"note Ana Quenby: {NOTE}", "client add Bo Thornwick",
            "client add CY",
            f"flag Ana Quenby left wrist marked, says {NOTE}",
            f"group {HALL} add Ana Quenby, Bo Thornwick, CY",
            f"exercise cue pike chair: {NOTE} for Ana",
            f"plan 45 chair for {HALL} tue 18:00",
        )  # fmt: skip
        yield talk


def handed(talk: Talk, line: str = "handover tue") -> tuple[Reply, str]:
    """The reply and all that can be read in its file."""
    (reply,) = talk.dispatch.answer(Incoming("console:me", "console:me", line))
    (file,) = reply.files
    pages = PdfReader(BytesIO(file.content)).pages
    return reply, "\n".join(page.extract_text() for page in pages)


@pytest.mark.parametrize("line", ["handover tue", "handover 1", "handover #1", "handover"])
def test_the_colleague_gets_first_names_and_what_to_change_and_no_more(
    talk: Talk, line: str
) -> None:
    reply, text = handed(talk, line)
    assert reply.files[0].name == "handover-1.pdf"
    assert "Ana" in text
    assert "Bo" in text
    for hidden in (
        "Quenby",
        "Thornwick",
        NOTE,
        HALL,
        "wrist, left",
        "physio",
        "before a clinician",
        "ask first",
    ):
        assert hidden.casefold() not in text.casefold(), hidden
        assert hidden.casefold() not in str(dict(reply.data["handover"])).casefold(), hidden


def test_what_has_to_be_changed_stands_on_it(talk: Talk) -> None:
    reply, _ = handed(talk)
    own = talk.say("sheet paper")["data"]["sheet"]
    given = reply.data["handover"]
    mine = {need["at"] for person in own["people"] for need in person["needs"]}
    hers = {need["at"] for person in given["people"] for need in person["needs"]}
    assert mine - hers <= {""}


def test_it_is_written_down_without_content(talk: Talk) -> None:
    handed(talk)
    owner = talk.vault.owner("console:me")
    assert owner is not None
    with talk.vault.begin(owner) as store:
        last = store.people.audit()[0]
    assert (last.what, dict(last.counts)) == ("handover", {"people": 3})


@pytest.mark.parametrize(
    ("line", "error"),
    [
        ("handover fri", "NoClassOn"),
        ("handover 99", "NoSuchPlan"),
        ("handover blue", "UnknownWord"),
    ],
)
def test_a_slip_gets_a_sentence_and_no_file(talk: Talk, line: str, error: str) -> None:
    reply = talk.say(line)
    assert reply["data"]["error"] == error
    assert not reply.get("files")
