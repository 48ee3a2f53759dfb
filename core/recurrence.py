"""An RFC 5545 rule of recurrence (RRULE), read strictly, and the wall times it names.

Only rules that name at most one time a day are read: DAILY, WEEKLY, MONTHLY and YEARLY, without
BYHOUR and below; nor is BYWEEKNO, whose week 53 dateutil takes for 52 in short years. Walking is
python-dateutil's; before it walks, the start is moved near the time asked about, a whole number of
periods ahead, so that an old rule costs no more than a new one. It walks to the year 9999 where a
rule names nothing, so such rules are refused beforehand.
"""

import re
from calendar import isleap
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from core.errors import CadenceError

if TYPE_CHECKING:
    from dateutil.rrule import rrule

DAYS = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")
NUMBERS = {  # RFC 5545 3.3.10: part -> the largest value; all but BYMONTH may count from the end
    "BYMONTHDAY": 31,
    "BYMONTH": 12,
    "BYYEARDAY": 366,
    "BYSETPOS": 366,
}
PARTS = {
    "DAILY": {"BYDAY"},
    "WEEKLY": {"BYDAY", "BYSETPOS"},
    "MONTHLY": {"BYDAY", "BYSETPOS", "BYMONTH", "BYMONTHDAY"},
    "YEARLY": {"BYDAY", *NUMBERS},
}
MOST_TIMES = 2000  # COUNT; five years of days; house choice
MOST_APART = {"YEARLY": 10, "MONTHLY": 120, "WEEKLY": 520, "DAILY": 3650}  # ten years; house choice
SURE_WEEKS = 4  # every month has a first to fourth of each weekday
LAST_CYCLE = datetime(9972, 1, 1)  # noqa: DTZ001 - 28 years: each kind of year, then the end
CALENDAR_YEARS = 400  # the calendar repeats itself
_ORDINAL_DAY = re.compile(r"([+-]?\d{1,2})?([A-Z]{2})")
_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Rule:
    """A rule taken apart.

    Attributes:
        days: weekdays (Monday is 0), each with which one of the month or year is meant; 0 is every.
        numbers: the BY parts with numbers.
        until: the last instant (aware), or wall time (naive), or date; inclusive.
    """

    frequency: str
    interval: int = 1
    count: int | None = None
    until: datetime | date | None = None
    week_start: int = 0
    days: tuple[tuple[int, int], ...] = ()
    numbers: tuple[tuple[str, tuple[int, ...]], ...] = ()


@lru_cache(maxsize=4096)
def parse_rule(text: str) -> Rule:
    """The rule that an RRULE value says.

    Raises:
        CadenceError: it is none, says more than one time a day, or is out of range.
    """
    parts: dict[str, str] = {}
    for each in text.upper().removeprefix("RRULE:").split(";"):
        name, equals, value = each.partition("=")
        if not equals or not value or name in parts:
            raise CadenceError(f"a rule has parts like FREQ=WEEKLY, each once; not {each!r}")
        parts[name] = value
    frequency = parts.pop("FREQ", "")
    if frequency not in PARTS:
        raise CadenceError(f"a rule begins again daily, weekly, monthly or yearly, not {frequency}")
    if "COUNT" in parts and "UNTIL" in parts:
        raise CadenceError("a rule ends after a count or on a day, not both")
    unknown = parts.keys() - PARTS[frequency] - {"INTERVAL", "COUNT", "UNTIL", "WKST"}
    if unknown:
        raise CadenceError(f"a rule that is {frequency.lower()} can't say {min(unknown)}")
    start = parts.get("WKST", "MO")
    if start not in DAYS:
        raise CadenceError(f"a week begins on MO to SU, not {start}")
    rule = Rule(
        frequency=frequency,
        interval=_number("INTERVAL", parts.get("INTERVAL", "1"), MOST_APART[frequency], 1),
        count=_number("COUNT", parts["COUNT"], MOST_TIMES, 1) if "COUNT" in parts else None,
        until=_until(parts["UNTIL"]) if "UNTIL" in parts else None,
        week_start=DAYS.index(start),
        days=_days(parts["BYDAY"], frequency) if "BYDAY" in parts else (),
        numbers=tuple(
            (name, tuple(_number(name, n, most, -most) for n in parts[name].split(",")))
            for name, most in NUMBERS.items()
            if name in parts
        ),
    )
    if frequency == "DAILY" and rule.days and rule.interval > 1:
        raise CadenceError("a rule of every few days can't name weekdays")
    if frequency == "WEEKLY" and any(
        abs(place) > len(set(rule.days)) for _, places in rule.numbers for place in places
    ):
        raise CadenceError("BYSETPOS asks for more days than the week is given")
    return rule


def walls(rule: Rule, start: datetime, near: datetime) -> Iterator[datetime]:
    """Wall times of the rule in order, from `near` or a little before it; its end by UNTIL is not
    looked at, its end by COUNT is.

    Args:
        rule: what recurs.
        start: naive wall time of the first; no earlier one is named.
        near: naive wall time.
    """
    last = _last(rule, start) if rule.count else None
    for wall in _walker(rule, start, _moved(rule, start, near)):
        if last is not None and wall > last:
            return
        yield wall


@lru_cache(maxsize=4096)
def _last(rule: Rule, start: datetime) -> datetime:
    """The wall time at which the count is full."""
    last = start
    for number, wall in enumerate(_walker(rule, start, start), start=1):
        last = wall
        if number == rule.count:
            break
    return last


@lru_cache(maxsize=4096)
def names_a_day(rule: Rule, start: datetime) -> bool:
    """Whether the rule ever names a day, its end apart; the 30th of February it does not.

    dateutil is let loose in the last 28 years of its calendar, where it has to stop; then each
    year or month the rule visits is looked for among those kinds of year.
    """
    weeks = SURE_WEEKS if rule.frequency == "MONTHLY" else 52
    if rule.frequency in ("DAILY", "WEEKLY") or (
        not rule.numbers and all(abs(which) <= weeks for _, which in rule.days)
    ):
        return True
    yearly = rule.frequency == "YEARLY"
    found = {
        (_kind(wall.year), 0 if yearly else wall.month)
        for wall in _walker(replace(rule, interval=1), start, LAST_CYCLE)
    }
    if yearly:
        years = (start.year + k * rule.interval for k in range(CALENDAR_YEARS))
        return any((_kind(year), 0) in found for year in years)
    months = (start.month - 1 + k * rule.interval for k in range(CALENDAR_YEARS * 12))
    return any((_kind(start.year + each // 12), each % 12 + 1) in found for each in months)


def _kind(year: int) -> tuple[int, bool]:
    """What makes the calendars of two years the same."""
    year = 2000 + year % CALENDAR_YEARS
    return date(year, 1, 1).weekday(), isleap(year)


def _walker(rule: Rule, start: datetime, moved: datetime) -> "rrule":
    # late, because start-up would pay 30-50 ms for it
    from dateutil.rrule import DAILY, MONTHLY, WEEKLY, YEARLY, rrule, weekday  # noqa: PLC0415

    days: list[Any] = [weekday(day, which or None) for day, which in rule.days]
    numbers: dict[str, Any] = {name.lower(): values for name, values in rule.numbers}
    named = {name for name, _ in rule.numbers} - {"BYMONTH", "BYSETPOS"}
    # what the rule leaves open, the first time says (RFC 5545 3.3.10)
    if not days and rule.frequency == "WEEKLY":
        days = [start.weekday()]
    elif not days and not named and rule.frequency in ("MONTHLY", "YEARLY"):
        numbers["bymonthday"] = (start.day,)
        if rule.frequency == "YEARLY":
            numbers.setdefault("bymonth", (start.month,))
    steps: dict[str, Any] = {
        "DAILY": DAILY, "WEEKLY": WEEKLY, "MONTHLY": MONTHLY, "YEARLY": YEARLY,
    }  # fmt: skip
    return rrule(
        steps[rule.frequency],
        dtstart=moved,
        interval=rule.interval,
        wkst=rule.week_start,
        byweekday=days or None,
        **numbers,
    )


def _moved(rule: Rule, start: datetime, near: datetime) -> datetime:
    """A start of the same phase at or before `near`, so that all wall times from there agree."""
    if near <= start:
        return start
    step = rule.interval
    match rule.frequency:
        case "DAILY":
            return start + (near.date() - start.date()).days // step * step * _DAY
        case "WEEKLY":
            monday = start - (start.weekday() - rule.week_start) % 7 * _DAY
            jumps = (near.date() - monday.date()).days // 7 // step
            return monday + 7 * jumps * step * _DAY if jumps else start
        case "MONTHLY":
            jumps = ((near.year - start.year) * 12 + near.month - start.month) // step
            month = start.month - 1 + jumps * step
            moved = start.replace(year=start.year + month // 12, month=month % 12 + 1, day=1)
            return moved if jumps else start
        case _:
            jumps = (near.year - start.year) // step
            moved = start.replace(year=start.year + jumps * step, month=1, day=1)
            return moved if jumps else start


def _number(name: str, text: str, most: int, least: int) -> int:
    if not re.fullmatch(r"[+-]?[0-9]{1,5}", text):
        raise CadenceError(f"{name} is a number, not {text}")
    value, least = int(text), 1 if name == "BYMONTH" else least
    if not least <= value <= most or value == 0:
        raise CadenceError(f"{name} lies between {least} and {most}, not at {text}")
    return value


def _days(text: str, frequency: str) -> tuple[tuple[int, int], ...]:
    days = []
    for each in text.split(","):
        found = _ORDINAL_DAY.fullmatch(each)
        if not found or found[2] not in DAYS:
            raise CadenceError(f"BYDAY has days like TU or 1MO, not {each}")
        which = int(found[1] or 0)
        if found[1] and (which == 0 or frequency in ("DAILY", "WEEKLY") or abs(which) > 53):
            raise CadenceError(f"{each} is no day of a rule that is {frequency.lower()}")
        days.append((DAYS.index(found[2]), which))
    if any(which for _, which in days):  # dateutil wants all of them numbered, or none
        most = 5 if frequency == "MONTHLY" else 53
        days = [(d, n) for d, which in days for n in ([which] if which else range(1, most + 1))]
    return tuple(days)


def _until(text: str) -> datetime | date:
    try:
        if "T" not in text:
            return datetime.strptime(text, "%Y%m%d").date()  # noqa: DTZ007 - a date has no zone
        if text.endswith("Z"):
            return datetime.strptime(text, "%Y%m%dT%H%M%SZ").replace(tzinfo=UTC)
        return datetime.strptime(text, "%Y%m%dT%H%M%S")  # noqa: DTZ007 - wall time, by the RFC
    except ValueError:
        raise CadenceError(f"UNTIL is like 20261224 or 20261224T180000Z, not {text}") from None
