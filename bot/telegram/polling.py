"""Updates fetched by long polling, until told to stop."""

import asyncio
import logging
from collections.abc import Awaitable, Callable
from datetime import timedelta
from typing import Any, TypeVar

from telegram import Bot
from telegram.error import InvalidToken, RetryAfter, TelegramError, TimedOut

from bot.telegram.door import TokenRefusedError, unwatched
from bot.telegram.intake import KINDS
from bot.telegram.raw import RawUpdates
from storage.errors import StorageError

LOG = logging.getLogger(__name__)
HOLD_S = 20  # how long the channel holds an empty answer
FIRST_PAUSE_S = 0.5
LONGEST_PAUSE_S = 15.0

T = TypeVar("T")
Take = Callable[[list[dict[str, Any]]], Awaitable[None]]


async def poll(
    bot: Bot,
    raw: RawUpdates,
    take: Take,
    stop: asyncio.Event,
    beat: Callable[[str], None] = unwatched,
) -> None:
    """Hand over all updates in order; returns once `stop` is set.

    `beat` is told whenever the channel has answered.

    Asking for what comes next is what confirms the updates that have been taken so far.

    Raises:
        TokenRefusedError: the channel no longer knows us.
    """
    following: int | None = None

    async def fetch() -> list[dict[str, Any]]:
        await bot.get_updates(following, timeout=HOLD_S, allowed_updates=KINDS)
        beat("channel")
        return raw.found()

    while (updates := await persist(fetch, stop)) is not None:
        if not updates:
            continue
        try:
            await take(updates)
        except StorageError as failure:
            LOG.error("updates could not be kept (%s); they come again", type(failure).__name__)
            await _unless(stop, asyncio.sleep(FIRST_PAUSE_S))
        else:
            following = int(updates[-1]["update_id"]) + 1
    if following is not None:
        try:
            await bot.get_updates(following, limit=1, timeout=0, allowed_updates=KINDS)
        except TelegramError as failure:
            LOG.warning("the last updates may come again: %s", type(failure).__name__)


async def persist(call: Callable[[], Awaitable[T]], stop: asyncio.Event) -> T | None:
    """What the call brings, tried until it succeeds; None when `stop` is set before.

    Raises:
        TokenRefusedError: the channel does not know us; trying again would not help.
    """
    pause = FIRST_PAUSE_S
    while not stop.is_set():
        try:
            return await _unless(stop, call())
        except InvalidToken:
            raise TokenRefusedError from None
        except RetryAfter as asked:
            asks = asked.retry_after
            wait = asks.total_seconds() if isinstance(asks, timedelta) else float(asks)
        except TimedOut:
            wait = FIRST_PAUSE_S
        except TelegramError as failure:
            LOG.warning("the channel can't be reached (%s); again", type(failure).__name__)
            wait, pause = pause, min(2 * pause, LONGEST_PAUSE_S)
        await _unless(stop, asyncio.sleep(wait))
    return None


async def _unless(stop: asyncio.Event, call: Awaitable[T]) -> T | None:
    """What the call brings; None when `stop` is set first."""
    calling = asyncio.ensure_future(call)
    stopping = asyncio.create_task(stop.wait())
    try:
        await asyncio.wait({calling, stopping}, return_when=asyncio.FIRST_COMPLETED)
        return calling.result() if calling.done() else None
    finally:
        calling.cancel()
        stopping.cancel()
        await asyncio.gather(calling, stopping, return_exceptions=True)
