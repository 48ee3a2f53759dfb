"""Typed dates -> local wall time, or a question.

Only white-listed shapes are read; a word that is left over, a weekday that disagrees with its date,
and anything in the past are never guessed at. dateparser sees nothing but "3 dec"-like dates, naive
and in English, because it skips what it does not understand.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

import dateparser

WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
DAY_WORDS = {
    **{name: k for k, name in enumerate(WEEKDAYS)},
    **{name[:3]: k for k, name in enumerate(WEEKDAYS)},
    "tues": 1,
    "weds": 2,
    "thur": 3,
    "thurs": 3,
}
MONTHS = ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"]
MONTH = re.compile(rf"({'|'.join(MONTHS)})[a-z]*")
CLOCK = re.compile(r"(\d{1,2})(?:[:.h](\d{2})|h)?\s*(am|pm)?")
PARTS_OF_DAY = {"noon": time(12), "midday": time(12)}
FURTHEST = timedelta(days=396)  # thirteen months


class WhenError(Exception):
    """The words are a date or time, but not one that can be used; the message says why."""


@dataclass(frozen=True, slots=True)
class Spotted:
    """A date or time at the head of some words: how many it took, and what it is."""

    words: int
    day: date | None = None
    clock: time | None = None


def spot(words: Sequence[str], now: datetime) -> Spotted | None:
    """The date or time that the first words spell, or None when they spell none.

    Args:
        words: in small letters.
        now: local wall time, naive.

    Raises:
        WhenError: it is one, but impossible ("31 feb", "25:00").
    """
    if not words:
        return None
    word = words[0]
    if word in ("today", "tonight"):
        return Spotted(1, day=now.date())
    if word in ("tomorrow", "tmrw", "tmr"):
        return Spotted(1, day=now.date() + timedelta(days=1))
    if word in DAY_WORDS:
        ahead = (DAY_WORDS[word] - now.weekday()) % 7
        return Spotted(1, day=now.date() + timedelta(days=ahead))
    if word in PARTS_OF_DAY:
        return Spotted(1, clock=PARTS_OF_DAY[word])
    if re.fullmatch(r"\d{4}-\d{2}-\d{2}", word):
        return Spotted(1, day=_date(word, ["%Y-%m-%d"], now))
    dated = re.fullmatch(r"(\d{1,2})(?:st|nd|rd|th)?", word)
    if dated and len(words) > 1 and MONTH.fullmatch(words[1]):
        return Spotted(2, day=_date(f"{dated[1]} {words[1]}", ["%d %b", "%d %B"], now))
    if MONTH.fullmatch(word) and len(words) > 1 and re.fullmatch(r"\d{1,2}", words[1]):
        return Spotted(2, day=_date(f"{words[1]} {word}", ["%d %b", "%d %B"], now))
    return _clock(words)


def join(day: date | None, clock: time | None, now: datetime) -> datetime | None:
    """The wall time that a day and a clock make together; a class needs both, or neither.

    Raises:
        WhenError: one is missing, or the moment has passed or lies too far ahead.
    """
    if day is None and clock is None:
        return None
    if clock is None:
        raise WhenError("which time of day? Say it like 18:00 or 6pm")
    if day is None:
        day = now.date() if datetime.combine(now.date(), clock) > now else now.date() + _DAY
    moment = datetime.combine(day, clock)
    if moment <= now and day == now.date() and now.date().weekday() == day.weekday():
        raise WhenError(f"{clock:%H:%M} today has passed")
    if moment <= now:
        raise WhenError(f"{day:%a} {day.day} {day:%b} has passed")
    if moment - now > FURTHEST:
        raise WhenError("that is more than thirteen months ahead")
    return moment


_DAY = timedelta(days=1)


def _clock(words: Sequence[str]) -> Spotted | None:
    text = words[0]
    took = 1
    if len(words) > 1 and words[1] in ("am", "pm") and re.fullmatch(r"\d{1,2}([:.]\d{2})?", text):
        text, took = text + words[1], 2
    found = CLOCK.fullmatch(text)
    if not found or re.fullmatch(r"\d+", text):
        return None
    hour, minute, half = int(found[1]), int(found[2] or 0), found[3]
    if half and not 1 <= hour <= 12:
        raise WhenError(f"{text} is no time of day")
    if half:
        hour = hour % 12 + (12 if half == "pm" else 0)
    if hour > 23 or minute > 59:
        raise WhenError(f"{text} is no time of day")
    return Spotted(took, clock=time(hour, minute))


def _date(text: str, formats: list[str], now: datetime) -> date:
    found = dateparser.parse(
        text,
        date_formats=formats,
        languages=["en"],
        settings={"RELATIVE_BASE": now, "PREFER_DATES_FROM": "future", "STRICT_PARSING": False},
    )
    number = re.search(r"\d{1,2}$|^\d{1,2}", text)
    if found is None or (number and "-" not in text and found.day != int(number[0])):
        raise WhenError(f"{text} is no date of the calendar")
    day = found.date()
    if "-" not in text and day < now.date():
        day = day.replace(year=day.year + 1)
    return day
