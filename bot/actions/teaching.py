"""The class while it is taught: one message, changed in place by every tap."""

from collections.abc import Sequence
from datetime import UTC, timedelta
from math import ceil
from typing import Any

from bot.commands import Early, EditPlan, Teach
from bot.desk import Desk
from bot.errors import Guess, NoMatchError, RefusedError, UnknownWordError
from bot.grammar.edit_words import MOST_LATE
from bot.kept_plan import keep, saved_plan, shown, turn_to
from bot.logbook import own_pace
from bot.reply import Button, Part, Reply
from bot.room import room_of
from bot.running import classes, keep_running, running, sheet_of
from bot.wording import asking, teaching
from bot.wording.changes import summary
from bot.wording.phrases import count, wrapped
from bot.wording.plans import HEALTH
from core.early import Idea, one_more
from core.exercise import ExerciseId
from core.late import most, shorter
from core.plan import ClassPlan
from core.planner.request import Request
from core.running import Running, open_class
from core.saved import SavedPlan
from core.wish import EditError

SPANS = (3, 5, 10, 15)  # minutes offered where somebody is late or early
AHEAD_S = 120  # from so much in hand one more is offered (house choice)


def teach(command: Teach, desk: Desk) -> Reply:
    """Open the class, or go on in it."""
    found = running(desk)
    if found and found[0].lapsed(desk.now):
        here = found[0].lapse()
        keep_running(here, desk)
        if command.do and command.plan in (None, here.first):
            return _over(here, found[1], desk)
        found = None
    if not command.do:
        return _opened(command, found, desk)
    if command.do == "back" and found is None:
        return _reopened(command, desk)
    if found is None:
        return _none()
    here, saved = found
    stale = command.plan not in (None, here.first) or command.place not in (None, here.place)
    if stale:
        return _card(here, saved, desk, [teaching.OLD_TAP])
    places = len(saved.plan.items)
    match command.do:
        case "next":
            here = here.next(desk.now, places)
        case "skip":
            here = here.skip(desk.now, places)
        case "back":
            here = here.back()
        case "late":
            return _how_late(here, saved, desk)
        case _:
            here = here.stop(desk.now)
    keep_running(here, desk)
    return _over(here, saved, desk) if here.ended else _card(here, saved, desk)


def late_minutes(command: EditPlan, desk: Desk) -> int | None:
    """The minutes lost, if that is all that is wished and the class in question is running."""
    if len(command.wishes) != 1 or command.wishes[0].verb != "late" or command.insist:
        return None
    found = _live(desk)
    if found is None:
        return None
    wanted = command.plan in (None, found[0].plan, found[0].first)
    return command.wishes[0].n if wanted else None


def late(minutes: int, desk: Desk) -> Reply:
    """What is left of the running class in so many minutes less."""
    found = _live(desk)
    assert found is not None  # `late_minutes` has looked
    here, saved = found
    request = _request(saved.plan, desk)
    try:
        plan = shorter(saved.plan, here.place, minutes, request)
    except EditError as fault:
        possible = most(saved.plan, here.place, minutes, request)
        why = (
            teaching.MOST.format(why=_sentence(fault), count=count(possible, "minute"))
            if possible
            else teaching.NOTHING_SHORTER.format(why=_sentence(fault))
        )
        return _card(here, saved, desk, [why], offer=possible)
    kept = keep(plan, desk)
    here = here.on(kept.number, saved.plan, plan)
    keep_running(here, desk)
    said = [teaching.SHORTER.format(minutes=minutes), *summary(saved.plan, plan)[1:]]
    return _card(here, kept, desk, said)


def early(command: Early, desk: Desk) -> Reply:
    """One exercise more: what would fit, or the one that was chosen."""
    found = _live(desk)
    here, saved = found or (None, saved_plan(None, desk))
    place = here.place if here else 0
    plan = saved.plan
    request = _request(plan, desk)
    only = _named(command, plan, desk) if command.typed else None
    try:
        ideas = one_more(plan, place, command.minutes, request, only)
    except EditError as fault:
        raise RefusedError(str(fault)) from fault
    if only is None or not ideas:
        return _offered(ideas, command.minutes, back=here is not None)
    kept = keep(ideas[0].plan, desk)
    said = [teaching.ADDED.format(name=ideas[0].exercise.short, n=ideas[0].n)]
    if here is None:
        return shown(kept, desk, said)
    here = here.on(kept.number, plan, kept.plan)
    keep_running(here, desk)
    return _card(here, kept, desk, said)


def _live(desk: Desk) -> tuple[Running, SavedPlan] | None:
    """The class being taught; None when its time is over."""
    found = running(desk)
    return None if found and found[0].lapsed(desk.now) else found


def _opened(command: Teach, found: tuple[Running, SavedPlan] | None, desk: Desk) -> Reply:
    """The running class; or this one from its beginning, the one before stopped."""
    said = []
    if found:
        here, saved = found
        if command.plan in (None, here.plan, here.first):
            keep_running(here, desk)
            return _card(here, saved, desk)
        keep_running(here.stop(desk.now), desk)
        said = [teaching.BEFORE_STOPPED]
    saved = saved_plan(command.plan, desk)
    starts = saved.plan.brief.starts
    instant = starts.replace(tzinfo=desk.zone).astimezone(UTC) if starts else None
    here = open_class(saved.number, saved.plan, instant, desk.now)
    keep_running(here, desk)
    if desk.store.talk(desk.chat).get("plan") != saved.number:
        turn_to(saved, desk)  # what she says next is about the class she teaches
    return _card(here, saved, desk, said)


def _reopened(command: Teach, desk: Desk) -> Reply:
    """The class that was stopped by a slip, running again."""
    last = next(iter(classes(desk)), None)
    if last and last.ended and command.plan in (None, last.first):
        saved = saved_plan(last.plan, desk)
        here = last.reopen(len(saved.plan.items))
        if not here.lapsed(desk.now):
            keep_running(here, desk)
            return _card(here, saved, desk)
    return _none()


def _card(
    here: Running, saved: SavedPlan, desk: Desk, said: Sequence[str] = (), offer: int = 0
) -> Reply:
    """Where the class stands.

    Args:
        offer: so many minutes less are offered first.
    """
    plan = saved.plan
    sheet = sheet_of(plan, desk)
    if here.place:
        shift = timedelta(seconds=plan.items[here.place - 1].end_s + here.lost_s)
        until, ends = (at.astimezone(desk.zone) for at in (here.began + shift, here.ends))
        texts = teaching.current(here, sheet, desk.repertoire, desk.now, until, ends)
    else:
        texts = (*teaching.opening(here, sheet, desk.repertoire, desk.now), wrapped(HEALTH))
    mark = f"{here.place} #{here.first}"
    rows: list[tuple[Button, ...]] = [
        (Button(teaching.NEXT if here.place else teaching.BEGIN, f"teach next {mark}"),)
    ]
    if here.place:
        rows.append(
            (
                Button(teaching.BACK, f"teach back {mark}"),
                Button(teaching.SKIP, f"teach skip {mark}"),
            )
        )
    hand = here.in_hand_s(plan, desk.now)
    low = [Button(teaching.LATE, f"teach late {mark}"), Button(teaching.STOP, f"teach stop {mark}")]
    if here.place and hand >= AHEAD_S:
        low.insert(1, Button(teaching.EARLY, f"early {hand // 60}"))
    if offer:
        rows.append((Button(teaching.MINUTES.format(count=offer), f"late {offer}"),))
    rows.append(tuple(low))
    if not here.place:
        row = [Button(asking.SHEET, f"sheet #{saved.number}")]
        if sheet.people:
            row.append(Button(asking.MODS, f"mods #{saved.number}"))
        rows.append(tuple(row))
    return Reply(
        (*(Part(wrapped(text)) for text in said), *(Part(text) for text in texts)),
        tuple(rows),
        data={"teaching": _form(here, plan, desk)},
    )


def _over(here: Running, saved: SavedPlan, desk: Desk) -> Reply:
    """The class is taught; once, and only here, she is asked how it was."""
    texts = teaching.over(here, saved.plan)
    return Reply(
        (*(Part(text) for text in texts), Part(wrapped(HEALTH))),
        (
            (Button(teaching.LOG, f"taught #{saved.number}"),),
            (
                Button(teaching.BACK, f"teach back #{here.first}"),
                Button(asking.SHOW, f"show #{saved.number}"),
            ),
        ),
        data={"teaching": _form(here, saved.plan, desk)},
    )


def _how_late(here: Running, saved: SavedPlan, desk: Desk) -> Reply:
    """By how much; what the clock says stands first."""
    behind = -here.in_hand_s(saved.plan, desk.now)
    spans = sorted({*SPANS, ceil(behind / 60)} if behind > 0 else SPANS)
    buttons = tuple(
        Button(teaching.MINUTES.format(count=each), f"late {each}")
        for each in spans
        if each <= MOST_LATE
    )
    return Reply(
        (Part(wrapped(teaching.HOW_LATE)),),
        (buttons, (Button(teaching.TO_CLASS, "teach"),)),
        data={"teaching": _form(here, saved.plan, desk)},
    )


def _offered(ideas: Sequence[Idea], minutes: int, *, back: bool) -> Reply:
    """What would fit, each a button; and the way back to the running class."""
    lead = teaching.ONE_MORE.format(count=count(minutes, "minute")) if ideas else teaching.NO_MORE
    rows = [(Button(i.exercise.name, f"early {minutes} {i.exercise.name}"),) for i in ideas]
    if back:
        rows.append((Button(teaching.TO_CLASS, "teach"),))
    return Reply(
        (Part(wrapped(lead)),),
        tuple(rows),
        data={"early": [{"exercise": i.exercise.id, "n": i.n} for i in ideas]},
    )


def _none() -> Reply:
    return Reply((Part(wrapped(teaching.NOT_RUNNING)),), data={"teaching": None})


def _form(here: Running, plan: ClassPlan, desk: Desk) -> dict[str, Any]:
    """Where the class stands, for programs."""
    return {
        "plan_id": here.plan,
        "first": here.first,
        "place": here.place,
        "places": len(plan.items),
        "in_hand_s": here.in_hand_s(plan, desk.now),
        "took_s": {str(n): seconds for n, seconds in here.took(plan).items()},
        "left_out": list(here.left_out(plan)),
        "lasted_s": here.lasted_s(),
        "over": here.ended is not None,
    }


def _request(plan: ClassPlan, desk: Desk) -> Request:
    room = room_of(plan.brief, desk)
    return Request(plan.brief, desk.repertoire, room=room, pace=own_pace(desk))


def _named(command: Early, plan: ClassPlan, desk: Desk) -> ExerciseId:
    """The exercise that is wanted.

    Raises:
        NoMatchError, UnknownWordError: none, or several could be.
    """
    found = desk.context.names.find(command.typed, plan.brief.apparatus)
    if found.sure:
        return found.sure.id
    if not found.matches:
        raise NoMatchError(command.typed)
    names = [match.exercise.name for match in found.matches]
    raise UnknownWordError(
        command.typed, tuple(Guess(name, f"early {command.minutes} {name}") for name in names)
    )


def _sentence(fault: EditError) -> str:
    text = str(fault)
    return text[:1].upper() + text[1:]
