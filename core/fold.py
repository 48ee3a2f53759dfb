"""Typed text made comparable: no case, no accents, no punctuation, single spaces."""

import re
import unicodedata


def fold(text: str) -> str:
    """The text in small letters and digits, words parted by single spaces."""
    plain = unicodedata.normalize("NFKD", text.casefold())
    bare = "".join(c for c in plain if not unicodedata.combining(c))
    return " ".join(re.findall(r"[^\W_]+", bare))
