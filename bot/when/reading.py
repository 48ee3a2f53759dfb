"""A date phrase -> a wall time or what recurs, or a question; nothing in between.

A phrase is read only when white-listed shapes cover all of it. Then the parts have to fit: one time
of day, a weekday that agrees with its date, nothing that has passed, nothing beyond thirteen
months. Everything else is a `WhenError` with a reason and, where there are some, readings to tap.
"""

import re
from datetime import datetime, time
from functools import lru_cache

from bot.when import clocks, dates, days, repeats
from bot.when.clocks import Reader
from bot.when.daytime import which_time
from bot.when.parts import NotADateError, Placed, Setting, WeakError, When, WhenError
from bot.when.sentence import UNTIMED, Sentence
from bot.when.slips import mended
from bot.when.words import Order

MOST_WORDS = 16


def read(
    text: str,
    now: datetime,
    order: Order = Order.DAY_FIRST,
    untimed: time = UNTIMED,
    *,
    loose: bool = False,
) -> When:
    """What the phrase says, all of it understood.

    Args:
        text: as typed.
        now: this moment where she is; with its zone, so that hours from now are true hours.
        untimed: the time of day where none is said; `When.timed` tells.
        loose: the phrase was cut from a longer line; "may" and "12" alone are no dates then.

    Raises:
        NotADateError: a word of it is no date or time.
        WhenError: it is unclear, has passed, lies too far ahead, or can't be.
    """
    at = Setting(now.replace(tzinfo=None, fold=0, microsecond=0), order, loose)
    text = plain(text, loose=loose)
    try:
        found = Sentence(text, parse(text, at), at, untimed, now).when()
        if found.rule and found.open_time and not loose:
            raise which_time(text)
        return found
    except WhenError as why:
        good = (each for each in why.readings if _good(plain(each), at, untimed, now))
        raise WhenError(str(why), why.words, tuple(good)) from None


def _good(text: str, at: Setting, untimed: time, now: datetime) -> bool:
    """Whether a reading would be understood."""
    try:
        return bool(Sentence(text, parse(text, at), at, untimed, now).when())
    except (WhenError, NotADateError):
        return False


def plain(text: str, *, loose: bool = False) -> str:
    """In small letters, slips mended, with single spaces, without signs that mean nothing here."""
    text = text.casefold().replace("’", "'").replace("o'clock", "oclock")
    text = re.sub(r"\b([ap])\.? ?m\b\.?", r"\1m", text)
    text = re.sub(r"(?<=\d)\.(?=$|\s)|(?<=[a-z])\.(?=$|\s)|[!?;:]+(?=$|\s)", "", text)
    return mended(text, loose=loose)


def _shapes() -> "list[tuple[re.Pattern[str], Reader]]":
    every = (*repeats.SHAPES, *days.SHAPES, *dates.SHAPES, *clocks.SHAPES)
    return [(re.compile(f"(?:{shape})(?=$|[ ,])"), reader) for shape, reader in every]


@lru_cache(maxsize=1)
def _compiled() -> "list[tuple[re.Pattern[str], Reader]]":
    return _shapes()


def parse(text: str, at: Setting) -> list[Placed]:
    """The pieces of the phrase; always the longest shape that fits.

    Raises:
        NotADateError: a word fits no shape.
        WhenError: a shape fits and can't be ("31 feb").
    """
    matches, end = _matched(text)
    if end < len(text) or not matches or text.count(" ") >= MOST_WORDS:
        raise NotADateError
    pieces: list[Placed] = []
    for found, reader in matches:
        begin, end = found.span()
        try:
            pieces += (Placed(each, begin, end) for each in reader(found, at))
        except WhenError as why:
            if isinstance(why, WeakError) and at.loose and len(matches) == 1:
                raise NotADateError from None
            raise why.inside(text[:begin], text[end:]) from None
    return pieces


def most_words(text: str) -> int:
    """How many words a phrase at the beginning of the plain text can have at the most."""
    return len(text[: _matched(text)[1]].split())


@lru_cache(maxsize=256)
def _matched(text: str) -> tuple[list[tuple[re.Match[str], Reader]], int]:
    """The shapes one after another, and where they end."""
    matches: list[tuple[re.Match[str], Reader]] = []
    place = 0
    while place < len(text):
        best, longest = None, place
        for shape, reader in _compiled():
            found = shape.match(text, place)
            if found and found.end() > longest:
                best, longest = (found, reader), found.end()
        if best is None:
            break
        matches.append(best)
        place = longest + (text[longest : longest + 1] == " ")
    return matches, place
