"""Who does what instead: in a class, on a day, for a group, for a person, for a movement."""

from dataclasses import replace
from datetime import date, timedelta

from bot.by_day import day_named, plans_of, plans_on
from bot.commands import Mods
from bot.desk import Desk
from bot.diary import Diary, people_in, plan_line
from bot.digest import of_lesson
from bot.errors import Guess, NoMatchError, UnknownWordError
from bot.kept_plan import saved_plan
from bot.minding import (
    class_verdicts,
    day_of,
    people_of,
    this_class,
    verdict_form,
    verdict_on,
)
from bot.reply import Button, Part, Reply
from bot.whom import looked_up
from bot.wording import cautions, people
from bot.wording.phrases import moment, wrapped
from bot.wording.plans import HEALTH, title
from core.cadence import wall_of
from core.caution import advice
from core.client import Client
from core.diary import Lesson
from core.fold import fold
from core.saved import DatedPlan, SavedPlan

BEGUN = timedelta(minutes=30)  # a class that began so long ago is still the next (house choice)
AHEAD = timedelta(days=60)
OTHERS = 3  # other classes that are a tap away
GROUPS_OFFERED = 6
UNFOLDED = 4  # reasons shown at once; more of them stay folded on a phone
ON = ("for", "on", "with", "doing", "in")  # between a name and a movement


def mods(command: Mods, desk: Desk) -> Reply:
    """What is asked for, found out by its words."""
    typed = command.typed
    if not typed:
        if command.plan is None:
            return _next(desk)
        return _class(saved_plan(command.plan, desk), None, desk)
    day = day_named(typed, desk)
    if day:
        return _on(day, desk)
    if desk.store.people.group(typed):
        return _class(saved_plan(command.plan, desk), people_of(typed, desk), desk)
    whom = looked_up(typed, lambda name, rest: f"mods {name} {rest}".strip(), desk)
    said = (
        [people.READ_AS.format(typed=whom.typed[:40], name=whom.client.name)] if whom.typed else []
    )
    words = whom.rest.split()
    while words and fold(words[0]) in ON:
        words.pop(0)
    if words:
        return _movement(whom.client, " ".join(words), said, desk)
    return _class(saved_plan(command.plan, desk), (whom.client,), desk, said)


def _class(
    saved: SavedPlan, whose: tuple[Client, ...] | None, desk: Desk, said: list[str] | None = None
) -> Reply:
    """Everybody of a class, or these people in it."""
    plan = saved.plan
    who = people_of(plan.brief.group, desk) if whose is None else whose
    titled = Part(title(plan.brief, desk.repertoire, desk.context.now))
    head = [*(Part(wrapped(text)) for text in said or ()), titled]
    if not who:
        groups = desk.store.people.groups()[:GROUPS_OFFERED]
        return Reply(
            (*head, Part(wrapped(cautions.NOBODY)), Part(wrapped(HEALTH))),
            tuple((Button(group.name, f"mods {group.name}"),) for group in groups),
            data={"plan_id": saved.number, "people": [], "verdicts": []},
        )
    today = day_of(plan, desk)
    found = [
        (
            client.name,
            list(enumerate(class_verdicts(client, plan, desk), 1)),
            advice(client, today, desk.cautions),
        )
        for client in who
    ]
    rows = [Button(each.name, f"client {each.name}") for each in who]
    lines, reasons = cautions.of_class(found, desk.cautions)
    health = Part(wrapped(HEALTH))
    folded = len(reasons) > UNFOLDED
    why = (Part("\n".join(reasons)),) if reasons else ()
    return Reply(
        (
            *head,
            *(Part(text) for text in lines),
            *(Part(wrapped(text)) for text in _due(who, today, desk)),
            *(() if folded else why),
            health,
        ),
        (
            *(tuple(rows[at : at + 3]) for at in range(0, len(rows), 3)),
            (Button(cautions.REFIT, f"refit #{saved.number}"),),
        ),
        data={
            "plan_id": saved.number,
            "people": [each.name for each in who],
            "verdicts": [
                verdict_form(name, v, n) for name, verdicts, _ in found for n, v in verdicts
            ],
        },
        more=(*why, health) if folded else (),
    )


def _movement(client: Client, typed: str, said: list[str], desk: Desk) -> Reply:
    """One movement for one person."""
    found = desk.context.names.find(typed, desk.context.usual_apparatus)
    e = found.sure
    if e is None:
        if not found.matches:
            raise NoMatchError(typed)
        names = [m.exercise.name for m in found.matches]
        raise UnknownWordError(typed, tuple(Guess(n, f"mods {client.name} {n}") for n in names))
    v = verdict_on(client, e, desk)
    row = [Button(e.short, f"exercise {e.name}")]
    if v.swap:
        row.append(Button(v.swap.short, f"exercise {v.swap.name}"))
    return Reply(
        (
            *(Part(wrapped(text)) for text in said),
            *(Part(text) for text in cautions.of_movement(client.name, v, desk.cautions)),
            Part(wrapped(HEALTH)),
        ),
        (tuple(row), (Button(client.name, f"client {client.name}"),)),
        data={"verdicts": [verdict_form(client.name, v)]},
    )


def _due(who: tuple[Client, ...], today: date, desk: Desk) -> list[str]:
    """A question for each review that is due by then."""
    return [
        f"{client.name}: "
        + people.REVIEW.format(
            n=n,
            what=people.flag_name(flag, desk.cautions),
            day=people.day(flag.review or flag.due or today),
        )
        for client in who
        for n, flag in enumerate(client.flags, 1)
        if flag.review_due(today)
    ]


def _on(day: date, desk: Desk) -> Reply:
    """The class of a day made last; the others of that day are a tap away.

    Raises:
        NoClassOnError: there is none.
    """
    taught = [each for each in Diary.of(desk.store).on(day) if not each.away]
    if taught:
        lesson = next((each for each in taught if each.ends > desk.now), taught[-1])
        known = {each.plan for each in taught}
        beside = [each for each in plans_of(day, desk) if each.number not in known]
        return _of_lesson(lesson, [each for each in taught if each is not lesson], beside, desk)
    found = plans_on(day, desk)
    meant = max(found, key=lambda each: each.number)
    return _among(meant.number, found, desk)


def _next(desk: Desk) -> Reply:
    """The next class of the diary or of the plans that have a time; one without, if asked here."""
    here = this_class(desk)
    lesson = Diary.of(desk.store).following(desk.now - BEGUN)
    if lesson and not (here and here.plan.brief.starts is None):
        begins, dated = wall_of(lesson.at, desk.zone.key), _coming(desk)
        if not dated or begins <= dated[0].starts:
            return _of_lesson(lesson, [], [e for e in dated if e.number != lesson.plan][:2], desk)
    if here and here.plan.brief.starts is None:
        return _among(here.number, _coming(desk)[:1], desk)
    coming = _coming(desk)
    if not coming:
        return _class(saved_plan(None, desk), None, desk)
    others = coming[1:3]
    if here and here.number != coming[0].number:
        starts = here.plan.brief.starts
        if starts and starts not in [each.starts for each in others]:
            others = [DatedPlan(here.number, starts), *others[:1]]
    return _among(coming[0].number, others, desk)


def _of_lesson(lesson: Lesson, others: list[Lesson], plans: list[DatedPlan], desk: Desk) -> Reply:
    """A lesson of the diary: its plan for its people, or who comes where it has none."""
    plan = desk.store.plan(lesson.plan, desk.repertoire) if lesson.plan else None
    if plan:
        who = people_in(lesson.entry, desk) or None
        reply = _class(saved_plan(plan.number, desk), who, desk)
    else:
        reply = of_lesson(lesson, desk)
    row = [
        Button(
            moment(each.wall, desk.context.now),
            f"mods #{each.plan}" if each.plan else plan_line(each, desk),
        )
        for each in others
    ]
    row += [Button(moment(e.starts, desk.context.now), f"mods #{e.number}") for e in plans]
    return replace(reply, rows=(*reply.rows, tuple(row[:OTHERS]))) if row else reply


def _coming(desk: Desk) -> list[DatedPlan]:
    """Classes that have not begun, or only just, the next first."""
    now = desk.context.now
    return desk.store.plans_between(now - BEGUN, now + AHEAD)


def _among(number: int, others: list[DatedPlan], desk: Desk) -> Reply:
    """A class, with a button for each of the others."""
    reply = _class(saved_plan(number, desk), None, desk)
    row = tuple(
        Button(moment(each.starts, desk.context.now), f"mods #{each.number}")
        for each in others
        if each.number != number
    )
    return replace(reply, rows=(*reply.rows, row[:OTHERS])) if row else reply
