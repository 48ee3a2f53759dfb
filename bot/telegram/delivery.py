"""Replies brought to a chat, with the channel's refusals dealt with."""

import asyncio
import logging
from collections.abc import Awaitable, Callable, Iterable
from datetime import timedelta
from enum import Enum, auto

from httpx import ReadTimeout
from telegram import Bot
from telegram.constants import ParseMode
from telegram.error import BadRequest, NetworkError, RetryAfter

from bot.reply import File, Reply
from bot.telegram.outbound import Bubble, bubbles

LOG = logging.getLogger(__name__)
LARGEST_PHOTO = 10 * 1000 * 1000  # bytes; the channel says "10 MB" and not which
PHOTOS = frozenset({"image/png", "image/jpeg", "image/webp"})
LONGEST_WAIT_S = 60.0  # house choice: an answer that is later than that has lost its question
SLACK_S = 0.1  # after the wait the channel asks for, so that our clock does not run ahead of its
AFTER_FAILURE_S = 1.0

Write = Callable[[str, str | None], Awaitable[object]]


class Edit(Enum):
    """What came of changing a message in place."""

    MADE = auto()
    NEEDLESS = auto()
    IMPOSSIBLE = auto()


async def deliver(bot: Bot, chat: int, replies: Iterable[Reply], over: int | None = None) -> None:
    """Show the replies in order; the first message takes the place of message `over`, if given.

    Raises:
        Forbidden: the chat is closed to us.
        TelegramError: the channel will not take it.
    """
    for reply in replies:
        for bubble in bubbles(reply):
            if over is None:
                await _sent(bot, chat, bubble)
                continue
            outcome = await _edited(bot, chat, bubble, over)
            over = None
            if outcome is Edit.IMPOSSIBLE:
                await _sent(bot, chat, bubble)
            elif outcome is Edit.NEEDLESS:
                break  # a button pressed twice: the rest of this answer stands below already
        for file in reply.files:
            await _hand_over(bot, chat, file)


async def _sent(bot: Bot, chat: int, bubble: Bubble) -> None:
    async def send(text: str, mode: str | None) -> object:
        return await bot.send_message(chat, text, parse_mode=mode, reply_markup=bubble.keys)

    await _written(send, bubble)


async def _edited(bot: Bot, chat: int, bubble: Bubble, over: int) -> Edit:
    tries = 0

    # Without a keyboard the old one goes; an empty one the library would send as "{}".
    async def edit(text: str, mode: str | None) -> object:
        nonlocal tries
        tries += 1
        return await bot.edit_message_text(
            text, chat_id=chat, message_id=over, parse_mode=mode, reply_markup=bubble.keys
        )

    try:
        await _written(edit, bubble)
    except BadRequest as refusal:
        if "not modified" not in refusal.message.casefold():
            return Edit.IMPOSSIBLE  # gone, too old, a picture: whichever, it can be sent anew
        # At a second try it was the first, unanswered one that made the change.
        return Edit.NEEDLESS if tries == 1 else Edit.MADE
    return Edit.MADE


async def _written(write: Write, bubble: Bubble) -> None:
    try:
        await _patiently(lambda: write(bubble.html, ParseMode.HTML))
    except BadRequest as refusal:
        if "parse entities" not in refusal.message.casefold():
            raise
        LOG.warning("the channel did not take our markup; sent without")
        await _patiently(lambda: write(bubble.plain, None))


async def _hand_over(bot: Bot, chat: int, file: File) -> None:
    if file.kind in PHOTOS and len(file.content) <= LARGEST_PHOTO:
        try:
            await _patiently(lambda: bot.send_photo(chat, file.content, filename=file.name))
        except BadRequest:
            LOG.info("a picture was not taken as a photo; sent as a file")
        else:
            return
    await _patiently(lambda: bot.send_document(chat, file.content, filename=file.name))


async def _patiently(call: Callable[[], Awaitable[object]]) -> None:
    """Make the call; once more when the channel asks to wait, or broke down.

    A call that was only slow is not repeated: its message is there, as a rule, and would be twice.
    """
    try:
        await call()
    except RetryAfter as asked:
        pause = _seconds(asked.retry_after)
        if pause > LONGEST_WAIT_S:
            raise
        LOG.info("the channel asks to wait %.0f s", pause)
        await asyncio.sleep(pause + SLACK_S)
        await call()
    except BadRequest:  # a kind of NetworkError to the library, but repeating it changes nothing
        raise
    except NetworkError as failure:
        if isinstance(failure.__cause__, ReadTimeout):
            LOG.warning("the channel was slow; a message may be missing")
            return
        LOG.warning("the channel broke down (%s); once more", type(failure).__name__)
        await asyncio.sleep(AFTER_FAILURE_S)
        await call()


def _seconds(pause: float | timedelta) -> float:
    return pause.total_seconds() if isinstance(pause, timedelta) else float(pause)
