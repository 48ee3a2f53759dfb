"""What a button carries on the wire: its line, or a token for a line that is too long.

The channel allows 64 bytes. Most lines fit; a longer one is kept in the store under a token that
depends on the line alone, so pressing an old button finds the same line again.
"""

import hashlib
import json
from collections.abc import Iterable

from bot.ports import Store
from bot.reply import Button, Part, Reply

MOST_BYTES = 64
MARK = "~"
UNFOLD = "more "


def wire(line: str) -> str:
    """What stands for the line on the wire, at most 64 bytes of UTF-8."""
    if len(line.encode()) <= MOST_BYTES and not line.startswith(MARK):
        return line
    return MARK + hashlib.sha256(line.encode()).hexdigest()[:24]


def keep(replies: Iterable[Reply], store: Store) -> None:
    """Keep every line that travels as a token."""
    for reply in replies:
        for line in (*(button.line for button in reply.buttons), *unfolded(reply)):
            token = wire(line)
            if token != line:
                store.keep_line(token, line)


def line_of(text: str, store: Store) -> str | None:
    """The line a pressed button stands for; None when its token is no longer known."""
    return store.line(text) if text.startswith(MARK) else text


def unfolded(reply: Reply) -> tuple[str, ...]:
    """The line that shows a folded reply whole: none when nothing is folded."""
    if not reply.more:
        return ()
    form = {
        "parts": [[part.text, part.table] for part in (*reply.parts, *reply.more)],
        "rows": [[[button.label, button.line] for button in row] for row in reply.rows],
    }
    return (UNFOLD + json.dumps(form, ensure_ascii=False),)


def unfold(line: str) -> Reply | None:
    """The whole reply that such a line shows, its tables and buttons included; else None."""
    if not line.startswith(UNFOLD):
        return None
    form = json.loads(line.removeprefix(UNFOLD))
    return Reply(
        tuple(Part(text, table) for text, table in form["parts"]),
        tuple(tuple(Button(label, said) for label, said in row) for row in form["rows"]),
    )
