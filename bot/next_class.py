"""Which lesson of the diary a plan is for: found from its group, its day or its time."""

from dataclasses import replace
from datetime import datetime

from bot.commands import MakePlan
from bot.desk import Desk
from bot.diary import Diary, names_of, whose
from bot.errors import Guess, UnclearDateError
from bot.wording import diary as words
from core.cadence import wall_of
from core.diary import Lesson, with_plan
from core.fold import fold
from core.saved import SavedPlan


def completed(command: MakePlan, desk: Desk) -> tuple[MakePlan, list[str]]:
    """The wish with what the diary knows of its lesson, and what is to be said of that.

    Raises:
        UnclearDateError: a day without a time, and no single lesson on it.
    """
    diary = Diary.of(desk.store)
    lesson = _lesson(command, diary, desk)
    if lesson is None:
        if command.day:
            raise UnclearDateError(command.line, words.WHICH_TIME)
        return command, []
    entry = lesson.entry
    full = replace(
        command,
        day=None,
        starts=lesson.wall,
        minutes=command.minutes or entry.minutes,
        apparatus=command.apparatus or entry.apparatus,
        group=command.group or whose(entry, desk),
    )
    if command.starts:
        return full, []
    now = wall_of(desk.now, entry.cadence.zone)
    what = whose(entry, desk) or words.A_CLASS
    return full, [words.FROM_DIARY.format(what=what, when=words.when(lesson.wall, now))]


def attach(saved: SavedPlan, desk: Desk) -> None:
    """Let the lesson that a plan is for know its number; an edited plan takes the place."""
    starts = saved.plan.brief.starts
    if starts is None:
        return
    lesson = at_time(Diary.of(desk.store), starts, saved.plan.brief.group, desk)
    if lesson and lesson.plan != saved.number:
        desk.store.diary.set_plan(with_plan(lesson.entry, lesson.day, saved.number))


def at_time(diary: Diary, starts: datetime, group: str, desk: Desk) -> Lesson | None:
    """The lesson that begins at this wall time (or did before it was moved), for this group."""
    if not diary.entries:
        return None
    found = [each for each in diary.on(starts.date()) if each.wall == starts]
    if not found:
        found = [
            lesson
            for entry in diary.entries
            for day, wall in entry.moved
            if day == starts.date() and entry.cadence.start.time() == starts.time()
            for lesson in diary.on(wall.date())
            if lesson.entry.id == entry.id and lesson.day == day
        ]
    hers = [each for each in found if not group or fold(group) in names_of(each.entry, desk)]
    return hers[0] if hers else None


def _lesson(command: MakePlan, diary: Diary, desk: Desk) -> Lesson | None:
    if not diary.entries:
        return None
    if command.starts:
        return at_time(diary, command.starts, command.group, desk)
    wanted = fold(command.group)
    if command.day:
        found = [
            each
            for each in diary.on(command.day)
            if each.ends > desk.now
            and not each.away
            and (not wanted or wanted in names_of(each.entry, desk))
        ]
        if len(found) > 1:
            guesses = tuple(
                Guess(
                    f"{words.short(e.wall)} {whose(e.entry, desk)}".strip(),
                    f"{command.line} {e.wall:%H:%M}",
                )
                for e in found
            )
            raise UnclearDateError(command.line, words.WHICH_LESSON, guesses)
        return found[0] if found else None
    if not wanted:
        return None
    coming = (
        diary.next_of(each, desk.now) for each in diary.entries if wanted in names_of(each, desk)
    )
    return min((each for each in coming if each), key=lambda each: each.at, default=None)
