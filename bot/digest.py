"""What the evening before says of a day: its classes, who comes, who needs what, what to set."""

from datetime import date
from typing import Any

from bot.desk import Desk
from bot.diary import Diary, lesson_form, people_in, plan_line, said_of
from bot.minding import class_verdicts, needs
from bot.reply import Button, Part, Reply
from bot.wording import digest as words
from bot.wording import people
from bot.wording.diary import short
from bot.wording.phrases import wrapped
from bot.wording.plans import HEALTH
from core.client import Client
from core.codec import StaleError
from core.diary import Lesson
from core.plan import ClassPlan
from core.reminder import Reminder

MOST = 8  # classes told in full


def digest_of(day: date, desk: Desk, diary: Diary) -> Reply | None:
    """What a day needs; None when there is nothing to say of it."""
    taught = [each for each in diary.on(day) if not each.away and each.ends > desk.now]
    open_ = [each for each in desk.store.diary.reminders() if each.open and each.due is None]
    if not taught and not open_:
        return None
    parts: list[Part] = []
    rows: list[tuple[Button, ...]] = []
    forms: list[dict[str, Any]] = []
    if taught:
        today = day <= desk.context.now.date()
        parts.append(Part(words.head(day, len(taught), today=today)))
    for lesson in taught[:MOST]:
        text, form, row = _lesson(lesson, desk)
        parts.append(Part(text))
        forms.append(form)
        rows.append(row)
    if open_:
        parts.append(Part("\n".join([words.OPEN, *_open(open_, desk)])))
        marks = [Button(words.ASKED.format(number=e.id), f"done {e.id}") for e in open_[:6]]
        rows += [tuple(marks[at : at + 3]) for at in range(0, len(marks), 3)]
    if any(form["needs"] for form in forms):
        parts.append(Part(wrapped(HEALTH)))
    return Reply(
        tuple(parts),
        tuple(rows),
        data={
            "digest": {
                "day": day.isoformat(),
                "classes": forms,
                "open": [each.id for each in open_],
            }
        },
    )


def of_lesson(lesson: Lesson, desk: Desk) -> Reply:
    """One lesson that has no plan: who comes, what is minded about each, a button to plan it."""
    text, form, row = _lesson(lesson, desk)
    people_row = tuple(Button(name, f"client {name}") for name in form["people"][:6])
    return Reply(
        (Part(words.on_day(lesson.wall, text)), Part(wrapped(HEALTH))),
        (row, *((people_row,) if people_row else ())),
        data={"plan_id": None, "people": form["people"], "verdicts": [], "lesson": form},
    )


def _lesson(lesson: Lesson, desk: Desk) -> tuple[str, dict[str, Any], tuple[Button, ...]]:
    plan = _plan(lesson, desk)
    who = people_in(lesson.entry, desk)
    lines = [
        words.lesson(lesson.wall, said_of(lesson.entry, desk), planned=plan is not None),
        words.coming([each.name for each in who]),
    ]
    said = [(each.name, _needs(each, plan, desk)) for each in who]
    lines += [text for _, text in said if text]
    when = short(lesson.wall)
    if plan is None:
        row: tuple[Button, ...] = (Button(words.PLAN.format(when=when), plan_line(lesson, desk)),)
    else:
        first = plan.items[0].step
        on = desk.repertoire.apparatus[first.exercise.apparatus]
        lines.append(words.begins(first.exercise.short, on.name, on.brief(first.springs)))
        row = (Button(words.SHOW.format(when=when), f"show #{lesson.plan}"),)
        if any(text for _, text in said):
            row += (Button(words.MODS.format(when=when), f"mods #{lesson.plan}"),)
    form = lesson_form(lesson, desk)
    form |= {"people": [each.name for each in who], "needs": [n for n, text in said if text]}
    return "\n".join(lines), form, row


def _needs(client: Client, plan: ClassPlan | None, desk: Desk) -> str:
    """Where she does something else; without a plan, what is minded about her."""
    if not client.flags:
        return ""
    if plan is None:
        names = [people.flag_name(flag, desk.cautions) for flag in client.flags]
        return words.minded(client.name, names)
    found = list(enumerate(class_verdicts(client, plan, desk), 1))
    if not needs(verdict for _, verdict in found):
        return ""
    return words.needs(client.name, found)


def _plan(lesson: Lesson, desk: Desk) -> ClassPlan | None:
    if lesson.plan is None:
        return None
    try:
        saved = desk.store.plan(lesson.plan, desk.repertoire)
    except StaleError:
        return None
    return saved.plan if saved else None


def _open(found: list[Reminder], desk: Desk) -> list[str]:
    names = desk.store.people.names()
    return [
        words.open_question(each.id, names.get(each.client, "") if each.client else "", each.text)
        for each in found
    ]
