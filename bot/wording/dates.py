"""Dates said back: when something is, how far ahead, and how it recurs."""

from datetime import date, datetime

from bot.wording.phrases import listed, moment
from core.cadence import Cadence, instant_of, wall_of
from core.recurrence import Rule, parse_rule

DAY_NAMES = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
PLACES = {1: "first", 2: "second", 3: "third", 4: "fourth", 5: "fifth", -1: "last"}
WORK_WEEK = ((0, 0), (1, 0), (2, 0), (3, 0), (4, 0))
DAYS_SAID, WEEKS_SAID = 13, 69  # days ahead up to which days, then weeks, are said
OWN_RULE = "by a rule of its own"


def told(wall: datetime, now: datetime, zone: str = "") -> str:
    """ "Tue 1 Dec 18:00, in 6 days": what clocks will show, and how far ahead that is.

    Args:
        wall: the wall time, naive.
        now: the local wall time now, naive.
        zone: where clocks may jump over the wall time; then the time they show is said.
    """
    shown = wall_of(instant_of(wall, zone), zone) if zone else wall
    year = f" {shown.year}" if shown.year != now.year else ""
    return (
        f"{shown:%a} {shown.day} {shown:%b}{year} {shown:%H:%M}, {away(shown.date(), now.date())}"
    )


def away(day: date, today: date) -> str:
    """How far ahead a day is: "today", "tomorrow", "in 6 days", "in about 5 weeks"."""
    days = (day - today).days
    match days:
        case 0:
            return "today"
        case 1:
            return "tomorrow"
        case _ if days <= DAYS_SAID:
            return f"in {days} days"
        case _ if days <= WEEKS_SAID:
            return f"in {days // 7} weeks" if days % 7 == 0 else f"in about {round(days / 7)} weeks"
        case _:
            return f"in about {round(days / 30.4)} months"


def recurs(cadence: Cadence) -> str:
    """ "every Tuesday and Thursday 18:00, until 3 Apr"; once is "Tue 1 Dec 18:00"."""
    if cadence.rule is None:
        return moment(cadence.start)
    rule = parse_rule(cadence.rule)
    return f"{_every(rule, cadence.start)} {cadence.start:%H:%M}{_end(rule, cadence)}"


def _every(rule: Rule, start: datetime) -> str:
    match rule.frequency:
        case "DAILY":
            return _daily(rule)
        case "WEEKLY":
            return _weekly(rule, start)
        case "MONTHLY":
            return _monthly(rule, start)
        case _:
            return OWN_RULE if rule.days or rule.numbers else f"every {start.day} {start:%b}"


def _daily(rule: Rule) -> str:
    if rule.days:
        return f"every {_names(rule)}"
    match rule.interval:
        case 1:
            return "every day"
        case 2:
            return "every other day"
        case many:
            return f"every {many} days"


def _weekly(rule: Rule, start: datetime) -> str:
    if rule.numbers:
        return OWN_RULE
    days = rule.days or ((start.weekday(), 0),)
    names = "weekday" if set(days) == set(WORK_WEEK) else _named(days)
    match rule.interval:
        case 1:
            return f"every {names}"
        case 2:
            return f"every other {names}"
        case many:
            return f"every {many} weeks on {names}"


def _monthly(rule: Rule, start: datetime) -> str:
    step = {1: "of the month", 2: "of every other month"}.get(
        rule.interval, f"of every {rule.interval} months"
    )
    numbers = dict(rule.numbers)
    if rule.days and not numbers and all(which in PLACES for _, which in rule.days):
        said = [f"{PLACES[which]} {DAY_NAMES[day]}" for day, which in rule.days]
        return f"{listed(said)} {step}"
    if rule.days or numbers.keys() - {"BYMONTHDAY"}:
        return OWN_RULE
    days = numbers.get("BYMONTHDAY", (start.day,))
    if days == (-1,):
        return f"last day {step}"
    if any(day < 0 for day in days):
        return OWN_RULE
    return f"{listed([f'{day}{_th(day)}' for day in days])} {step}"


def _end(rule: Rule, cadence: Cadence) -> str:
    if rule.count is not None:
        return f", {rule.count} times" if rule.count > 1 else ", once"
    match rule.until:
        case None:
            return ""
        case datetime() as until:
            last = wall_of(until, cadence.zone).date() if until.tzinfo else until.date()
        case last:
            pass
    year = f" {last.year}" if last.year != cadence.start.year else ""
    return f", until {last.day} {last:%b}{year}"


def _names(rule: Rule) -> str:
    return "weekday" if set(rule.days) == set(WORK_WEEK) else _named(rule.days)


def _named(days: tuple[tuple[int, int], ...]) -> str:
    return listed([DAY_NAMES[day] for day, _ in sorted(set(days))])


def _th(day: int) -> str:
    if day in (11, 12, 13):
        return "th"
    return {1: "st", 2: "nd", 3: "rd"}.get(day % 10, "th")
