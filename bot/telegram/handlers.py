"""From a kept update to its answer in the outbox: reading, thinking, and signs of it."""

import asyncio
import json
import logging
from collections.abc import Awaitable
from contextlib import suppress

from telegram import Bot
from telegram import Update as ChannelUpdate
from telegram.constants import ChatAction
from telegram.error import TelegramError

from bot.posting import Receipt
from bot.reply import Incoming, Part, Reply
from bot.telegram import inbound
from bot.telegram.courier import Courier
from bot.telegram.door import Answerer
from bot.telegram.facts import fact
from bot.telegram.threads import Threads
from bot.wording.channel import FILE_TOO_LONG, NO_FILE, WENT_WRONG
from storage.errors import TakenError
from storage.mail import Update

LOG = logging.getLogger(__name__)
SIGN_AFTER_S = 0.3  # thinking longer than this is shown
SIGN_AGAIN_S = 4.0  # the channel shows the sign for five seconds
SPINNERS = 4  # pressed buttons told at the same time that they were seen


class Handlers:
    """What is done with updates."""

    def __init__(self, bot: Bot, answerer: Answerer, courier: Courier, threads: Threads) -> None:
        self._bot = bot
        self._answerer = answerer
        self._courier = courier
        self._threads = threads
        self._places = asyncio.Semaphore(SPINNERS)
        self._spinning: set[asyncio.Task[None]] = set()

    async def answer(self, update: Update) -> None:
        """Post the answer to an update, and mark it.

        Raises:
            TakenError: nothing has been done.
        """
        read, receipt = self._read(update)
        if isinstance(read, inbound.Attached):
            read = await self._fetched(read)
        if isinstance(read, Incoming):
            try:
                await self._think(read, receipt)
            except TakenError:
                raise
            except Exception as error:
                LOG.error("an update failed: %s", fact(error))
                await self._say([Reply((Part(WENT_WRONG),))], update.chat, receipt)
        else:
            await self._say([read] if read else [], update.chat, receipt)

    def seen(self, query: str) -> None:
        """Stop a pressed button from spinning; nothing depends on it."""
        task = asyncio.create_task(self._stop_spinning(query))
        self._spinning.add(task)
        task.add_done_callback(self._spinning.discard)

    async def end(self) -> None:
        """Nothing, once no button is being told any more."""
        if self._spinning:
            await asyncio.wait(self._spinning, timeout=1)

    async def _stop_spinning(self, query: str) -> None:
        async with self._places:
            if not self._courier.hushed:
                await unless_refused(self._bot.answer_callback_query(query))

    async def _fetched(self, attached: inbound.Attached) -> Incoming | Reply:
        """The message with the content of its file; an answer where that can't be had."""
        try:
            file = await self._bot.get_file(attached.file)
            if (file.file_size or 0) <= inbound.MOST_FILE:
                content = bytes(await file.download_as_bytearray())
                if len(content) <= inbound.MOST_FILE:
                    return attached.with_content(content)
        except TelegramError as failure:
            LOG.warning("a file could not be fetched: %s", fact(failure))
            return Reply((Part(NO_FILE),))
        return Reply((Part(FILE_TOO_LONG.format(most=inbound.MOST_FILE // 1000)),))

    def _read(self, update: Update) -> tuple[Incoming | inbound.Attached | Reply | None, Receipt]:
        try:
            whole = ChannelUpdate.de_json(json.loads(update.body or ""), self._bot)
            read = inbound.read(whole, self._bot.username)
        except Exception as error:  # whatever a library falls over when a shape is new to it
            LOG.error("an update can't be read and is left out: %s", type(error).__name__)
            return None, Receipt(update.number)
        query = whole.callback_query
        over = query.message.message_id if query and query.message else None
        return read, Receipt(update.number, over)

    async def _say(self, replies: list[Reply], chat: str, receipt: Receipt) -> None:
        await self._threads.post(self._answerer.say, replies, chat, receipt)

    async def _think(self, incoming: Incoming, receipt: Receipt) -> None:
        thinking = asyncio.create_task(
            self._threads.think(self._answerer.answer, incoming, receipt)
        )
        chat = int(incoming.chat.partition(":")[2])
        pause = SIGN_AFTER_S
        while not (await asyncio.wait({thinking}, timeout=pause))[0]:
            if not self._courier.hushed:
                await unless_refused(self._bot.send_chat_action(chat, ChatAction.TYPING))
            pause = SIGN_AGAIN_S
        thinking.result()


async def unless_refused(call: Awaitable[object]) -> None:
    """Make a call that nothing depends on."""
    with suppress(TelegramError):
        await call
