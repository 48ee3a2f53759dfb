"""What is called off, moved, or falls out because she is away."""

from datetime import date, datetime, time, timedelta

from bot.commands import CancelClass, GoAway, ListAway, MoveClass, Which
from bot.desk import Desk
from bot.diary import (
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
from bot.errors import (
    NoClassOnError,
    NoSuchClassError,
    NoSuchDayError,
    RefusedError,
    UnclearDateError,
)
from bot.reply import Button, Part, Reply
from bot.taken_back import can_take_back
from bot.when.words import WEEKDAYS
from bot.wording import asking
from bot.wording import diary as words
from bot.wording.people import day as day_words
from bot.wording.phrases import wrapped
from core.cadence import instant_of
from core.diary import (
    ClassEntry,
    DiaryError,
    Lesson,
    called_off,
    ended,
    moved_from,
    moved_once,
)

OFFERED = 6
WEEK = timedelta(days=7)


def cancel(command: CancelClass, desk: Desk) -> Reply:
    """A lesson called off, or all from it on; which of both is asked."""
    lesson = _lesson(command.which, "cancel", "", desk)
    if isinstance(lesson, Reply):
        return lesson
    entry, diary = lesson.entry, desk.store.diary
    if entry.recurs and not command.scope:
        return _ask(lesson, "cancel", "", desk)
    now = local(desk, entry.cadence.zone)
    who = said_of(entry, desk)
    if not entry.recurs:
        diary.drop_class(entry.id, desk.now)
        said = words.CALLED_OFF.format(what=f"{who}, {words.when(lesson.wall, now)}")
    elif command.scope == "one":
        diary.save_class(called_off(entry, lesson.day), desk.now)
        said = words.CALLED_OFF.format(what=f"{who}, {words.when(lesson.wall, now)}")
    else:
        left = ended(entry, lesson.day)
        if left:
            diary.save_class(left, desk.now)
        else:
            diary.drop_class(entry.id, desk.now)
        said = words.ENDED.format(what=who, day=words.stamp(lesson.wall))
    return _changed(said, entry, desk)


def move(command: MoveClass, desk: Desk) -> Reply:
    """A lesson at another time, or all from it on; which of both is asked.

    Raises:
        UserError: no such lesson, or a time that has passed.
    """
    lesson = _lesson(command.which, "move", f" to {_said(command)}", desk)
    if isinstance(lesson, Reply):
        return lesson
    entry = lesson.entry
    clock: time = command.clock or lesson.wall.time()
    day = command.day or lesson.wall.date()
    if command.weekday is not None:
        day = _nearest(command.weekday, lesson.wall.date())
    wall = datetime.combine(day, clock)
    if command.weekday is not None and instant_of(wall, entry.cadence.zone) <= desk.now:
        wall += WEEK
    if instant_of(wall, entry.cadence.zone) <= desk.now:
        raise UnclearDateError(words.stamp(wall), words.PASSED)
    if entry.recurs and not command.scope:
        return _ask(lesson, "move", f" to {wall:%Y-%m-%d %H:%M}", desk)
    now = local(desk, entry.cadence.zone)
    when = words.when(wall, now)
    try:
        if command.scope == "all" and entry.recurs:
            kept = _all_from(lesson, wall, desk)
            said = words.MOVED_ALL.format(
                what=said_of(kept, desk), when=when, often=words.often(kept.cadence.rule)
            )
        else:
            kept = moved_once(entry, lesson.day, wall)
            desk.store.diary.save_class(kept, desk.now)
            can_take_back(desk)
            said = words.MOVED.format(what=said_of(kept, desk), when=when)
    except DiaryError as fault:
        raise RefusedError(str(fault)) from fault
    return _changed(said, kept, desk, undoing=False)


def go_away(command: GoAway, desk: Desk) -> Reply:
    """A holiday kept, and what falls out because of it."""
    today = local(desk, desk.zone.key).date()
    if command.last < today:
        raise UnclearDateError(words.span(command.first, command.last), words.PASSED)
    before = Diary.of(desk.store)
    begin = max(desk.now, instant_of(datetime.combine(command.first, time()), desk.zone.key))
    end = instant_of(datetime.combine(command.last, time(23, 59, 59)), desk.zone.key)
    falling = [each for each in before.between(begin, end) if not each.away]
    kept = desk.store.diary.add_away(command.first, command.last, desk.now)
    refresh(desk.store, desk.zone.key, desk.now)
    can_take_back(desk)
    out = words.falls([(each.wall, whose(each.entry, desk)) for each in falling])
    said = words.WENT_AWAY.format(span=words.span(kept.first, kept.last), falls=out)
    return Reply(
        (Part(wrapped(said)),),
        ((Button(asking.UNDO, "undo"),),),
        data={
            "away": {"id": kept.id, "first": str(kept.first), "last": str(kept.last)},
            "falls_out": [lesson_form(each, desk) for each in falling],
        },
    )


def list_away(command: ListAway, desk: Desk) -> Reply:
    """Her holidays; or one of them taken out.

    Raises:
        NoSuchDayError: she has no holiday of that number.
    """
    found = desk.store.diary.away()
    today = local(desk, desk.zone.key).date()
    if command.back is None:
        coming = [each for each in found if each.last >= today]
        lines = [f"· {words.span(each.first, each.last)}" for each in coming]
        return Reply(
            (Part("\n".join([words.AWAY_LIST, *lines]) if lines else wrapped(words.NOT_AWAY)),),
            tuple(
                (
                    Button(
                        words.BACK_BUTTON.format(span=words.span(each.first, each.last)),
                        f"away off {each.id}",
                    ),
                )
                for each in coming[:OFFERED]
            ),
            data={
                "away": [
                    {"id": each.id, "first": str(each.first), "last": str(each.last)}
                    for each in coming
                ]
            },
        )
    wanted = next((each for each in found if each.id == command.back), None)
    if wanted is None:
        raise NoSuchDayError
    desk.store.diary.drop_away(wanted.id, desk.now)
    refresh(desk.store, desk.zone.key, desk.now)
    can_take_back(desk)
    return Reply(
        (Part(wrapped(words.BACK.format(span=words.span(wanted.first, wanted.last)))),),
        ((Button(asking.UNDO, "undo"),),),
        data={"away": None},
    )


def _said(command: MoveClass) -> str:
    """Where to, as a line says it."""
    day = command.day.isoformat() if command.day else ""
    if command.weekday is not None:
        day = WEEKDAYS[command.weekday]
    clock = f"{command.clock:%H:%M}" if command.clock else ""
    return f"{day} {clock}".strip()


def _nearest(weekday: int, day: date) -> date:
    """The day of that name nearest to a day, itself included."""
    ahead = (weekday - day.weekday()) % 7
    return day + timedelta(days=ahead if ahead <= WEEK.days // 2 else ahead - WEEK.days)


def _all_from(lesson: Lesson, wall: datetime, desk: Desk) -> ClassEntry:
    """The class as it goes on from there; what was before stays in the diary."""
    before, after = moved_from(lesson.entry, lesson.day, wall)
    if before is None:
        desk.store.diary.save_class(after, desk.now)
        can_take_back(desk)
        return after
    desk.store.diary.save_class(before, desk.now)
    kept = desk.store.diary.add_class(after, desk.now)
    can_take_back(desk, 2)
    return kept


def _lesson(which: Which, verb: str, rest: str, desk: Desk) -> Lesson | Reply:
    """The lesson that is meant; or the question which.

    Raises:
        UserError: none is.
    """
    found = Diary.of(desk.store).meant(which, desk)
    if not found:
        if which.day:
            raise NoClassOnError(day_words(which.day))
        diary = Diary.of(desk.store)
        names = tuple(dict.fromkeys(filter(None, (whose(e, desk) for e in diary.entries))))
        raise NoSuchClassError(which.who or str(which.number or ""), names)
    if len(found) == 1:
        return found[0]
    rows = tuple(
        (
            Button(
                f"{words.short(each.wall)} {whose(each.entry, desk)}".strip(),
                f"{verb} class {each.entry.id} {each.wall.date()}{rest}",
            ),
        )
        for each in found[:OFFERED]
    )
    return Reply(
        (Part(words.WHICH),), rows, data={"candidates": [lesson_form(e, desk) for e in found]}
    )


def _ask(lesson: Lesson, verb: str, rest: str, desk: Desk) -> Reply:
    """Whether one lesson is meant, or all from it on."""
    entry = lesson.entry
    now = local(desk, entry.cadence.zone)
    said = words.THIS_OR_ALL.format(what=said_of(entry, desk), when=words.when(lesson.wall, now))
    line = f"{verb} class {entry.id} {lesson.wall.date()}{rest}"
    return Reply(
        (Part(wrapped(said)),),
        ((Button(words.THIS_ONE, f"{line} one"), Button(words.FROM_HERE, f"{line} all")),),
        data={"missing": "scope", "lesson": lesson_form(lesson, desk)},
    )


def _changed(said: str, entry: ClassEntry, desk: Desk, *, undoing: bool = True) -> Reply:
    """What was changed, what clashes now, and the way back."""
    if undoing:
        can_take_back(desk)
    refresh(desk.store, desk.zone.key, desk.now)
    diary = Diary.of(desk.store)
    now_kept = next((each for each in diary.entries if each.id == entry.id), None)
    parts = [Part(wrapped(said))]
    row = [Button(asking.UNDO, "undo")]
    coming = diary.next_of(now_kept, desk.now) if now_kept else None
    if now_kept:
        pair = clash_of(diary, now_kept, desk)
        if pair:
            names = [whose(each.entry, desk) or words.short(each.wall) for each in pair]
            parts.append(
                Part(
                    wrapped(
                        words.CLASH.format(
                            first=names[0], second=names[1], when=words.stamp(pair[1].wall)
                        )
                    )
                )
            )
    if coming and not coming.plan:
        row.insert(
            0, Button(words.PLAN.format(when=words.short(coming.wall)), plan_line(coming, desk))
        )
    return Reply(
        tuple(parts),
        (tuple(row),),
        data={"class": class_form(now_kept, diary, desk) if now_kept else None},
    )
