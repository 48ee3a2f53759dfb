"""What the door needs from inside, and the one fault that ends it."""

from typing import Protocol

from bot.reply import Incoming, Reply

AT_ONCE = 16  # chats served at the same time; above that the HTTP client gets slower, not faster


class Answerer(Protocol):
    """Who answers; called from several threads, never twice at once for the same chat."""

    def answer(self, incoming: Incoming) -> list[Reply]:
        """The answers to a message, in the order they are to be shown."""

    def menu(self) -> tuple[tuple[str, str], ...]:
        """Commands worth a place in the channel's menu, each with a short description."""


class TokenRefusedError(Exception):
    """The channel does not know this token. It carries no text: the library's names the token."""
