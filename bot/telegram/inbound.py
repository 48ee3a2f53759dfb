"""Updates of the channel as incoming messages."""

import re

from telegram import CallbackQuery, Message, Update

from bot.reply import Incoming, Part, Reply
from bot.wording.channel import TEXT_ONLY

COMMAND = re.compile(r"/([A-Za-z0-9_]{1,32})(?:@([A-Za-z0-9_]+))?(?=\s|$)")


def read(update: Update, username: str) -> Incoming | Reply | None:
    """The message an update brings, an answer that needs no thinking, or None to stay silent."""
    if update.callback_query:
        return _tap(update.callback_query)
    if update.message:
        return _message(update.message, username)
    return None


def _tap(query: CallbackQuery) -> Incoming | None:
    if query.data is None or query.message is None:
        return None
    chat = query.message.chat
    return Incoming(
        door=f"telegram:{query.from_user.id}",
        chat=f"telegram:{chat.id}",
        text=query.data,
        private=chat.type == chat.PRIVATE,
        tapped=True,
    )


def _message(message: Message, username: str) -> Incoming | Reply | None:
    private = message.chat.type == message.chat.PRIVATE
    if message.from_user is None or message.from_user.is_bot:
        return None  # a channel's post, a bot: nobody who could be answered
    if message.text is None:
        # In a group a picture is not meant for us, and service notes (a title, a pin) never are.
        asked = private and message.effective_attachment is not None
        return Reply((Part(TEXT_ONLY),)) if asked else None
    if not private and not message.text.startswith("/"):
        return None  # people talking to one another
    text = plain(message.text, username)
    if text is None:
        return None
    return Incoming(
        door=f"telegram:{message.from_user.id}",
        chat=f"telegram:{message.chat.id}",
        text=text,
        private=private,
    )


def plain(text: str, username: str) -> str | None:
    """The text with its command as a word ("/plan@us 45" -> "plan 45"); None for another bot's."""
    found = COMMAND.match(text)
    if found is None:
        return text
    word, addressed = found.groups()
    if addressed and addressed.casefold() != username.casefold():
        return None
    return f"{word}{text[found.end() :]}"
