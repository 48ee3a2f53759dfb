"""What comes back for a message: text, buttons, files, values; no channel in it."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True, slots=True)
class Button:
    """A label to press, and the line that pressing it says for her.

    A button speaks the language she types: one grammar reads both, and a button that is pressed a
    week later means what it says.
    """

    label: str
    line: str


@dataclass(frozen=True, slots=True)
class Part:
    """A piece of a reply's text; `table` keeps its columns, in a fixed-width face if it can."""

    text: str
    table: bool = False


@dataclass(frozen=True, slots=True)
class File:
    """A file that comes with a reply."""

    name: str
    content: bytes
    kind: str  # media type


@dataclass(frozen=True, slots=True)
class Reply:
    """One answer.

    Attributes:
        parts: the text, piece by piece; a blank line stands between two.
        rows: buttons, row by row.
        data: the same answer as plain JSON values, for programs.
        more: parts that stay folded behind a "more" button on a small screen.
    """

    parts: tuple[Part, ...]
    rows: tuple[tuple[Button, ...], ...] = ()
    data: Mapping[str, Any] = field(default_factory=dict)
    files: tuple[File, ...] = ()
    more: tuple[Part, ...] = ()

    @property
    def text(self) -> str:
        """The whole text, unfolded."""
        return "\n\n".join(part.text for part in (*self.parts, *self.more))

    @property
    def buttons(self) -> tuple[Button, ...]:
        """Every button, in reading order."""
        return tuple(button for row in self.rows for button in row)


@dataclass(frozen=True, slots=True)
class Incoming:
    """A message as it comes through a door.

    Attributes:
        door: who speaks, e.g. "telegram:4711".
        chat: where, e.g. "telegram:4711" or a group's.
        text: what was typed, or the line of the button that was pressed.
        private: False in a group chat.
        tapped: whether a button was pressed.
    """

    door: str
    chat: str
    text: str
    private: bool = True
    tapped: bool = False
