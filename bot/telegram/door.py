"""What the door needs from inside, how fast it may be used, and the one fault that ends it."""

from dataclasses import dataclass
from typing import Protocol

from bot.posting import Receipt
from bot.reply import Incoming, Reply

AT_ONCE = 16  # chats served at the same time; above that the HTTP client gets slower, not faster
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


@dataclass(frozen=True, slots=True)
class Pace:
    """How fast the channel is written to; its own limits unless it is told otherwise.

    Attributes:
        overall: messages a second, by all workers together.
        chat: messages a second to one chat.
        group: messages a minute to one group.
        at_once: messages under way at the same time.
    """

    overall: int = 30
    chat: float = 1.0
    group: int = 20
    at_once: int = AT_ONCE


@dataclass(frozen=True, slots=True)
class Hook:
    """Where the channel brings updates to, instead of being asked for them.

    Attributes:
        url: the public address, as the channel is told it.
        host, port: where we listen, behind a proxy.
        secret: what the channel says with each.
    """

    url: str
    host: str
    port: int
    secret: str


class TokenRefusedError(Exception):
    """The channel does not know this token. It carries no text: the library's names the token."""
