"""Somebody who writes to the bot and looks at what comes back."""

import asyncio
import time
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from tests.e2e.standin.values import Seen

if TYPE_CHECKING:
    from tests.e2e.standin.server import StandIn

PATIENCE_S = 5.0
LOOK_S = 0.01


class Person:
    """Says, presses, and sees."""

    def __init__(self, api: "StandIn", number: int, chat: dict[str, Any]) -> None:
        self._api = api
        self._me = {"id": number, "is_bot": False, "first_name": "Visitor"}
        self._chat = chat

    @property
    def chat(self) -> int:
        """The number of the chat she writes in."""
        return int(self._chat["id"])

    @property
    def messages(self) -> list[Seen]:
        """What the bot has written to her, in order, edits applied."""
        return [seen for seen in self._api.service.messages if seen.chat == self.chat]

    @property
    def texts(self) -> list[str]:
        """The texts of it."""
        return [seen.text for seen in self.messages]

    def say(self, text: str) -> None:
        """Write a message."""
        self.send(text=text)

    def send(self, **content: object) -> None:
        """Send a message of any kind, in the channel's own fields."""
        self._api.push("message", self._message() | content)

    def attach(self, name: str, content: bytes, kind: str = "", size: int | None = None) -> None:
        """Send a file; `size` is what the channel says of it."""
        files = self._api.service.sent_files
        file = f"sent{len(files) + 1}"
        files[file] = content
        document = {"file_id": file, "file_unique_id": f"u{file}", "file_name": name}
        about = {"mime_type": kind or None, "file_size": len(content) if size is None else size}
        self.send(document=document | {k: v for k, v in about.items() if v is not None})

    def correct(self, text: str) -> None:
        """Change a message sent before."""
        self._api.push("edited_message", self._message() | {"text": text, "edit_date": _now()})

    def tap(self, label: str) -> str:
        """Press a button on the latest message that has it; the press's id comes back."""
        for seen in reversed(self.messages):
            data = seen.data(label)
            if data is not None:
                return self.press(data, self._api.service.public(seen))
        raise LookupError(f"no button {label!r}")

    def press(self, data: str, message: dict[str, Any]) -> str:
        """Press a button with this on the wire, on a message that may be long gone."""
        queries = self._api.service.queries
        query = f"q{len(queries) + 1}"
        queries[query] = False
        self._api.push(
            "callback_query",
            {
                "id": query,
                "from": self._me,
                "message": message,
                "chat_instance": "1",
                "data": data,
            },
        )
        return query

    def answered(self, query: str) -> bool:
        """Whether the button has stopped spinning."""
        return self._api.service.queries[query]

    async def gets(self, count: int) -> list[Seen]:
        """All her messages, once there are so many."""
        await self.until(lambda: len(self.messages) >= count)
        return self.messages

    async def reads(self, text: str) -> Seen:
        """The message with this text, once it is there."""
        await self.until(lambda: text in self.texts)
        return next(seen for seen in reversed(self.messages) if seen.text == text)

    async def until(self, seen: Callable[[], bool], within: float = PATIENCE_S) -> None:
        """Nothing, once it is so.

        Raises:
            AssertionError: it was not so in time.
        """
        end = time.monotonic() + within
        while not seen():
            assert time.monotonic() < end, f"waited in vain; she has {self.texts!r}"
            await asyncio.sleep(LOOK_S)

    def _message(self) -> dict[str, Any]:
        number = self._api.service.next_message_id()
        return {"message_id": number, "date": _now(), "chat": self._chat, "from": self._me}


def _now() -> int:
    return int(time.time())
