"""Days: weekdays, dates, spans of days, feasts."""

import re
from datetime import date, datetime, time, timedelta
from functools import lru_cache

from bot.when.clocks import Reader
from bot.when.dates import next_weekday
from bot.when.parts import Clock, Day, Part, Piece, Setting, Sure, Vague, WhenError
from bot.when.words import (
    DAY,
    DAY_WORDS,
    MONTH,
    NUMBER,
    WEEKDAYS,
    number,
)

MOST_AHEAD = {"day": 400, "week": 57, "fortnight": 28, "month": 13, "year": 1}
SOON = timedelta(days=3)
NIGHT_ENDS = 4  # before this hour "tomorrow" may be the day that has begun (house choice)
WEAK_WORDS = ("sat", "sun", "wed")  # words of other sentences
_DAY = timedelta(days=1)
TEXT_DAYS = {
    "today": 0, "tomorrow": 1, "tmrw": 1, "tmr": 1, "tomoz": 1, "overmorrow": 2,
    "day after tomorrow": 2, "the day after tomorrow": 2,
}  # fmt: skip


@lru_cache(maxsize=4096)
def ahead(text: str, today: date) -> date:
    """The day "in 3 days" or "in two weeks" names.

    Raises:
        WhenError: there is no such day.
    """
    import dateparser  # noqa: PLC0415 - late: start-up would pay 60 ms and more for it

    settings = {
        "RELATIVE_BASE": datetime.combine(today, time(12)),
        "PREFER_DATES_FROM": "future",
        "TIMEZONE": "UTC",
    }
    found = dateparser.parse(text, languages=["en"], settings=settings)
    if found is None:
        raise WhenError(f"{text} is no day", 3)
    return found.date()


def _iso(found: "re.Match[str]", _: Setting) -> tuple[Piece, ...]:
    try:
        day = Day(date.fromisoformat(found[1]))
    except ValueError:
        raise WhenError(f"{found[1]} is no date of the calendar") from None
    if not found[2]:
        return (day,)
    hour, minute = int(found[2]), int(found[3])
    if hour > 23 or minute > 59:
        raise WhenError(f"{hour:02}:{minute:02} is no time of day")
    return (day, Clock(hour, minute, Sure.FULL))


def _near(found: "re.Match[str]", at: Setting) -> tuple[Piece, ...]:
    day = at.today + TEXT_DAYS[found[0]] * _DAY
    if at.now.hour < NIGHT_ENDS and day != at.today:
        days = (day - _DAY, day)
        return (Vague("counted from this night or from yesterday?", tuple(map(str, days))),)
    return (Day(day),)


def _tonight(_: "re.Match[str]", at: Setting) -> tuple[Piece, ...]:
    if at.now.hour < NIGHT_ENDS:
        return (Vague("this night or the coming one? Say it like today 20:00"),)
    return (Day(at.today), Part.NIGHT)


def _this_part(found: "re.Match[str]", at: Setting) -> tuple[Piece, ...]:
    return (Day(at.today), Part(found[1]))


def _part(found: "re.Match[str]", _: Setting) -> tuple[Piece, ...]:
    return (Part(found[1]),)


def _weeks_on(found: "re.Match[str]", at: Setting) -> tuple[Piece, ...]:
    """ "a week tomorrow", "tue week", "a fortnight on friday", "2 weeks from today"."""
    many = found.groupdict()
    weeks = number(many.get("many") or "a") * (2 if "fortnight" in found[0] else 1)
    word = found["day"]
    if word in DAY_WORDS:
        first = next_weekday(DAY_WORDS[word], at.today)
    else:
        first = at.today + (1 if word == "tomorrow" else 0) * _DAY
    return (Day(first + weeks * 7 * _DAY),)


def _in(found: "re.Match[str]", at: Setting) -> tuple[Piece, ...]:
    many, unit = number(found["many"]), found["unit"]
    if not many:
        raise WhenError(f"{found[0]} is no day", len(found[0].split()))
    if many > MOST_AHEAD[unit]:
        raise WhenError("that is more than thirteen months ahead", len(found[0].split()))
    if unit == "fortnight":
        many, unit = 2 * many, "week"
    return (Day(ahead(f"in {many} {unit}{'s' if many > 1 else ''}", at.today)),)


def _weekday(found: "re.Match[str]", at: Setting) -> tuple[Piece, ...]:
    word = found[1]
    day = next_weekday(DAY_WORDS[word], at.today)
    return (Day(day, weekday=True, weak=word in WEAK_WORDS and not found[0].startswith("on ")),)


def _coming_weekday(found: "re.Match[str]", at: Setting) -> tuple[Piece, ...]:
    return (Day(next_weekday(DAY_WORDS[found[1]], at.today + _DAY)),)


def _next_weekday(found: "re.Match[str]", at: Setting) -> tuple[Piece, ...]:
    """ "next fri" on a Wednesday may be in two days or in nine; "next tue" is in six."""
    day = next_weekday(DAY_WORDS[found[1]], at.today + _DAY)
    this_week = day.isocalendar()[:2] == at.today.isocalendar()[:2]
    if this_week or day - at.today < SOON:
        days = (day, day + 7 * _DAY)
        readings = tuple(f"{each:%a} {each.day} {each:%b}".casefold() for each in days)
        return (Vague("this coming one, or the one after?", readings),)
    return (Day(day),)


def _eve(found: "re.Match[str]", at: Setting) -> tuple[Piece, ...]:
    """ "fri eve"; in a longer line Eve may be somebody."""
    said = found[1]
    if at.loose:
        return (Vague("the evening, or a name?", (f"{said} evening",)),)
    if said in DAY_WORDS:
        day = Day(next_weekday(DAY_WORDS[said], at.today), weekday=True)
    elif said == "tomorrow" and at.now.hour >= NIGHT_ENDS:
        day = Day(at.today + _DAY)
    elif said == "this":
        day = Day(at.today)
    else:
        return (Vague("which evening?"),)
    return (day, Part.EVENING)


def _of_week(found: "re.Match[str]", at: Setting) -> tuple[Piece, ...]:
    """ "this friday" lies in this week, "tue next week" in the next."""
    following = "next week" in found[0]
    word = found.groupdict().get("day") or found.groupdict().get("after") or found["this"]
    monday = at.today - at.today.weekday() * _DAY + (7 * _DAY if following else 0 * _DAY)
    day = monday + DAY_WORDS[word] * _DAY
    if day < at.today:
        name = WEEKDAYS[DAY_WORDS[word]]
        return (Vague(f"{name} of this week has passed", (f"next {name}",)),)
    return (Day(day, weekday=day == at.today),)


def _weekend(_: "re.Match[str]", __: Setting) -> tuple[Piece, ...]:
    return (Vague("which day of the weekend?", ("sat", "sun")),)


def _which_day(found: "re.Match[str]", _: Setting) -> tuple[Piece, ...]:
    return (Vague(f"which day {found[0]}?"),)


def _bare_month(found: "re.Match[str]", _: Setting) -> tuple[Piece, ...]:
    return (Vague(f"which day of {found[0]}? Say it like 3 {found[0]}", weak=True),)


def _yesterday(found: "re.Match[str]", _: Setting) -> tuple[Piece, ...]:
    return (Vague(f"{found[0]} has passed"),)


UNIT = "(?P<unit>day|week|fortnight|month|year)s?"
ANY_DAY = f"(?P<day>{DAY}|today|tomorrow)"
SHAPES: tuple[tuple[str, Reader], ...] = (
    (r"(\d{4}-\d\d-\d\d)(?:[t ](\d\d):(\d\d)(?::00)?)?", _iso),
    ("|".join(sorted(TEXT_DAYS, key=len, reverse=True)), _near),
    ("tonight", _tonight),
    ("this (morning|afternoon|evening)", _this_part),
    ("(?:in the |at )?(morning|afternoon|evening|night)", _part),
    (f"(?P<day>{DAY}|today|tomorrow) week", _weeks_on),
    (f"(?:(?P<many>{NUMBER}) )?(?:weeks?|fortnights?) (?:on |from )?{ANY_DAY}", _weeks_on),
    (f"in (?P<many>{NUMBER}) {UNIT}(?:'? time)?", _in),
    (f"(?P<many>{NUMBER}) {UNIT} from (?:now|today)", _in),
    (f"(?:on )?({DAY})", _weekday),
    (f"(?:on )?(?:the )?coming ({DAY})", _coming_weekday),
    (f"(?:on )?(?:the )?next ({DAY})", _next_weekday),
    (f"(?:on )?({DAY}|this|tomorrow) eve", _eve),
    (f"(?:on )?(?:this (?:coming )?(?P<this>{DAY})|(?P<day>{DAY}) (?:next|this) week|"
     f"next week,? (?:on )?(?P<after>{DAY}))", _of_week),
    ("(?:at |on )?(?:the |this |next )?weekend", _weekend),
    ("(?:this|next) (?:week|month|year)|(?:the )?(?:start|beginning|middle) of "
     "(?:the |this |next )?(?:week|month|year|term)|"
     "(?:the )?end of (?:the |this |next )?(?:week|year|term)|"
     "soon|later|sometime|asap", _which_day),
    (f"({MONTH})", _bare_month),
    (f"yesterday|last (?:night|week|month|{DAY})", _yesterday),
)  # fmt: skip
