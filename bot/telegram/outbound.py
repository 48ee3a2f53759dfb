"""Letters as the channel's messages: markup and keyboards."""

import html
from collections.abc import Iterable
from dataclasses import dataclass

from telegram import InlineKeyboardButton, InlineKeyboardMarkup

from bot.letter import Letter, Rows, letters
from bot.reply import Part, Reply


@dataclass(frozen=True, slots=True)
class Bubble:
    """One message: its text with markup, the same without, and its keyboard."""

    html: str
    plain: str
    keys: InlineKeyboardMarkup | None = None


def bubble(letter: Letter) -> Bubble:
    """The message of a letter without a file."""
    return Bubble(_html(letter.parts), _plain(letter.parts), _keys(letter.rows))


def bubbles(reply: Reply) -> list[Bubble]:
    """The messages of a reply; the keyboard hangs on the last."""
    return [bubble(letter) for letter in letters([reply]) if letter.file is None]


def _keys(rows: Rows) -> InlineKeyboardMarkup | None:
    keys = [
        [InlineKeyboardButton(key.label, callback_data=key.line) for key in row] for row in rows
    ]
    return InlineKeyboardMarkup(keys) if keys else None


def _html(pieces: Iterable[Part]) -> str:
    return "".join(
        f"<pre>{html.escape(piece.text, quote=False)}</pre>"
        if piece.table and piece.text.strip()
        else html.escape(piece.text, quote=False)
        for piece in pieces
    )


def _plain(pieces: Iterable[Part]) -> str:
    return "".join(piece.text for piece in pieces)
