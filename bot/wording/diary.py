"""The diary in words: classes, the week, what clashes, what was called off or moved."""

from collections.abc import Iterable, Sequence
from datetime import date, datetime

from bot.wording.phrases import count, listed, moment, wrapped
from core.recurrence import DAYS, Rule, parse_rule

KEPT = "Kept: {what}."
CALLED_OFF = "Called off: {what}."
ENDED = "{what} ends here: nothing from {day} on."
MOVED = "Moved: {what} is now {when}."
MOVED_ALL = "Moved from here on: {what} is now {when}{often}."
FIRST = "First {when}{often}."
ONCE = "{when}."
THIS_OR_ALL = "{what}, {when}: this one only, or all from here?"
WHICH = "Which one?"
THIS_ONE, FROM_HERE, FROM_NOW = "This one", "All from here", "All from here"
CLASH = "Two at once: {first} and {second}, {when}. Both stay; move one if that is not meant."
IN_HOLIDAY = "You are away on {when}, so that one falls out."
NO_CLASSES = "No classes in the diary yet. Say it like: class tue 18:00 weekly 50 chair dawn"
CLASSES = "Your classes:"
NONE_LEFT = "none left"
FREE = "Nothing in the diary this week."
WEEK = "Week {number}, {first} to {last}"
PLAN, PLAN_IT, SHOW_PLAN, CANCEL, MOVE = "Plan {when}", "Plan it", "Show the plan", "Cancel", "Move"
NEXT_WEEK, LAST_WEEK = "Next week", "Week before"
PLANNED, NOT_PLANNED = "planned", "not planned"
AWAY_LIST = "You are away:"
NOT_AWAY = "No holidays in the diary. Say it like: away 20 dec to 3 jan"
WENT_AWAY = "Away {span}. {falls}"
FALLS = "{count} out then: {what}."
FALLS_NONE = "No class falls out."
BACK = "Taken out: you are not away {span} after all."
BACK_BUTTON = "Not away {span}"
HOW_LONG = "How many minutes is the class?"
WHO = "I don't know “{who}”: no group or person is called that. Is it one of these?"
WHO_NEW = "I don't know “{who}”: no group or person is called that yet."
NEW_NAME = "{who} is new"
WHERE_TO = "Move it where to? Type: {line}"
ELSEWHERE = "({zone} time)"
OTHER_CLOCK = (
    "Classes and reminders already in the diary stay on the clock they were made for: {zones}."
)
MOVED_CLOCK = "Everything in the diary now goes by the clock of {zone}, at the same times of day."
MOVE_CLOCK = "Move all to {zone}"
GOES_WITH = "The digest and quiet hours go with you."
NEXT_IS = "Next is {when}."
FROM_DIARY = "For {what}, {when}."
PASSED = "that has passed"
WHICH_TIME = "which time of day? Say it like 18:00 or 6pm"
WHICH_LESSON = "which of these?"
A_CLASS = "your class"

DAY_NAMES = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
SPELLED = {"DAILY": "day", "WEEKLY": "week", "MONTHLY": "month", "YEARLY": "year"}


def when(wall: datetime, now: datetime) -> str:
    """ "Tue 1 Dec 18:00, in 6 days"; both in the same zone."""
    year = f" {wall.year}" if wall.year != now.year and abs((wall - now).days) > 180 else ""
    text = f"{wall:%a} {wall.day} {wall:%b}{year} {wall:%H:%M}"
    return f"{text}, {how_far(wall, now)}"


def how_far(wall: datetime, now: datetime) -> str:
    """ "today", "tomorrow", "in 6 days", "in 20 minutes", "2 days ago"."""
    days = (wall.date() - now.date()).days
    if days == 0:
        minutes = round((wall - now).total_seconds() / 60)
        if minutes < 0:
            return "earlier today"
        if minutes < 60:
            return f"in {count(minutes, 'minute')}"
        return f"today, in {count(round(minutes / 60), 'hour')}"
    if days == 1:
        return "tomorrow"
    if days < 0:
        return f"{count(-days, 'day')} ago"
    return f"in {count(days, 'day')}"


def often(rule: str | None) -> str:
    """ ", then every Tue", or nothing for once."""
    return f", then {every(parse_rule(rule))}" if rule else ""


def every(rule: Rule) -> str:
    """ "every Tue and Thu until 20 Dec", "every second week", "every day"."""
    apart = {1: "", 2: "second "}.get(rule.interval, f"{rule.interval} ")
    if rule.frequency == "WEEKLY" and rule.days:
        names = listed([DAY_NAMES[n] for n, _ in rule.days])
        said = f"every {names}"
        if rule.interval > 1:
            said = (
                f"every {apart}week on {names}"
                if rule.interval == 2
                else f"{names} every {apart}weeks"
            )
    else:
        unit = SPELLED[rule.frequency]
        said = f"every {apart}{unit}{'s' if rule.interval > 2 else ''}"
    if rule.until:
        said += f" until {rule.until.day} {rule.until:%b %Y}"
    if rule.count:
        said += f", {count(rule.count, 'time')} in all"
    return said


def rule_days(rule: str) -> str:
    """ "every Tue", of a rule as text."""
    return every(parse_rule(rule))


def what(who: str, apparatus: Sequence[str], minutes: int, place: str = "") -> str:
    """ "dawn, chair 50 min, north studio"."""
    on = " and ".join(apparatus)
    how = f"{on} {minutes} min".strip()
    return ", ".join(part for part in (who, how, place) if part)


def span(first: date, last: date) -> str:
    """ "20 Dec to 3 Jan", or the one day."""
    if first == last:
        return f"on {_day(first)}"
    return f"{_day(first)} to {_day(last)}"


def stamp(wall: datetime) -> str:
    """ "Tue 1 Dec 18:00"."""
    return moment(wall)


def short(wall: datetime) -> str:
    """ "Tue 18:00", for a button."""
    return f"{wall:%a %H:%M}"


def week(monday: date, sunday: date, lines: Iterable[tuple[date, str]]) -> str:
    """A week, day by day: its lessons, each on a line."""
    number = monday.isocalendar().week
    head = WEEK.format(number=number, first=_day(monday), last=_day(sunday))
    said = [head]
    day: date | None = None
    for on, line in lines:
        if on != day:
            said.append(f"{on:%a} {on.day}")
            day = on
        said.append(wrapped(f"  {line}", "    "))
    if day is None:
        said.append(FREE)
    return "\n".join(said)


def lesson(wall: datetime, said: str, plan: int | None, *, away: bool, moved: bool) -> str:
    """ "18:00 dawn, chair 50 min · planned"."""
    marks = [PLANNED if plan else NOT_PLANNED]
    if away:
        marks = ["you are away"]
    if moved:
        marks.append("moved")
    return f"{wall:%H:%M} {said} · {', '.join(marks)}"


def classes(lines: Sequence[str], more: int) -> str:
    """Every class with its next day."""
    if not lines:
        return wrapped(NO_CLASSES)
    said = [CLASSES, *(wrapped(f"· {line}", "  ") for line in lines)]
    if more:
        said.append(f"and {more} more.")
    return "\n".join(said)


def class_line(said: str, rule: str | None, wall: datetime | None) -> str:
    """ "dawn, chair 50 min: every Tue, next Tue 1 Dec 18:00"."""
    coming = f"next {moment(wall)}" if wall else NONE_LEFT
    return f"{said}: {every(parse_rule(rule))}, {coming}" if rule else f"{said}: {coming}"


def falls(found: Sequence[tuple[datetime, str]]) -> str:
    """Which lessons fall out while she is away."""
    if not found:
        return FALLS_NONE
    named = [f"{moment(wall)} {who}".strip() for wall, who in found[:4]]
    if len(found) > 4:
        named.append(f"{len(found) - 4} more")
    be = "falls" if len(found) == 1 else "fall"
    return FALLS.format(count=f"{count(len(found), 'class', 'classes')} {be}", what=listed(named))


def _day(day: date) -> str:
    return f"{day.day} {day:%b}"


assert len(DAY_NAMES) == len(DAYS)
