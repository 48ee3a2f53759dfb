"""Updates of the channel as incoming messages."""

import re
from dataclasses import dataclass, replace

from telegram import CallbackQuery, Message, Update

from bot.reply import Incoming, Part, Reply
from bot.wording.channel import FILE_TOO_LONG, TEXT_ONLY

MOST_FILE = 200_000  # bytes of a calendar file that is fetched (house choice)
COMMAND = re.compile(r"/([A-Za-z0-9_]{1,32})(?:@([A-Za-z0-9_]+))?(?=\s|$)")


@dataclass(frozen=True, slots=True)
class Attached:
    """A calendar file that was sent; its content still has to be fetched.

    Attributes:
        incoming: the message, without its text.
        file: what the channel calls it.
    """

    incoming: Incoming
    file: str

    def with_content(self, content: bytes) -> Incoming:
        """The message as if its file had been pasted after the word."""
        text = content.decode("utf-8", "replace").replace("\r\n", "\n")
        return replace(self.incoming, text=f"import\n{text}")


def read(update: Update, username: str) -> Incoming | Attached | Reply | None:
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


def _calendar(message: Message) -> Attached | Reply | None:
    """A calendar file, or why it is not taken; None where another kind of thing was sent."""
    document, sender = message.document, message.from_user
    if document is None or sender is None:
        return None
    named = (document.file_name or "").casefold().endswith((".ics", ".ical"))
    if not named and document.mime_type != "text/calendar":
        return None
    if (document.file_size or 0) > MOST_FILE:
        return Reply((Part(FILE_TOO_LONG.format(most=MOST_FILE // 1000)),))
    door, chat = f"telegram:{sender.id}", f"telegram:{message.chat.id}"
    return Attached(Incoming(door, chat, ""), document.file_id)


def _message(message: Message, username: str) -> Incoming | Attached | Reply | None:
    private = message.chat.type == message.chat.PRIVATE
    if message.from_user is None or message.from_user.is_bot:
        return None  # a channel's post, a bot: nobody who could be answered
    if message.text is None:
        if private and (file := _calendar(message)):
            return file
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
