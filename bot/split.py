"""Long texts in pieces that the channel takes, without losing or changing a character."""

import unicodedata

MOST = 4096  # UTF-16 units of a message's text, counted without its markup
BREAKS = ("\n\n", "\n", " ")  # where to break, best first
LOOK_BACK = 32  # characters a drawn sign may be made of: a family of emoji has seven to eleven
JOINER = "\u200d"


def units(text: str) -> int:
    """Length in UTF-16 units: an emoji counts two."""
    return len(text) + sum(char > "\uffff" for char in text)


def cut(text: str, most: int = MOST) -> list[str]:
    """The text in pieces of at most `most` units; joined they are the text again.

    A piece ends at a blank line, else a line's end, else a space, if there is one in its second
    half; else between two signs. What separates two pieces stays with the first.
    """
    pieces, start = [], 0
    while (reach := _reach(text, start, most)) < len(text):
        end = _break(text, start, reach)
        pieces.append(text[start:end])
        start = end
    return [*pieces, text[start:]]


def _reach(text: str, start: int, most: int) -> int:
    """Where `most` units from `start` end."""
    used = 0
    # No character takes less than one unit, so there is no need to look further.
    for at in range(start, min(len(text), start + most + 1)):
        used += 2 if text[at] > "\uffff" else 1
        if used > most:
            return at
    return len(text)


def _break(text: str, start: int, reach: int) -> int:
    for mark in BREAKS:
        at = text.rfind(mark, (start + reach) // 2, reach)
        if at > start:
            return at + len(mark)
    for at in range(reach, max(reach - LOOK_BACK, start), -1):
        if not _one_sign(text[at - 1], text[at]):
            return at
    return reach


def _one_sign(left: str, right: str) -> bool:
    """Whether two characters are drawn as one sign."""
    return (
        JOINER in (left, right)
        or unicodedata.category(right) in ("Mn", "Me", "Mc")
        or "\U0001f3fb" <= right <= "\U0001f3ff"  # a tone of skin
        or ("\U0001f1e6" <= left <= "\U0001f1ff" and "\U0001f1e6" <= right <= "\U0001f1ff")  # flag
    )
