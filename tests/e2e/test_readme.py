"""The README shows what the program really says."""

import re
from io import StringIO
from pathlib import Path

from bot.console import Console, HandClock, instant
from bot.dispatch import Dispatch
from core.repertoire import shipped
from storage.memory import MemoryVault

README = Path(__file__).parents[2] / "README.md"
BLOCK = re.compile(r"```text\n(.*?)```", re.DOTALL)


def test_every_conversation_in_the_readme_is_real() -> None:
    blocks = BLOCK.findall(README.read_text(encoding="utf-8"))
    assert blocks
    for block in blocks:
        assert said(block) == block.strip()


def said(block: str) -> str:
    """The block with the answers given now."""
    vault, clock, out = MemoryVault(), HandClock(instant("2026-11-25T10:00", "UTC")), StringIO()
    console = Console(Dispatch(vault, clock, shipped()), vault, clock, "UTC", out)
    for line in block.splitlines():
        if line.startswith("› "):
            out.write(f"{line}\n")
            console.run([line.removeprefix("› ")])
    return out.getvalue().strip()
