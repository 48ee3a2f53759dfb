"""Where the turns of all chats come together: what gathers while the last were written goes next.

A chat's turn is: its letter has left, what now? Asked one by one, each would be a thread and a
transaction of its own. Nothing is put off: the first in line does not wait for a second.
"""

import asyncio
from collections.abc import Callable
from datetime import datetime

from bot.mail_ports import Office
from bot.telegram.threads import Threads
from storage.mail import Sent, Work

Turn = tuple[str, Sent | None, "asyncio.Future[Work | None]"]


class Counter:
    """Takes turns, many at once."""

    def __init__(
        self, worker: str, office: Office, threads: Threads, clock: Callable[[], datetime]
    ) -> None:
        self._worker = worker
        self._office = office
        self._run = threads.post
        self._now = clock
        self._waiting: list[Turn] = []
        self._serving: asyncio.Task[None] | None = None

    async def turn(self, chat: str, sent: Sent | None = None) -> Work | None:
        """What there is to do next in a chat, once its letter is marked; None: it is not ours now.

        Raises:
            StorageError: the letter is not marked, and may leave again.
        """
        told: asyncio.Future[Work | None] = asyncio.get_running_loop().create_future()
        self._waiting.append((chat, sent, told))
        if self._serving is None:
            self._serving = asyncio.create_task(self._serve())
        return await told

    async def _serve(self) -> None:
        try:
            while self._waiting:
                turns, self._waiting = self._waiting, []
                await self._served(turns)
        finally:
            self._serving = None

    async def _served(self, turns: list[Turn]) -> None:
        chats = list(dict.fromkeys(chat for chat, _, _ in turns))
        letters = [sent for _, sent, _ in turns if sent]
        try:
            found = await self._run(self._office.turn, self._worker, self._now(), chats, letters)
        except Exception as failure:
            for _, _, told in turns:
                if not told.done():
                    told.set_exception(failure)
        else:
            for chat, _, told in turns:
                if not told.done():
                    told.set_result(found.get(chat))
