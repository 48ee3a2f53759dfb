"""Conversations kept as text, one file a command: what is said is what is in the file.

A line that begins with "› " is typed; all up to the next is the answer. What follows "» " sets the
scene, and its answer is not kept. To begin a file, write its typed lines only. After a change that
is meant, let the answers be written anew and read the difference:

    REWRITE_SNAPSHOTS=1 python -m pytest tests/snapshots

Plans stay out of these files, because the library grows; they are looked at elsewhere.
"""

import os
from pathlib import Path

import pytest

from bot.commands import NAMES
from tests.talk import WIDEST, Talk

HERE = Path(__file__).parent
FILES = sorted(HERE.glob("*.txt"))
MARK, SCENE = "› ", "» "


def replayed(kept: str) -> str:
    """The conversation with the answers given now."""
    talk = Talk()
    pieces = []
    for line in kept.splitlines():
        if line.startswith(SCENE):
            talk.all(line.removeprefix(SCENE))
            pieces += [line, ""]
        if not line.startswith(MARK.rstrip()):
            continue
        pieces.append(line)
        for reply in talk.all(line.removeprefix(MARK.rstrip()).removeprefix(" ")):
            pieces.append(reply["text"])
            labels = [f"[{button['n']}] {button['label']}" for button in reply["buttons"]]
            pieces += ["  ".join(labels)] if labels else []
        pieces.append("")
    return "\n".join(pieces)


@pytest.mark.parametrize("path", FILES, ids=[path.stem for path in FILES])
def test_the_conversation_is_as_kept(path: Path) -> None:
    kept = path.read_text(encoding="utf-8")
    now = replayed(kept)
    if os.environ.get("REWRITE_SNAPSHOTS"):
        path.write_text(now, encoding="utf-8")
        return
    assert now == kept


def test_every_command_has_its_conversation() -> None:
    assert {path.stem for path in FILES} >= set(NAMES)


def test_what_is_kept_fits_a_phone() -> None:
    for path in FILES:
        for line in path.read_text(encoding="utf-8").splitlines():
            if not line.startswith((MARK, SCENE, "[")):
                assert len(line) <= WIDEST, f"{path.name}: {line}"
