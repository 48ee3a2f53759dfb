"""Days and spans in a flag as it is typed: month, day and month, weeks ago; day before month.

Everything is relative to a day handed in. A year that is not written is the one that fits the
direction: back for what has begun, forward for what is to come.
"""

import calendar
import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

MONTHS = {name.lower(): n for n, name in enumerate(calendar.month_name) if name} | {
    "jan": 1, "feb": 2, "mar": 3, "apr": 4, "jun": 6, "jul": 7, "aug": 8, "sep": 9, "sept": 9,
    "oct": 10, "nov": 11, "dec": 12,
}  # fmt: skip
WEEKDAYS = {name.lower(): n for n, name in enumerate(calendar.day_name)} | {
    "mon": 0, "tue": 1, "tues": 1, "wed": 2, "thu": 3, "thur": 3, "thurs": 3, "fri": 4,
}  # fmt: skip
NUMBERS = {
    word: n
    for n, word in enumerate(
        "one two three four five six seven eight nine ten eleven twelve".split(), start=1
    )
} | {"a": 1, "an": 1, "couple": 2, "few": 3}
UNITS = {
    "d": "day", "day": "day", "days": "day", "w": "week", "wk": "week", "wks": "week",
    "week": "week", "weeks": "week", "mth": "month", "mths": "month", "month": "month",
    "months": "month", "y": "year", "yr": "year", "yrs": "year", "year": "year", "years": "year",
}  # fmt: skip
NEAR = {"today": 0, "now": 0, "yesterday": -1, "tomorrow": 1}
FIRST_YEAR, LAST_YEAR = 1930, 2199


@dataclass(frozen=True, slots=True)
class Span:
    """A length of time as typed; months and years are calendar ones."""

    days: int = 0
    months: int = 0


@dataclass(frozen=True, slots=True)
class ReadDay:
    """A day that was read, and how many words it took.

    Attributes:
        guessed_year: no year stood there.
    """

    day: date
    taken: int
    guessed_year: bool = False


def read_span(words: Sequence[str]) -> tuple[Span, int] | None:
    """The span that begins the words ("6 weeks", "a couple of months", "24+3", "6/52")."""
    words = list(words)
    if not words:
        return None
    if found := re.fullmatch(r"(\d{1,2})\+(\d)", words[0]):
        extra = 2 if words[1:2] and UNITS.get(words[1]) == "week" else 1
        return Span(days=7 * int(found[1]) + int(found[2])), extra
    if found := re.fullmatch(r"(\d{1,2})/(?:40|52)", words[0]):
        return Span(days=7 * int(found[1])), 1
    at = 1 if words[0] in ("a", "the") and len(words) > 1 and words[1] in NUMBERS else 0
    number = words[at]
    count = int(number) if re.fullmatch(r"\d{1,3}", number) else NUMBERS.get(number)
    at += 1
    if at < len(words) and words[at] == "of":
        at += 1
    if count is None or at >= len(words) or words[at] not in UNITS:
        return None
    match UNITS[words[at]]:
        case "day":
            return Span(days=count), at + 1
        case "week":
            days, taken = 7 * count, at + 1
            rest = words[taken:]
            if len(rest) > 1 and rest[0].isdigit() and UNITS.get(rest[1]) == "day":
                return Span(days=days + int(rest[0])), taken + 2
            return Span(days=days), taken
        case "month":
            return Span(months=count), at + 1
        case _:
            return Span(months=12 * count), at + 1


def moved(day: date, span: Span, sign: int) -> date | None:
    """The day so far before (-1) or after (1), clamped to the end of a short month."""
    months = 12 * day.year + day.month - 1 + sign * span.months
    year, month = divmod(months, 12)
    if not FIRST_YEAR <= year <= LAST_YEAR:
        return None
    last = calendar.monthrange(year, month + 1)[1]
    return date(year, month + 1, min(day.day, last)) + sign * timedelta(days=span.days)


def read_day(words: Sequence[str], today: date, forward: bool) -> ReadDay | None:
    """The day that begins the words, or None when no day does."""
    words = list(words)
    if not words:
        return None
    for reader in (_near, _relative, _figures, _named):
        found = reader(words, today, forward)
        if found:
            return found
    return None


def _near(words: Sequence[str], today: date, forward: bool) -> ReadDay | None:
    first = words[0]
    if first in NEAR:
        return ReadDay(today + timedelta(days=NEAR[first]), 1)
    if first in ("last", "next", "this") and len(words) > 1:
        unit, sign = UNITS.get(words[1]), {"last": -1, "next": 1, "this": 0}[first]
        spans = {"week": Span(7), "month": Span(months=1), "year": Span(months=12)}
        day = moved(today, spans[unit], sign) if unit in spans else None
        if day:
            return ReadDay(day, 2)
        found = _weekday(words[1], today, forward)
        return ReadDay(found, 2) if found else None
    found = _weekday(first, today, forward)
    return ReadDay(found, 1) if found else None


def _weekday(word: str, today: date, forward: bool) -> date | None:
    if word not in WEEKDAYS:
        return None
    step = 1 if forward else -1
    away = (step * (WEEKDAYS[word] - today.weekday())) % 7 or 7
    return today + timedelta(days=step * away)


def _relative(words: Sequence[str], today: date, forward: bool) -> ReadDay | None:
    """ "6 weeks ago", "in 6 weeks", and a bare span in the direction asked for."""
    at = 1 if words[0] == "in" else 0
    span = read_span(words[at:])
    if not span:
        return None
    taken = at + span[1]
    ago = words[taken : taken + 1] == ["ago"]
    day = moved(today, span[0], -1 if ago or not (forward or at) else 1)
    return ReadDay(day, taken + ago) if day else None


def _figures(words: Sequence[str], today: date, forward: bool) -> ReadDay | None:
    if found := re.fullmatch(r"(\d{4})-(\d{1,2})-(\d{1,2})", words[0]):
        day = _day(int(found[1]), int(found[2]), int(found[3]))
        return ReadDay(day, 1) if day else None
    if found := re.fullmatch(r"(\d{1,2})[./-](\d{1,2})(?:[./-](\d{4}|\d{2}))?", words[0]):
        day = _fit(int(found[1]), int(found[2]), _year(found[3]), today, forward)
        return ReadDay(day, 1, not found[3]) if day else None
    if re.fullmatch(r"(?:19|20)\d\d", words[0]):
        return ReadDay(date(int(words[0]), 1, 1), 1)
    return None


def _named(words: Sequence[str], today: date, forward: bool) -> ReadDay | None:
    """ "1 march 2027", "1st of march", "march 2027", "march"; the first of a month alone."""
    number, at = 1, 0
    if re.fullmatch(r"\d{1,2}", words[0]):
        number, at = int(words[0]), 1
        if words[at : at + 1] == ["of"]:
            at += 1
    if at >= len(words) or words[at] not in MONTHS:
        return None
    month = MONTHS[words[at]]
    at += 1
    year = _year(words[at]) if at < len(words) and re.fullmatch(r"20\d\d", words[at]) else None
    day = _fit(number, month, year, today, forward)
    return ReadDay(day, at + (year is not None), year is None) if day else None


def _year(text: str | None) -> int | None:
    if text is None:
        return None
    return int(text) + (2000 if len(text) == 2 else 0)


def _fit(day: int, month: int, year: int | None, today: date, forward: bool) -> date | None:
    if year is not None:
        return _day(year, month, day)
    around = (_day(today.year + n, month, day) for n in range(-8, 9))
    known = [found for found in around if found]
    if forward:
        return next((found for found in known if found >= today), None)
    return next((found for found in reversed(known) if found <= today), None)


def _day(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day) if FIRST_YEAR <= year <= LAST_YEAR else None
    except ValueError:
        return None
