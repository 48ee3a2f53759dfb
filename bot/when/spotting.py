"""Dates and times in the words of a brief, one piece at a time, between words of other kinds.

Where a whole phrase is at hand, `bot.when.reading` reads it; here "50 chair tue 18:00" is read word
by word, and only what stands in no other sentence counts.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from bot.when.dates import coming
from bot.when.days import ahead
from bot.when.daytime import EARLIEST
from bot.when.parts import WhenError
from bot.when.words import DAY_WORDS, MONTH_NAMES, MONTHS

CLOCK = re.compile(r"(\d{1,2})(?:([:.h])(\d{2})|h)?\s*(am|pm|a\.m|p\.m)?")
HALVES = ("am", "pm", "a.m", "p.m")
AHEAD = re.compile(r"in (?:\d{1,2}|an?|one|two|three|four|five|six) (?:day|week)s?")
ORDINAL = re.compile(r"(\d{1,2})(?:st|nd|rd|th)?")
PARTS_OF_DAY = {"noon": time(12), "midday": time(12)}
FURTHEST = timedelta(days=396)  # thirteen months
_DAY = timedelta(days=1)


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
        WhenError: it is one, but impossible ("31 feb", "25:00") or unclear ("at 6").
    """
    if not words:
        return None
    word = words[0]
    if word in ("today", "tonight"):
        return Spotted(1, day=now.date())
    if word in ("tomorrow", "tmrw", "tmr"):
        return Spotted(1, day=now.date() + _DAY)
    if word in DAY_WORDS:
        after = (DAY_WORDS[word] - now.weekday()) % 7
        return Spotted(1, day=now.date() + timedelta(days=after))
    if word in PARTS_OF_DAY:
        return Spotted(1, clock=PARTS_OF_DAY[word])
    if word == "in" and AHEAD.fullmatch(" ".join(words[:3])):
        return Spotted(3, day=ahead(" ".join(words[:3]), now.date()))
    if word == "at":
        _ask_bare_hour(words)
        return None
    return _date(words, now) or _clock(words)


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
    if moment <= now and day == now.date():
        raise WhenError(f"{clock:%H:%M} today has passed")
    if moment <= now:
        raise WhenError(f"{day:%a} {day.day} {day:%b} {day.year} has passed")
    if moment - now > FURTHEST:
        raise WhenError("that is more than thirteen months ahead")
    return moment


def _ask_bare_hour(words: Sequence[str]) -> None:
    """Let pass what is read after "at", and ask about a bare number.

    Raises:
        WhenError: it could be morning or evening, or minutes.
    """
    if len(words) < 2 or not words[1].isdecimal() or (words[2:3] and words[2] in HALVES):
        return
    hour = int(words[1]) if len(words[1]) < 3 else 24
    if 1 <= hour <= 12:
        readings = (f"{hour}am", f"{hour}pm")
        raise WhenError("in the morning or the evening?", 2, readings)
    if hour < 24:
        raise WhenError(f"say it like {hour}:00", 2, (f"{hour}:00",))


def _clock(words: Sequence[str]) -> Spotted | None:
    text, took = words[0], 1
    if len(words) > 1 and words[1] in HALVES and re.fullmatch(r"\d{1,2}([:.]\d{2})?", text):
        text, took = text + words[1], 2
    found = CLOCK.fullmatch(text)
    if not found or text.isdecimal():
        return None
    hour, dot, minute, half = int(found[1]), found[2] == ".", int(found[3] or 0), found[4]
    if half and not 1 <= hour <= 12:
        raise WhenError(f"{text} is no time of day", took)
    if half:
        hour = hour % 12 + (12 if half[0] == "p" else 0)
    if hour > 23 or minute > 59:
        raise WhenError(f"{text} is no time of day", took)
    plain = not half and not dot and ":" in text and not text.startswith("0")
    if plain and 1 <= hour < EARLIEST:
        raise WhenError(
            "in the morning or the evening?",
            took,
            (f"{hour}:{minute:02}am", f"{hour}:{minute:02}pm"),
        )
    if dot and not half and 1 <= minute <= 12 and hour:
        month = MONTH_NAMES[minute - 1][:3]
        raise WhenError("a time or a date?", took, (f"{hour}:{minute:02}", f"{hour} {month}"))
    return Spotted(took, clock=time(hour, minute))


def _date(words: Sequence[str], now: datetime) -> Spotted | None:
    word = words[0]
    if re.fullmatch(r"\d{4}-\d{2}-\d{2}", word):
        try:
            return Spotted(1, day=date.fromisoformat(word))
        except ValueError:
            raise WhenError(f"{word} is no date of the calendar") from None
    rest = [each for each in words if each != "of"]
    took = 3 if words[1:2] == ["of"] else 2
    number = ORDINAL.fullmatch(word)
    if number and len(rest) > 1 and rest[1] in MONTHS:
        return Spotted(took, day=coming(int(number[1]), rest[1], now.date(), took))
    if word not in MONTHS:
        return None
    number = ORDINAL.fullmatch(words[1]) if len(words) > 1 else None
    if number is None:
        raise WhenError(f"which day of {word}? Say it like 3 {word}")
    return Spotted(2, day=coming(int(number[1]), word, now.date(), 2))
