"""Conversations with the whole bot inside this process: lines in, the replies' JSON out.

Everything is real but two things: the clock stands still, and plans are searched for only briefly.
"""

import json
from io import StringIO
from typing import Any

from bot.console import Console, HandClock, instant
from bot.dispatch import Dispatch
from bot.reminders import AtDoor
from core.planner.search import Budget
from core.repertoire import Repertoire, shipped
from storage.memory import MemoryVault
from storage.sql import SqlVault

NOW = "2026-11-25T10:00"  # a Wednesday
ZONE = "Europe/London"
QUICK = Budget(anneals=1, length=2000, last=1000)  # about a sixth of a second
WIDEST = 38  # characters of a line on a phone

Replied = dict[str, Any]


class Talk:
    """One terminal and who sits at it."""

    def __init__(
        self,
        vault: MemoryVault | SqlVault | None = None,
        *,
        name: str = "me",
        prompting: bool = False,
        library: Repertoire | None = None,
    ) -> None:
        self.vault = vault or MemoryVault()
        self.out = StringIO()
        clock = HandClock(instant(NOW, ZONE))
        self.dispatch = Dispatch(self.vault, clock, library or shipped(), budget=QUICK)
        self.console = Console(
            answerer=self.dispatch,
            admitter=self.vault,
            clock=clock,
            zone=ZONE,
            out=self.out,
            name=name,
            as_json=True,
            prompting=prompting,
            waker=AtDoor.of(self.vault, clock, self.dispatch.desk, "console:"),
        )
        self.console.run([])

    def all(self, *lines: str) -> list[Replied]:
        """Every reply to these lines."""
        before = self.out.tell()
        self.console.run(lines)
        self.out.seek(before)
        return [json.loads(line) for line in self.out.read().splitlines()]

    def say(self, line: str) -> Replied:
        """The one reply to a line."""
        (reply,) = self.all(line)
        return reply

    def plan(self, line: str) -> Replied:
        """The plan in the reply to a line."""
        reply = self.say(line)
        assert "plan" in reply["data"], reply["text"]
        found: Replied = reply["data"]["plan"]
        return found

    @property
    def plans(self) -> int:
        """How many plans whoever speaks now has."""
        owner = self.vault.owner(self.console.door)
        assert owner is not None
        with self.vault.begin(owner) as store:
            saved = store.latest_plan(self.dispatch.library)
        return saved.number if saved else 0


def labels(reply: Replied) -> list[str]:
    """What its buttons say."""
    return [button["label"] for button in reply["buttons"]]


def same_line(text: str) -> str:
    """The text on one line, for finding sentences that were wrapped."""
    return " ".join(text.split())


def too_wide(reply: Replied) -> list[str]:
    """Lines that do not fit a phone."""
    return [line for line in reply["text"].splitlines() if len(line) > WIDEST]
