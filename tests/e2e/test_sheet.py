"""Run sheets asked for in a conversation: what comes back, and what stays private."""

import struct
from io import BytesIO
from pathlib import Path

import pypdf
import pytest

from tests.people_talk import people_talk
from tests.talk import Talk, same_line, too_wide

CAST = (
    "client add ANA, level 1, chair 3",
    "flag ANA left wrist marked since may",
    "client add BO",
    "group dawn add ANA",
    "group dawn add BO",
)


def text_of(path: Path) -> str:
    """What can be selected in a document."""
    pages = pypdf.PdfReader(BytesIO(path.read_bytes())).pages
    return same_line("\n".join(page.extract_text() for page in pages).replace("\u200b", ""))


def test_a_sheet_comes_for_paper_for_the_phone_and_as_a_picture(tmp_path: Path) -> None:
    talk = Talk()
    plan = talk.plan("plan 45 chair")
    talk.all(f"@files {tmp_path}")
    reply = talk.say("sheet")
    assert [(file["name"], file["kind"]) for file in reply["files"]] == [
        ("run-sheet-1.pdf", "application/pdf"),
        ("run-sheet-1-phone.pdf", "application/pdf"),
        ("run-sheet-1.png", "image/png"),
    ]
    assert too_wide(reply) == []
    for file in reply["files"]:
        path = tmp_path / file["name"]
        assert path.stat().st_size == file["bytes"]
        assert path.stat().st_mode & 0o077 == 0
    said = text_of(tmp_path / "run-sheet-1.pdf")
    assert "45 min chair" in said
    for section in plan["sections"]:
        for item in section["items"]:
            assert item["name"].removesuffix(" on the chair") in said
    wide, high = struct.unpack(">II", (tmp_path / "run-sheet-1.png").read_bytes()[16:24])
    assert wide < high


def test_one_form_or_an_older_plan_can_be_asked_for(tmp_path: Path) -> None:
    talk = Talk()
    talk.plan("plan 45 chair")
    talk.plan("plan 25 mat")
    talk.all(f"@files {tmp_path}")
    (file,) = talk.say("sheet phone 1")["files"]
    assert file["name"] == "run-sheet-1-phone.pdf"
    assert "45 min chair" in text_of(tmp_path / file["name"])
    (file,) = talk.say("sheet picture")["files"]
    assert file["name"] == "run-sheet-2.png"


def test_files_are_kept_nowhere_until_she_says_where(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    talk = Talk()
    talk.plan("plan 25 mat")
    assert talk.say("sheet paper")["files"]
    assert list(tmp_path.iterdir()) == []
    assert "There is no folder" in same_line(talk.say("@files nowhere")["text"])


def test_people_have_their_changes_and_nothing_says_why(tmp_path: Path) -> None:
    with people_talk(tmp_path) as talk:
        talk.all(*CAST)
        talk.plan("plan 45 chair for dawn")
        talk.all(f"@files {tmp_path}")
        reply = talk.say("sheet paper")
        said = text_of(tmp_path / reply["files"][0]["name"])
        assert "Who needs what" in said
        assert "ANA" in said
        assert "BO as written" in said
        assert "springs 3" in said
        for word in ("wrist marked", "flag", "since"):
            assert word not in said
        assert "never why" in same_line(reply["text"])


def test_her_own_cues_stand_first(tmp_path: Path) -> None:
    talk = Talk()
    item = talk.plan("plan 45 chair")["sections"][1]["items"][0]
    talk.say(f"exercise cue {item['name']}: Think of a lift door")
    talk.all(f"@files {tmp_path}")
    (file,) = talk.say("sheet paper")["files"]
    assert "Think of a lift door" in text_of(tmp_path / file["name"])


def test_in_a_group_chat_there_is_no_sheet(tmp_path: Path) -> None:
    with people_talk(tmp_path) as talk:
        talk.all(*CAST)
        talk.plan("plan 45 chair for dawn")
        talk.all("@chat group")
        reply = talk.say("sheet")
        assert reply["files"] == []
        assert "ANA" not in str(reply)
