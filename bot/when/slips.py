"""Words of dates as thumbs type them: "wensday", "2moro", "tue6pm", "18;00".

A slip is mended only where a single word of dates is that near. A line in which other words stand
may hold names ("Marco", "Frida", "Eve"), so there only weekdays with a "d" and a "y" and the long
months are mended. What is already a word of dates stays as it is.
"""

import re
from functools import lru_cache

from rapidfuzz.distance import OSA

from bot.when.words import DAY_WORDS, MONTH_NAMES, MONTHS, WEEKDAYS, any_of

SHORT = {
    "2moro": "tomorrow", "2morrow": "tomorrow", "2mrw": "tomorrow", "tomo": "tomorrow",
    "tmrw": "tomorrow", "tmr": "tomorrow", "tmw": "tomorrow", "tomoz": "tomorrow",
    "2day": "today", "2nite": "tonight", "2night": "tonight", "tonite": "tonight",
    "nxt": "next", "evry": "every", "wk": "week", "wks": "weeks", "mth": "month",
    "morn": "morning", "aft": "afternoon",
}  # fmt: skip
LONG_MONTH = 7  # letters; shorter ones are too near to names
LEAST, LONG = 5, 7  # letters from which one slip is mended, and two
DAY_FORMS = (*WEEKDAYS, *(f"{day}s" for day in WEEKDAYS))
NEAR_DAYS = ("tomorrow", "tonight")
DAY_NAMES = any_of([*DAY_WORDS, "today", "tomorrow", "tonight", *SHORT])
CLOCK = r"(?:\d{1,2}(?:[:.h]\d\d)? ?(?:am|pm)|\d{1,2}[:.h]\d\d|\d{1,2}h)"
MENDS = (
    (re.compile(r"(?<=\d);(?=\d\d\b)"), ":"),
    (re.compile(r"\b(\d{1,2})(\d\d)(?= ?[ap]m\b)"), r"\1:\2"),
    (re.compile(r" ?@ ?"), " at "),
    (re.compile(r"(?<=[a-z]),(?=\d)|(?<=[0-9m]),(?=[a-z])"), ", "),
    (re.compile(rf"\b({DAY_NAMES})(?={CLOCK}(?:$|\s))"), r"\1 "),
    (re.compile(rf"(?<![\w.:])({CLOCK})(?=(?:{DAY_NAMES})(?:$|\s))"), r"\1 "),
    (re.compile(rf"(?<![\w.:/])(\d{{1,2}})(?=(?:{any_of(MONTHS)})(?:$|\s))"), r"\1 "),
)


def mended(text: str, *, loose: bool = False) -> str:
    """The text in small letters with its slips mended.

    Args:
        text: in small letters.
        loose: other words than those of dates may stand in it.
    """
    for shape, instead in MENDS:
        text = shape.sub(instead, text)
    return " ".join(_word(word, loose=loose) for word in text.split())


@lru_cache(maxsize=4096)
def _word(word: str, *, loose: bool) -> str:
    bare = word.rstrip(",")
    if bare in SHORT:
        return SHORT[bare] + word[len(bare) :]
    known = (*DAY_FORMS, *NEAR_DAYS, *MONTH_NAMES)
    if len(bare) < LEAST or not bare.isalpha() or bare in known:
        return word
    days = DAY_FORMS if "d" in bare and "y" in bare else ()
    months = [name for name in MONTH_NAMES if len(name) >= LONG_MONTH or not loose]
    nearest = _nearest(bare, (*days, *NEAR_DAYS, *months))
    return nearest + word[len(bare) :] if nearest else word


def _nearest(word: str, known: tuple[str, ...]) -> str | None:
    """The one word that is nearest, at most two slips away; None where two are as near."""
    allowed = 2 if len(word) >= LONG else 1
    found = sorted((OSA.distance(word, each), each) for each in known)
    (slips, best), (others, _) = found[:2]
    if slips > allowed or others == slips or (slips > 1 and best[0] != word[0]):
        return None
    return best
