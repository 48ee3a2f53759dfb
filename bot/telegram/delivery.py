"""One letter brought to a chat, with the channel's refusals dealt with that need no waiting."""

import logging
from collections.abc import Awaitable, Callable

from telegram import Bot, LinkPreviewOptions, Message
from telegram.constants import ParseMode
from telegram.error import BadRequest, ChatMigrated

from bot.letter import Letter
from bot.reply import File
from bot.telegram.outbound import Bubble, bubble

LOG = logging.getLogger(__name__)
LARGEST_PHOTO = 10 * 1000 * 1000  # bytes; the channel says "10 MB" and not which
PHOTOS = frozenset({"image/png", "image/jpeg", "image/webp"})
PLAIN_LINKS = LinkPreviewOptions(is_disabled=True)

Write = Callable[[str, str | None], Awaitable[Message | bool]]


class NeedlessError(Exception):
    """The message stood there already, and so does what was to follow it."""


async def deliver(bot: Bot, chat: int, letter: Letter, *, attempted: bool) -> int | None:
    """The number of the message that now shows the letter.

    Args:
        attempted: an earlier attempt may have got through.

    Raises:
        NeedlessError: a button was pressed twice: the answer stands there from the first time.
        TelegramError: the channel will not take it, or not now.
    """
    try:
        return await _delivered(bot, chat, letter, attempted=attempted)
    except ChatMigrated as moved:
        return await _delivered(bot, moved.new_chat_id, letter, attempted=attempted)


async def _delivered(bot: Bot, chat: int, letter: Letter, *, attempted: bool) -> int | None:
    if letter.file:
        return await _hand_over(bot, chat, letter.file)
    shown = bubble(letter)
    if letter.over is not None and await _edited(bot, chat, shown, letter.over, attempted):
        return letter.over
    return await _sent(bot, chat, shown)


async def _sent(bot: Bot, chat: int, shown: Bubble) -> int | None:
    async def send(text: str, mode: str | None) -> Message | bool:
        return await bot.send_message(
            chat,
            text,
            parse_mode=mode,
            reply_markup=shown.keys,
            link_preview_options=PLAIN_LINKS,
        )

    return await _written(send, shown)


async def _edited(bot: Bot, chat: int, shown: Bubble, over: int, attempted: bool) -> bool:
    """Whether the message now shows it; else it is gone, too old, a picture: send it anew."""

    # Without a keyboard the old one goes; an empty one the library would send as "{}".
    async def edit(text: str, mode: str | None) -> Message | bool:
        return await bot.edit_message_text(
            text,
            chat_id=chat,
            message_id=over,
            parse_mode=mode,
            reply_markup=shown.keys,
            link_preview_options=PLAIN_LINKS,
        )

    try:
        await _written(edit, shown)
    except BadRequest as refusal:
        if "not modified" not in refusal.message.casefold():
            return False
        if not attempted:
            raise NeedlessError from None
    return True


async def _written(write: Write, shown: Bubble) -> int | None:
    try:
        done = await write(shown.html, ParseMode.HTML)
    except BadRequest as refusal:
        if "parse entities" not in refusal.message.casefold():
            raise
        LOG.warning("the channel did not take our markup; sent without")
        done = await write(shown.plain, None)
    return done.message_id if isinstance(done, Message) else None


async def _hand_over(bot: Bot, chat: int, file: File) -> int:
    if file.kind in PHOTOS and len(file.content) <= LARGEST_PHOTO:
        try:
            return (await bot.send_photo(chat, file.content, filename=file.name)).message_id
        except BadRequest:
            LOG.info("a picture was not taken as a photo; sent as a file")
    return (await bot.send_document(chat, file.content, filename=file.name)).message_id
