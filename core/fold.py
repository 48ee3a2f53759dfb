"""Typed text made comparable: no case, no accents, no punctuation, single spaces."""

import re
import unicodedata

WORD = re.compile(r"[^\W_]+")


def fold(text: str) -> str:
    """The text in small letters and digits, words parted by single spaces."""
    if text.isascii():  # nearly everything: nothing to decompose
        return " ".join(WORD.findall(text.lower()))
    plain = unicodedata.normalize("NFKD", text.casefold())
    bare = "".join(c for c in plain if not unicodedata.combining(c))
    return " ".join(WORD.findall(bare))
