"""How what recurs begins, and how it ends: on a day, after so many, after so many weeks."""

from dataclasses import replace
from datetime import date, datetime, time, timedelta

from bot.when.parts import Day, Feast, Repeat, Setting, WhenError
from core.recurrence import parse_rule, walls

FURTHEST_END = timedelta(days=396)  # thirteen months, as for everything
_DAY = timedelta(days=1)


def names(repeat: Repeat, day: date) -> bool:
    """Whether the rule, beginning on that day, names it."""
    start = datetime.combine(day, time(12))
    return next(walls(parse_rule(repeat.text), start, start)).date() == day


def begun(text: str, repeat: Repeat, begins: date | None, clock: time, at: Setting) -> datetime:
    """The first wall time of the rule, on the day said or after it, and not passed.

    Raises:
        WhenError: the day has passed, or leaves open which week of several is the first.
    """
    start = datetime.combine(begins or at.today, clock)
    if begins and start.date() < at.today:
        raise WhenError(f"{start:%a} {start.day} {start:%b} {start.year} has passed")
    if start <= at.now:
        if begins and names(repeat, begins):
            raise WhenError(f"{clock:%H:%M} today has passed")
        start += _DAY
    rule = parse_rule(replace(repeat, interval=1).text)  # the first there is opens its week
    first = next(walls(rule, start, start))
    opens = min((day for day, _ in rule.days), default=first.weekday())
    if not begins and repeat.interval > 1 and first.weekday() != opens:
        weeks = (first, first + (opens - first.weekday()) % 7 * _DAY)
        readings = tuple(f"{text} from {each.date()}" for each in weeks)
        raise WhenError("beginning in which week?", readings=readings)
    return first


def ended(
    rule: str, first: datetime, until: Day | None, times: int | None, lasting: int | None
) -> str:
    """The rule with its end.

    Raises:
        WhenError: two ends, one before the beginning, or one too far ahead.
    """
    if sum(each is not None for each in (until, times, lasting)) > 1:
        raise WhenError("it ends in two ways; say one")
    if times is not None:
        return f"{rule};COUNT={times}"
    if lasting is not None:
        return _until(rule, first, first.date() + timedelta(days=lasting - 1))
    if until is None:
        return rule
    if until.day < first.date():
        raise WhenError("that ends before it begins")
    if isinstance(until, Feast) and _falls_on(rule, first, until.day):
        day, before = until.day, until.day - timedelta(days=1)
        raise WhenError(
            f"with {day:%a} {day.day} {day:%b}, or without?",
            readings=(day.isoformat(), before.isoformat()),
        )
    return _until(rule, first, until.day)


def _until(rule: str, first: datetime, last: date) -> str:
    if datetime.combine(last, first.time()) - first > FURTHEST_END:
        raise WhenError("that ends more than thirteen months ahead")
    return f"{rule};UNTIL={last:%Y%m%d}"


def _falls_on(rule: str, first: datetime, day: date) -> bool:
    near = datetime.combine(day, first.time())
    return next((w.date() for w in walls(parse_rule(rule), first, near) if w >= near), None) == day
