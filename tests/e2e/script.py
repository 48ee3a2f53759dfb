"""An answerer that says what a test tells it to."""

import threading
from collections.abc import Callable
from datetime import UTC, datetime
from typing import Protocol

from bot import posting
from bot.posting import Receipt
from bot.reply import Incoming, Part, Reply
from storage.memory import MemoryVault

Say = Callable[[Incoming], list[Reply]]


def said(*texts: str) -> Reply:
    """A reply of plain parts."""
    return Reply(tuple(Part(text) for text in texts))


def echo(incoming: Incoming) -> list[Reply]:
    """The same words back."""
    return [said(incoming.text)]


class Script:
    """Answers as told, and remembers what it was asked.

    Attributes:
        heard: everything asked, in the order the answers were begun.
        crowd: the most chats ever served at the same time.
    """

    def __init__(self, say: Say = echo) -> None:
        self.say = say
        self.heard: list[Incoming] = []
        self.crowd = 0
        self._busy = 0
        self._counting = threading.Lock()

    def answer(self, incoming: Incoming) -> list[Reply]:
        """What the test wants answered."""
        with self._counting:
            self.heard.append(incoming)
            self._busy += 1
            self.crowd = max(self.crowd, self._busy)
        try:
            return self.say(incoming)
        finally:
            with self._counting:
                self._busy -= 1

    def menu(self) -> tuple[tuple[str, str], ...]:
        """Two commands."""
        return (("plan", "Plan a class"), ("help", "What I can do"))


class Says(Protocol):
    """Whoever has answers."""

    def answer(self, incoming: Incoming) -> list[Reply]:
        """The answers."""

    def menu(self) -> tuple[tuple[str, str], ...]:
        """The menu."""


class Posted:
    """Posts what somebody says, as the program does with what it thinks."""

    def __init__(self, says: Says, vault: MemoryVault) -> None:
        self._says = says
        self._vault = vault

    def answer(self, incoming: Incoming, receipt: Receipt) -> None:
        """Post the answers and mark the update."""
        self.say(self._says.answer(incoming), incoming.chat, receipt)

    def say(self, replies: list[Reply], chat: str, receipt: Receipt) -> None:
        """Post these and mark the update."""
        with self._vault.mail() as mail:
            posting.answer(mail, chat, replies, receipt, datetime.now(UTC))

    def menu(self) -> tuple[tuple[str, str], ...]:
        """The menu."""
        return self._says.menu()
