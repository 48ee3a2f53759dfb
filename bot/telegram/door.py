"""What the door needs from inside, and the one fault that ends it."""

from contextlib import AbstractAsyncContextManager
from typing import Protocol

from bot.posting import Receipt
from bot.reply import Incoming, Reply

CHANNEL = "telegram"


class Answerer(Protocol):
    """Who answers; called from several threads, never twice at once for the same chat."""

    def answer(self, incoming: Incoming, receipt: Receipt) -> object:
        """Post the answers to a message, and mark the update that brought it, in one transaction.

        Raises:
            TakenError: nothing has been done; try again, if the update still waits.
        """

    def say(self, replies: list[Reply], chat: str, receipt: Receipt) -> object:
        """Post what needs no thinking, or nothing, and mark the update.

        Raises:
            TakenError: another worker has marked it.
        """

    def menu(self) -> tuple[tuple[str, str], ...]:
        """Commands worth a place in the channel's menu, each with a short description."""


class Beside(Protocol):
    """What runs beside the door and watches it."""

    def told(self) -> AbstractAsyncContextManager[object]:
        """A block in which it runs."""

    def beat(self, part: str) -> None:
        """Take a sign of life of the part that gives it: "worker", "channel"."""


def unwatched(_part: str) -> None:
    """Where nobody asks for signs of life, nothing is done with them."""


class TokenRefusedError(Exception):
    """The channel does not know this token. It carries no text: the library's names the token."""
