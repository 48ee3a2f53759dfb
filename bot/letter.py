"""Replies as letters: messages of a size the channel takes, kept as text until they are sent.

A letter is one message on the phone. It has no markup and no channel's library in it, and its
buttons carry what goes over the wire.
"""

import json
from base64 import b64decode, b64encode
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from bot.buttons import unfolded, wire
from bot.reply import Button, File, Part, Reply
from bot.split import MOST, cut, units
from bot.wording.channel import CHOOSE, MORE

GAP = "\n\n"  # between two parts, as in Reply.text
LONGEST_LABEL = 40  # characters; house choice, a phone shows about thirty
MOST_IN_ROW = 8
MOST_BUTTONS = 100

Rows = tuple[tuple[Button, ...], ...]


@dataclass(frozen=True, slots=True)
class Letter:
    """One message.

    Attributes:
        parts: its text, in pieces that stand one behind the other; nothing beside a file.
        rows: its keyboard; the line of a button is what the wire carries.
        over: the message it takes the place of, if it can.
        file: what it brings instead of text.
    """

    parts: tuple[Part, ...] = ()
    rows: Rows = ()
    over: int | None = None
    file: File | None = None


def letters(replies: Iterable[Reply], over: int | None = None) -> list[Letter]:
    """The messages of these replies; the first with text takes the place of message `over`."""
    found: list[Letter] = []
    for reply in replies:
        for parts, rows in _texts(reply):
            found.append(Letter(parts, rows, over))
            over = None
        found += [Letter(file=file) for file in reply.files]
    return found


def _texts(reply: Reply) -> list[tuple[tuple[Part, ...], Rows]]:
    """The texts of a reply; the keyboard hangs on the last."""
    # The channel refuses a message in which nothing can be seen.
    seen = [p for p in pack(reply.parts) if "".join(piece.text for piece in p).strip()]
    rows = keyboard(reply)
    if rows and not seen:
        seen = [(Part(CHOOSE),)]
    last = len(seen) - 1
    return [(parts, rows if at == last else ()) for at, parts in enumerate(seen)]


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


def keyboard(reply: Reply) -> Rows:
    """The buttons of a reply, with a last one that unfolds it.

    Rows that are too wide are broken, and buttons beyond what the channel takes are left out.
    """
    more = [(Button(MORE, wire(line)),) for line in unfolded(reply)]
    room = MOST_BUTTONS - len(more)
    rows: list[tuple[Button, ...]] = []
    for row in reply.rows:
        keys = [_key(button) for button in row if button.line][:room]
        room -= len(keys)
        rows += [tuple(keys[at : at + MOST_IN_ROW]) for at in range(0, len(keys), MOST_IN_ROW)]
    return (*rows, *more)


def _key(button: Button) -> Button:
    label = " ".join(_encodable(button.label).split()) or button.line
    if len(label) > LONGEST_LABEL:
        label = label[: LONGEST_LABEL - 1].rstrip() + "…"
    return Button(label, wire(button.line))


def to_text(letter: Letter) -> str:
    """The letter as the outbox keeps it."""
    form: dict[str, object] = {
        "parts": [[part.text, part.table] for part in letter.parts],
        "rows": [[[key.label, key.line] for key in row] for row in letter.rows],
        "over": letter.over,
    }
    if letter.file:
        content = b64encode(letter.file.content).decode()
        form["file"] = [letter.file.name, content, letter.file.kind]
    return json.dumps(form, ensure_ascii=False)


def from_text(text: str) -> Letter:
    """The letter kept so."""
    form = json.loads(text)
    file = form.get("file")
    return Letter(
        tuple(Part(text, table) for text, table in form["parts"]),
        tuple(tuple(Button(label, line) for label, line in row) for row in form["rows"]),
        form["over"],
        File(file[0], b64decode(file[1]), file[2]) if file else None,
    )


def _encodable(text: str) -> str:
    """The text, half surrogate pairs replaced: they can't be sent, and would fail the message."""
    return text.encode("utf-16", "surrogatepass").decode("utf-16", "replace")
