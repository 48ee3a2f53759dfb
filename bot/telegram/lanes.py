"""A lane per chat: one message after the other in a chat, several chats side by side."""

import asyncio
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from weakref import WeakValueDictionary

from bot.telegram.door import AT_ONCE


class Lanes:
    """Who may be served now; first come, first served within a chat."""

    def __init__(self, at_once: int = AT_ONCE) -> None:
        self._places = asyncio.Semaphore(at_once)
        # A lane lives as long as somebody is in it or waits for it.
        self._lanes: WeakValueDictionary[int, asyncio.Lock] = WeakValueDictionary()

    @asynccontextmanager
    async def lane(self, chat: int) -> AsyncIterator[None]:
        """A turn in this chat's lane.

        The lane comes before the place, so that a chat with a long queue holds one place only.
        """
        lock = self._lanes.get(chat)
        if lock is None:
            lock = self._lanes[chat] = asyncio.Lock()
        async with lock, self._places:
            yield
