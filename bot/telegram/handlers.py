"""From an update to its answer: lane, thinking, delivery."""

import asyncio
import logging
import traceback
from collections.abc import Awaitable
from contextlib import suppress
from typing import Any

from telegram import Bot, Update
from telegram.constants import ChatAction
from telegram.error import Forbidden, TelegramError
from telegram.ext import CallbackContext

from bot.reply import Incoming, Reply
from bot.telegram import inbound
from bot.telegram.delivery import deliver
from bot.telegram.door import Answerer
from bot.telegram.lanes import Lanes
from bot.wording.channel import WENT_WRONG

LOG = logging.getLogger(__name__)
SIGN_AFTER_S = 0.3  # thinking longer than this is shown
SIGN_AGAIN_S = 4.0  # the channel shows the sign for five seconds

Context = CallbackContext[Any, Any, Any, Any]


class Handlers:
    """What is done with updates."""

    def __init__(self, answerer: Answerer) -> None:
        self._answerer = answerer
        self._lanes = Lanes()

    async def on_message(self, update: Update, context: Context) -> None:
        """Answer a message."""
        await self._serve(update, context.bot)

    async def on_tap(self, update: Update, context: Context) -> None:
        """Answer a pressed button in the message it hangs on."""
        query = update.callback_query
        if query is None:
            return
        over = query.message.message_id if query.message else None
        # At the same time, not before: the place in the lane is taken in the order of arrival.
        spinner = asyncio.create_task(unless_refused(query.answer()))
        try:
            await self._serve(update, context.bot, over)
        finally:
            await spinner

    async def on_error(self, update: object, context: Context) -> None:
        """Log that something failed and where in the code, never on which words; say so."""
        error = context.error
        LOG.error("an update failed: %s", _fact(error))
        chat = update.effective_chat if isinstance(update, Update) else None
        if chat and not isinstance(error, Forbidden):
            await unless_refused(context.bot.send_message(chat.id, WENT_WRONG))

    async def _serve(self, update: Update, bot: Bot, over: int | None = None) -> None:
        read = inbound.read(update, bot.username)
        chat = update.effective_chat
        if read is None or chat is None:
            return
        async with self._lanes.lane(chat.id):
            try:
                replies = (
                    [read] if isinstance(read, Reply) else await self._think(read, bot, chat.id)
                )
                await deliver(bot, chat.id, replies, over)
            except Forbidden:
                LOG.info("a chat is closed to us")

    async def _think(self, incoming: Incoming, bot: Bot, chat: int) -> list[Reply]:
        thinking = asyncio.create_task(asyncio.to_thread(self._answerer.answer, incoming))
        pause = SIGN_AFTER_S
        while not (await asyncio.wait({thinking}, timeout=pause))[0]:
            await unless_refused(bot.send_chat_action(chat, ChatAction.TYPING))
            pause = SIGN_AGAIN_S
        return thinking.result()


async def unless_refused(call: Awaitable[object]) -> None:
    """Make a call that nothing depends on."""
    with suppress(TelegramError):
        await call


def _fact(error: BaseException | None) -> str:
    """The error's type and the place in the code: not its text, which may quote a message."""
    frames = traceback.extract_tb(error.__traceback__) if error else []
    place = f" in {frames[-1].name}, line {frames[-1].lineno}" if frames else ""
    return f"{type(error).__name__}{place}"
