"""First contact, her zone, what she usually teaches."""

from dataclasses import replace
from zoneinfo import ZoneInfo, available_timezones

from bot.commands import Hello, SetDates, SetHabit, SetZone
from bot.desk import Desk
from bot.diary_zone import zone_of_diary
from bot.reply import Button, Part, Reply
from bot.wording import asking
from bot.wording.phrases import listed, moment, wrapped
from core.fold import fold
from core.instructor import Habits


def hello(_: Hello, desk: Desk) -> Reply:
    """The first of three taps: where she teaches."""
    buttons = [Button(zone, f"zone {zone} then") for zone in asking.ZONES]
    rows = tuple(tuple(buttons[at : at + 2]) for at in range(0, len(buttons), 2))
    return Reply(
        (Part(wrapped(asking.WHERE)), Part(wrapped(asking.OTHER_ZONE))),
        rows,
        data={"missing": "zone"},
    )


def set_zone(command: SetZone, desk: Desk) -> Reply:
    """Her clock set; on first contact, the next question too."""
    zone = _zone_named(command.zone)
    if zone is None:
        typed = fold(command.zone)
        near = sorted(z for z in available_timezones() if typed and typed in fold(z))[:3]
        return Reply(
            (Part(wrapped(asking.NO_ZONE.format(zone=command.zone[:40]))),),
            rows=tuple((Button(z, f"zone {z}"),) for z in near),
            data={"error": "UnknownZone", "zone": None},
        )
    desk.store.set_zone(zone)
    now = moment(desk.now.astimezone(ZoneInfo(zone)))
    said = Part(wrapped(asking.ZONE_SET.format(zone=zone, now=now)))
    about = zone_of_diary(zone, desk, move=command.move)
    if (desk.instructor.habits.apparatus or about) and not command.first:
        parts = [said, *([Part(wrapped(about[0]))] if about else ())]
        return Reply(tuple(parts), about[1] if about else (), data={"zone": zone})
    names = [a.name for a in desk.repertoire.apparatus.values()]
    buttons = [Button(name, f"usual {name}") for name in names]
    rows = tuple(tuple(buttons[at : at + 3]) for at in range(0, len(buttons), 3))
    return Reply((said, Part(asking.WHICH_APPARATUS)), rows, data={"zone": zone})


def set_dates(command: SetDates, desk: Desk) -> Reply:
    """Which comes first in figures, kept or said."""
    habits = desk.instructor.habits
    if command.month_first is not None and command.month_first != habits.month_first:
        habits = replace(habits, month_first=command.month_first)
        desk.store.set_habits(habits)
    what = asking.DATE_ORDERS[habits.month_first]
    other = "dates day first" if habits.month_first else "dates month first"
    return Reply(
        (Part(wrapped(asking.DATES_SET.format(what=what))),),
        ((Button(asking.DATE_ORDERS[not habits.month_first], other),),),
        data={"habits": _form(habits)},
    )


def set_habit(command: SetHabit, desk: Desk) -> Reply:
    """Her habit kept; on first contact, the next question or the way to a first class."""
    old = desk.instructor.habits
    habits = replace(
        old,
        minutes=command.minutes or old.minutes,
        apparatus=command.apparatus or old.apparatus,
    )
    desk.store.set_habits(habits)
    if not habits.minutes:
        row = tuple(Button(str(m), f"usual {m}") for m in asking.MINUTES)
        return Reply((Part(asking.USUAL_MINUTES),), (row,), data={"habits": _form(habits)})
    what = [f"{habits.minutes} min"]
    if habits.apparatus:
        what.append(listed([desk.repertoire.apparatus[a].name for a in habits.apparatus]))
    return Reply(
        (Part(wrapped(asking.HABIT_SET.format(what=" ".join(what)))),),
        data={"habits": _form(habits)},
    )


def _form(habits: Habits) -> dict[str, object]:
    return {
        "minutes": habits.minutes,
        "apparatus": list(habits.apparatus),
        "month_first": habits.month_first,
    }


def _zone_named(typed: str) -> str | None:
    """The zone of that name, or the only one whose city it is."""
    zones = available_timezones()
    if typed in zones:
        return typed
    wanted = fold(typed)
    exact = [z for z in zones if fold(z) == wanted]
    cities = [z for z in zones if "/" in z and fold(z.rsplit("/", 1)[1]) == wanted]
    # Signs are folded away, and "GMT+5" is not "GMT-5": of several, none is taken.
    return next((found[0] for found in (exact, cities) if len(found) == 1), None)
