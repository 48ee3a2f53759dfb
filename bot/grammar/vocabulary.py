"""The words a brief is made of, and what they mean."""

import re
import unicodedata
from collections.abc import Mapping

from core.exercise import Level

LEVELS: Mapping[str, Level | None] = {
    "1": Level.FUNDAMENTAL,
    "2": Level.INTERMEDIATE,
    "3": Level.ADVANCED,
    "one": Level.FUNDAMENTAL,
    "two": Level.INTERMEDIATE,
    "three": Level.ADVANCED,
    "fundamental": Level.FUNDAMENTAL,
    "beginner": Level.FUNDAMENTAL,
    "beginners": Level.FUNDAMENTAL,
    "intermediate": Level.INTERMEDIATE,
    "advanced": Level.ADVANCED,
    "mixed": None,
    "all": None,
}
LEVEL_ALONE = ("fundamental", "beginner", "beginners", "intermediate", "advanced", "mixed")
FOCUS = ("focus", "focusing", "focussed", "focused")
WITHOUT = ("no", "without", "avoid", "not")
MUST = ("with", "must", "include", "including")
FOR = "for"
GROUP = "group"
ARTICLES = ("a", "an", "the", "my", "our")
PEOPLE = ("people", "persons", "clients", "ppl")
CLASS = frozenset(("class", "plan", "session"))  # never a slip for something else ("plank")
FILLERS = CLASS | frozenset("a an the of on at and min mins minute minutes please group".split())
KEYWORDS = ("level", "focus", "without", "with", "for", "people", "private")
MINUTES = re.compile(r"(-?\d+(?:\.\d+)?)(?:m|min|mins|minutes|')?")
# Up to five hours is a length, and mostly one too long; "18h" is a time of day.
HOURS = re.compile(r"([1-5])(\.5)?(?:h|hr|hrs|hour|hours)([0-5]\d)?")
HOUR_WORDS = ("h", "hr", "hrs", "hour", "hours")
SPELLED = {
    "fifteen": "15", "twenty": "20", "thirty": "30", "forty": "40", "fifty": "50", "sixty": "60",
    "ninety": "90", "hour": "60",
}  # fmt: skip
SIZE = re.compile(r"(\d+)(?:x|ppl|people)")


def only_signs(word: str) -> bool:
    """Whether a word is nothing but punctuation and signs like "&" and "+": no picture, no word."""
    return all(unicodedata.category(c)[0] == "P" or c in "+=|<>~" for c in word)


def minutes_of(word: str) -> int | None:
    """The minutes that a word for hours says ("1h", "1.5h", "1h15"), or None."""
    hours = HOURS.fullmatch(word)
    if hours is None:
        return None
    return int(hours[1]) * 60 + (30 if hours[2] else 0) + int(hours[3] or 0)
