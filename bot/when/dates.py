"""Dates of the calendar: "3 dec", "3/4", "the 3rd", "end of month", "first monday of june"."""

import re
from datetime import date, timedelta

from bot.when.clocks import Reader
from bot.when.parts import Day, Feast, Piece, Setting, WeakError, WhenError
from bot.when.words import DAY, DAY_WORDS, MONTH, MONTH_NAMES, MONTHS, PLACE, PLACES, Order

RECENT = timedelta(days=60)  # a date without a year that lies so little back is a slip
_DAY = timedelta(days=1)


def exists(year: int, month: int, day: int) -> bool:
    """Whether the calendar has that date."""
    try:
        date(year, month, day)
    except ValueError:
        return False
    return True


def coming(day: int, name: str, today: date, words: int = 1) -> date:
    """The next date of that day and month, today included.

    Raises:
        WhenError: there is none, or it has just passed.
    """
    month = MONTHS[name]
    if not exists(2000, month, day):  # a leap year has every date there is
        raise WhenError(f"{day} {name} is no date of the calendar", words)
    dates = [
        date(year, month, day)
        for year in range(today.year - 1, today.year + 9)
        if exists(year, month, day)
    ]
    following = next(each for each in dates if each >= today)
    if any(timedelta() < today - each <= RECENT for each in dates):
        following = next(each for each in dates if each > today)
        raise WhenError(
            f"{day} {name} has passed; the next is {following}", words, (following.isoformat(),)
        )
    return following


def month_end(year: int, month: int) -> date:
    """The last day of the month; 13 is January of the year after."""
    return date(year + month // 12, month % 12 + 1, 1) - _DAY


def next_weekday(weekday: int, today: date) -> date:
    """The coming one, today included."""
    return today + (weekday - today.weekday()) % 7 * _DAY


def _day_month(found: "re.Match[str]", at: Setting) -> tuple[Piece, ...]:
    day, name, year = int(found["day"]), found["month"], found["year"]
    if year:
        return (Day(_with_year(int(year), MONTHS[name], day, found[0])),)
    return (Day(coming(day, name, at.today, len(found[0].split()))),)


def _figures(found: "re.Match[str]", at: Setting) -> tuple[Piece, ...]:
    """ "3/4", "3.4.", "3/4/2027", in her order."""
    first, second = int(found[1]), int(found[2])
    day, month = (first, second) if at.order is Order.DAY_FIRST else (second, first)
    if found[2] and "." in found[0]:
        day, month = first, second  # with dots it is never the American order
    year = found[3]
    if not 1 <= month <= 12:
        readings: tuple[str, ...] = ()
        if 1 <= day <= 12 and exists(2000, day, month):
            readings = (f"{month} {MONTH_NAMES[day - 1][:3]}{f' {_full(year)}' if year else ''}",)
        raise WeakError(f"{found[0]} is no date of the calendar", 1, readings)
    if year:
        return (Day(_with_year(_full(year), month, day, found[0])),)
    name = MONTH_NAMES[month - 1][:3]
    try:
        return (Day(coming(day, name, at.today), weak=True),)
    except WhenError as why:
        raise WeakError(str(why), 1, why.readings) from None


def _full(year: str) -> int:
    return int(year) if len(year) == 4 else 2000 + int(year)


def _with_year(year: int, month: int, day: int, text: str) -> date:
    if not exists(year, month, day):
        raise WhenError(f"{text} is no date of the calendar", len(text.split()))
    return date(year, month, day)


def _day_of_month(found: "re.Match[str]", at: Setting) -> tuple[Piece, ...]:
    day = int(found["day"])
    if not 1 <= day <= 31:
        raise WeakError(f"{found[0]} is no date of the calendar", len(found[0].split()))
    year, month = at.today.year, at.today.month
    if "next month" in found[0]:
        month += 1
        if not exists(year + month // 13, (month - 1) % 12 + 1, day):
            raise WhenError(f"{found[0]} is no date of the calendar", len(found[0].split()))
        return (Day(date(year + month // 13, (month - 1) % 12 + 1, day)),)
    while not exists(year, month, day) or date(year, month, day) < at.today:
        year, month = (year, month + 1) if month < 12 else (year + 1, 1)
    return (Day(date(year, month, day), weak=True),)


def _end_of(found: "re.Match[str]", at: Setting) -> tuple[Piece, ...]:
    name = found["month"]
    if name is None:
        month = at.today.month + (1 if "next" in found[0] else 0)
        return (Day(month_end(at.today.year, month)),)
    month = MONTHS[name]
    year = at.today.year + (1 if month < at.today.month else 0)
    return (Day(month_end(year, month)),)


def _place_in_month(found: "re.Match[str]", at: Setting) -> tuple[Piece, ...]:
    """ "first monday of december", "last friday of next month"."""
    month, year = at.today.month + 1, at.today.year
    if found["month"]:
        month = MONTHS[found["month"]]
        year += 1 if month < at.today.month else 0
    elif month > 12:
        month, year = 1, year + 1
    place, weekday = PLACES[found["place"]], DAY_WORDS[found["day"]]
    if place > 0:
        day = next_weekday(weekday, date(year, month, 1)) + (place - 1) * 7 * _DAY
    else:
        last = month_end(year, month)
        day = last - (last.weekday() - weekday) % 7 * _DAY
    return (Day(day),)


def easter_sunday(today: date) -> date:
    """The coming one, today included (python-dateutil, Western)."""
    from dateutil.easter import easter  # noqa: PLC0415 - late: dateutil is not small

    this = easter(today.year)
    return this if this >= today else easter(today.year + 1)


def _feast(found: "re.Match[str]", at: Setting) -> tuple[Piece, ...]:
    name = found[0].replace("'", "").replace("xmas", "christmas")
    sunday = {"good friday": -2, "easter": 0, "easter sunday": 0, "easter monday": 1}
    if name in sunday:
        day = easter_sunday(at.today - sunday[name] * _DAY) + sunday[name] * _DAY
        return (Feast(day),)
    fixed = (
        (r"christmas(?: day)?", 25, 12), (r"christmas eve", 24, 12), (r"boxing day", 26, 12),
        (r"new years? eve", 31, 12), (r"new years?(?: day)?", 1, 1),
    )  # fmt: skip
    number, month = next((d, m) for shape, d, m in fixed if re.fullmatch(shape, name))
    this = date(at.today.year, month, number)
    return (Feast(this if this >= at.today else this.replace(year=this.year + 1)),)


YEAR = r"(?:,? (?P<year>20\d\d))?"
TH = "(?:st|nd|rd|th)"
THE_MONTH = "(?: of (?:this|next) month)?"
SOME_MONTH = "(?:the |this |next )?month"
SHAPES: tuple[tuple[str, Reader], ...] = (
    (rf"(?:on )?(?:the )?(?P<day>\d{{1,2}}){TH}?(?: of)? (?P<month>{MONTH}){YEAR}", _day_month),
    (rf"(?:on )?(?P<month>{MONTH}) (?:the )?(?P<day>\d{{1,2}}){TH}?{YEAR}", _day_month),
    (r"(?:on )?(\d{1,2})[/](\d{1,2})(?:[/](\d{4}|\d\d))?", _figures),
    (r"(?:on )?(\d{1,2})\.(\d{1,2})\.(\d{4})", _figures),
    (rf"(?:on )?(?:the )?(?P<day>\d{{1,2}}){TH}{THE_MONTH}", _day_of_month),
    (f"(?:at |on )?(?:the )?(?:end|last day) of (?:{SOME_MONTH}|(?P<month>{MONTH}))", _end_of),
    (f"(?:on )?(?:the )?(?P<place>{PLACE}) (?P<day>{DAY}) (?:of|in) "
     f"(?:(?P<month>{MONTH})|next month)", _place_in_month),
    ("(?:christmas|xmas)(?: day| eve)?|boxing day|new year(?:'?s)?(?: day| eve)?|good friday|"
     "easter(?: sunday| monday)?", _feast),
)  # fmt: skip
