"""Updates kept for good, before the channel is told that they came."""

import asyncio
import json
import logging
from collections.abc import Awaitable, Callable, Sequence
from typing import Any

from bot.telegram.door import CHANNEL
from storage.mail import Arrival

LOG = logging.getLogger(__name__)
KINDS = ("message", "callback_query")  # edited messages, reactions and the rest are not sent to us

Keep = Callable[[Sequence[Arrival]], Awaitable[None]]


class Intake:
    """Gathers what arrives while the last was being written, and writes it in one go."""

    def __init__(self, keep: Keep) -> None:
        self._keep = keep
        self._turn = asyncio.Lock()
        self._gathered: list[Arrival] = []
        self._kept: asyncio.Future[None] | None = None

    async def take(self, updates: Sequence[dict[str, Any]]) -> None:
        """Nothing, once all of them are kept.

        Raises:
            StorageError: they are not; the channel must not be told that they came.
        """
        arrivals = [each for each in map(arrival, updates) if each]
        if not arrivals:
            return
        self._gathered += arrivals
        kept = self._kept = self._kept or asyncio.get_running_loop().create_future()
        async with self._turn:
            if not kept.done():
                gathered, self._gathered, self._kept = self._gathered, [], None
                try:
                    await self._keep(gathered)
                except Exception as failure:
                    kept.set_exception(failure)
                else:
                    kept.set_result(None)
        await kept


def arrival(update: dict[str, Any]) -> Arrival | None:
    """The update as it is kept; None for what nobody answers or nobody can read."""
    if not any(kind in update for kind in KINDS):
        return None
    try:
        query = update.get("callback_query")
        chat = (query or update)["message"]["chat"]["id"]
        return Arrival(int(update["update_id"]), f"{CHANNEL}:{int(chat)}", json.dumps(update))
    except (KeyError, TypeError, ValueError) as error:
        LOG.error("an update can't be read and is left out: %s", type(error).__name__)
        return None


def query_of(update: dict[str, Any]) -> str | None:
    """The pressed button's query that wants to be told that it came, if it is one."""
    query = update.get("callback_query")
    number = query.get("id") if isinstance(query, dict) else None
    return number if isinstance(number, str) else None
