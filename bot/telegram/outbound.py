"""Replies as the channel's messages: markup, pieces, keyboards."""

import html
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from telegram import InlineKeyboardButton, InlineKeyboardMarkup

from bot.buttons import unfolded, wire
from bot.reply import Button, Part, Reply
from bot.telegram.split import MOST, cut, units
from bot.wording.channel import CHOOSE, MORE

GAP = "\n\n"  # between two parts, as in Reply.text
LONGEST_LABEL = 40  # characters; house choice, a phone shows about thirty
MOST_IN_ROW = 8
MOST_BUTTONS = 100


@dataclass(frozen=True, slots=True)
class Bubble:
    """One message: its text with markup, the same without, and its keyboard."""

    html: str
    plain: str
    keys: InlineKeyboardMarkup | None = None


def bubbles(reply: Reply) -> list[Bubble]:
    """The messages of a reply; the keyboard hangs on the last."""
    written = [(_html(pieces), _plain(pieces)) for pieces in pack(reply.parts)]
    # The channel refuses a message in which nothing can be seen.
    seen = [(marked, plain) for marked, plain in written if plain.strip()]
    keys = keyboard(reply)
    if keys and not seen:
        seen = [(CHOOSE, CHOOSE)]
    last = len(seen) - 1
    return [Bubble(*texts, keys if at == last else None) for at, texts in enumerate(seen)]


def pack(parts: Sequence[Part]) -> list[tuple[Part, ...]]:
    """The parts by message, each message at most 4096 units; joined they are the reply's text.

    A part stays whole if it fits into a message at all; a longer table is cut into several.
    """
    messages: list[list[Part]] = []
    used = 0
    for number, part in enumerate(parts, 1):
        gap = GAP if number < len(parts) else ""
        pieces = cut(_encodable(part.text), MOST - len(gap))
        for at, piece in enumerate(pieces, 1):
            after = gap if at == len(pieces) else ""
            size = units(piece) + len(after)
            if not messages or used + size > MOST:
                messages.append([])
                used = 0
            messages[-1] += [Part(piece, part.table), *([Part(after)] if after else [])]
            used += size
    return [tuple(message) for message in messages]


def keyboard(reply: Reply) -> InlineKeyboardMarkup | None:
    """The buttons of a reply, with a last one that unfolds it; None when there is nothing to press.

    Rows that are too wide are broken, and buttons beyond what the channel takes are left out.
    """
    more = [[InlineKeyboardButton(MORE, callback_data=wire(line))] for line in unfolded(reply)]
    room = MOST_BUTTONS - len(more)
    rows: list[list[InlineKeyboardButton]] = []
    for row in reply.rows:
        keys = [_key(button) for button in row if button.line][:room]
        room -= len(keys)
        rows += [keys[at : at + MOST_IN_ROW] for at in range(0, len(keys), MOST_IN_ROW)]
    return InlineKeyboardMarkup([*rows, *more]) if rows or more else None


def _key(button: Button) -> InlineKeyboardButton:
    label = " ".join(_encodable(button.label).split()) or button.line
    if len(label) > LONGEST_LABEL:
        label = label[: LONGEST_LABEL - 1].rstrip() + "…"
    return InlineKeyboardButton(label, callback_data=wire(button.line))


def _html(pieces: Iterable[Part]) -> str:
    return "".join(
        f"<pre>{html.escape(piece.text, quote=False)}</pre>"
        if piece.table and piece.text.strip()
        else html.escape(piece.text, quote=False)
        for piece in pieces
    )


def _plain(pieces: Iterable[Part]) -> str:
    return "".join(piece.text for piece in pieces)


def _encodable(text: str) -> str:
    """The text, half surrogate pairs replaced: they can't be sent, and would fail the message."""
    return text.encode("utf-16", "surrogatepass").decode("utf-16", "replace")
