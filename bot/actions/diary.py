"""Classes put into the diary, listed, and a week at a glance."""

from contextlib import suppress
from datetime import datetime, time, timedelta

from bot.asked import ask_minutes
from bot.commands import AddClass, ListDiary, ShowWeek
from bot.desk import Desk
from bot.diary import (
    DAY,
    Diary,
    clash_of,
    class_form,
    lesson_form,
    local,
    plan_line,
    refresh,
    said_of,
    whose,
)
from bot.errors import Guess, NoSuchClassError, NoSuchPlanError, RefusedError, UnknownWordError
from bot.kept_plan import saved_plan
from bot.next_class import attach
from bot.reply import Button, Part, Reply
from bot.taken_back import can_take_back
from bot.whom import near_groups, near_names, only
from bot.wording import asking
from bot.wording import diary as words
from bot.wording.phrases import wrapped
from core.cadence import Cadence, instant_of
from core.client import ClientId
from core.diary import ClassEntry, ClassId, DiaryError, Lesson, clashes, week_of
from core.fold import fold

LISTED = 12
AHEAD = timedelta(days=60)  # plans are seldom made longer before
BUTTONS = 6


def add(command: AddClass, desk: Desk) -> Reply:
    """A class kept, or the question about what is missing."""
    minutes = command.minutes or desk.instructor.habits.minutes
    if not minutes:
        return ask_minutes(command.line, desk)
    group, people, said = _who(command, desk)
    try:
        entry = ClassEntry(
            id=ClassId(0),
            cadence=Cadence(command.start, desk.zone.key, command.rule),
            minutes=minutes,
            apparatus=command.apparatus or desk.instructor.habits.apparatus,
            group=group,
            people=people,
            place=command.place,
        )
    except DiaryError as fault:
        raise RefusedError(str(fault)) from fault
    kept = desk.store.diary.add_class(entry, desk.now)
    _take_up_plans(command.start, desk)
    refresh(desk.store, desk.zone.key, desk.now)
    can_take_back(desk)
    diary = Diary.of(desk.store)
    kept = next(each for each in diary.entries if each.id == kept.id)
    first = instant_of(command.start, desk.zone.key)
    lesson = diary.next_of(kept, first - timedelta(seconds=1))
    now = local(desk, desk.zone.key)
    what = words.KEPT.format(what=said_of(kept, desk))
    when = words.FIRST if command.rule else words.ONCE
    said_when = when.format(when=words.when(command.start, now), often=words.often(command.rule))
    said = [what, said_when, *said]
    if any(h.covers(command.start.date()) for h in diary.away):
        said.append(words.IN_HOLIDAY.format(when=words.stamp(command.start)))
    pair = clash_of(diary, kept, desk)
    if pair:
        said.append(_clash(pair, desk))
    row = [Button(asking.UNDO, "undo")]
    if lesson and lesson.plan:
        row.insert(0, Button(asking.SHOW, f"show #{lesson.plan}"))
    elif lesson:
        row.insert(0, Button(words.PLAN_IT, plan_line(lesson, desk)))
    return Reply(
        (Part(wrapped(" ".join(said))),),
        (tuple(row),),
        data={"class": class_form(kept, diary, desk), "clash": bool(pair)},
    )


def _take_up_plans(first: datetime, desk: Desk) -> None:
    """Give lessons the plans that were made for their time before they were in the diary."""
    for dated in desk.store.plans_between(first, first + AHEAD):
        with suppress(NoSuchPlanError):  # it no longer opens
            attach(saved_plan(dated.number, desk), desk)


def list_diary(command: ListDiary, desk: Desk) -> Reply:
    """Every class with its next day; or one with what can be done about it."""
    diary = Diary.of(desk.store)
    if command.number is not None:
        return _one(command.number, diary, desk)
    found = [(each, diary.next_of(each, desk.now)) for each in diary.entries]
    live = [(entry, coming) for entry, coming in found if coming]
    live.sort(key=lambda pair: pair[1].at)
    lines = [
        words.class_line(said_of(entry, desk), entry.cadence.rule, coming.wall)
        for entry, coming in live[:LISTED]
    ]
    rows = [
        Button(f"{whose(entry, desk) or words.short(coming.wall)}"[:30], f"classes {entry.id}")
        for entry, coming in live[:LISTED]
    ]
    return Reply(
        (Part(words.classes(lines, len(live) - len(lines))),),
        tuple(tuple(rows[at : at + 3]) for at in range(0, len(rows), 3)),
        data={"classes": [class_form(entry, diary, desk) for entry, _ in live]},
    )


def show_week(command: ShowWeek, desk: Desk) -> Reply:
    """A week, Monday to Sunday, with a button to plan what has no plan yet."""
    diary = Diary.of(desk.store)
    today = local(desk, desk.zone.key).date()
    monday, following = week_of(command.day or today)
    midnight = instant_of(datetime.combine(monday, time()), desk.zone.key)
    end = instant_of(datetime.combine(following, time()), desk.zone.key)
    found = diary.between(midnight, end)
    pairs = clashes(found)
    both = {(each.entry.id, each.day) for pair in pairs for each in pair}
    lines = [
        (
            each.wall.date(),
            words.lesson(
                each.wall, said_of(each.entry, desk), each.plan, away=each.away, moved=each.moved
            ),
        )
        for each in found
    ]
    open_ = [e for e in found if not e.plan and not e.away and e.at > desk.now][:BUTTONS]
    rows = [Button(words.PLAN.format(when=words.short(e.wall)), plan_line(e, desk)) for e in open_]
    parts = [Part(words.week(monday, following - DAY, lines))]
    parts += [Part(wrapped(_clash(pair, desk))) for pair in pairs[:2]]
    around = (
        Button(words.LAST_WEEK, f"week {monday - 7 * DAY}"),
        Button(words.NEXT_WEEK, f"week {following}"),
    )
    return Reply(
        tuple(parts),
        (*(tuple(rows[at : at + 2]) for at in range(0, len(rows), 2)), around),
        data={
            "week": [lesson_form(each, desk, (each.entry.id, each.day) in both) for each in found],
            "monday": monday.isoformat(),
        },
    )


def _one(number: int, diary: Diary, desk: Desk) -> Reply:
    entry = next((each for each in diary.entries if each.id == number), None)
    if entry is None:
        names = tuple(filter(None, (whose(each, desk) for each in diary.entries)))
        raise NoSuchClassError(str(number), names)
    coming = diary.next_of(entry, desk.now)
    wall = coming.wall if coming else None
    line = words.class_line(said_of(entry, desk), entry.cadence.rule, wall)
    rows: tuple[tuple[Button, ...], ...] = ()
    if coming:
        day = f"class {number} {coming.wall.date()}"
        plan = (
            Button(words.SHOW_PLAN, f"show #{coming.plan}")
            if coming.plan
            else Button(words.PLAN_IT, plan_line(coming, desk))
        )
        rows = ((plan, Button(words.CANCEL, f"cancel {day}")),)
    return Reply((Part(wrapped(line)),), rows, data={"class": class_form(entry, diary, desk)})


def _who(command: AddClass, desk: Desk) -> tuple[str, tuple[ClientId, ...], list[str]]:
    """The group or the people a class is for, and what is to be said of them.

    Raises:
        UserError: nobody and no group is called that.
    """
    who = command.who
    if not who:
        return "", (), []
    people = desk.store.people
    group = people.group(who)
    if group:
        return group.name, (), []
    pieces = [
        piece.strip()
        for piece in who.replace("&", ",").replace("+", ",").replace(" and ", ",").split(",")
        if fold(piece)
    ]
    named = [people.client_named(piece) for piece in pieces]
    found = tuple(each.id for each in named if each)
    if found and len(found) == len(pieces):
        return "", tuple(dict.fromkeys(found)), []
    if command.alone:
        missing = next(piece for piece, each in zip(pieces, named, strict=True) if not each)
        only(missing, lambda name, _: _instead(command.line, missing, name), desk)
    if command.named and not found:
        return who, (), [asking.NEW_GROUP.format(group=who)]
    raise UnknownWordError(who, _meant(command, desk))


def _meant(command: AddClass, desk: Desk) -> tuple[Guess, ...]:
    """What a name that is not known may have been, and that it may be new."""
    who = command.who
    near = dict.fromkeys([*near_groups(who, desk), *(name for _, name in near_names(who, desk))])
    new = Guess(words.NEW_NAME.format(who=who), _instead(command.line, who, f"for {who}"))
    return (*(Guess(name, _instead(command.line, who, name)) for name in list(near)[:3]), new)


def _instead(line: str, typed: str, name: str) -> str:
    head, _, tail = line.rpartition(typed)
    return f"{head}{name}{tail}"


def _clash(pair: tuple[Lesson, Lesson], desk: Desk) -> str:
    names = [whose(each.entry, desk) or words.short(each.wall) for each in pair]
    return words.CLASH.format(first=names[0], second=names[1], when=words.stamp(pair[1].wall))
