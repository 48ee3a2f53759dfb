"""Change a plan by wishes; go back and forward."""

import re
from collections.abc import Sequence
from typing import Any

from bot.commands import EditPlan, Refit, Undo, Wish
from bot.desk import Desk
from bot.diary import renew
from bot.errors import Guess, NoMatchError, NothingToUndoError, RefusedError, UnknownWordError
from bot.kept_plan import keep, must_have, saved_plan, shown
from bot.logbook import own_pace, own_taste, remember
from bot.next_class import attach
from bot.reply import Button, Part, Reply
from bot.room import room_of
from bot.taken_back import taken_back_at
from bot.wording import asking, changes, people, plans
from bot.wording.findings import note
from bot.wording.phrases import wrapped
from core.caution import Kind
from core.edit import apply
from core.errors import SpringError
from core.exercise import ExerciseId
from core.plan import ClassPlan, Finding
from core.planner.request import NoPlan, Request
from core.saved import SavedPlan
from core.taste import Act
from core.wish import (
    Add,
    Drop,
    Ease,
    Edit,
    EditError,
    Fit,
    Keep,
    Late,
    Move,
    SetReps,
    SetSprings,
    Swap,
)
from storage.kept import IN_DIARY


def edit(command: EditPlan, desk: Desk) -> Reply:
    """The plan with every wish granted, or the reason why not and nothing changed."""
    saved = saved_plan(command.plan, desk)
    plan = saved.plan
    edits = [_edit(wish, command.line, plan, desk) for wish in command.wishes]
    request = Request(
        plan.brief,
        desk.repertoire,
        room=room_of(plan.brief, desk),
        pace=own_pace(desk),
        taste=own_taste(desk),
    )
    try:
        result = apply(edits, plan, request, insist=command.insist)
    except EditError as fault:
        raise RefusedError(str(fault)) from fault
    if isinstance(result, NoPlan):
        against = [f for f in result.findings if f.rule == "must-avoid"]
        if against and not command.insist:
            return _confirm(command, against, saved, desk)
        raise RefusedError(changes.refusal(result, desk.repertoire))
    remember([act for each in edits for act in _acts(each, plan)], desk)
    kept = keep(result, desk)
    said = [*changes.summary(plan, result), *changes.flags(plan, result, desk.repertoire)]
    return shown(kept, desk, said)


def refit(command: Refit, desk: Desk) -> Reply:
    """The plan without what anybody in it must avoid today, everything else as it was."""
    saved = saved_plan(command.plan, desk)
    plan = saved.plan
    room = room_of(plan.brief, desk)
    alone = room is not None and len(room.people) == 1
    swaps: list[Edit] = [
        Swap(item.n)
        for item in plan.items
        if room
        and (
            room.barred_for(item.step.exercise)
            or (alone and room.verdicts(item.step.exercise)[0].kind is Kind.SWAP)
        )
    ]
    if not swaps:
        return shown(saved, desk, [changes.SUITS])
    request = Request(
        plan.brief,
        desk.repertoire,
        room=room,
        pace=own_pace(desk),
        taste=own_taste(desk),
    )
    try:
        result = apply(swaps, plan, request)
    except EditError as fault:
        raise RefusedError(str(fault)) from fault
    if isinstance(result, NoPlan):
        raise RefusedError(changes.refusal(result, desk.repertoire))
    return shown(keep(result, desk), desk, changes.summary(plan, result))


def _confirm(command: EditPlan, against: Sequence[Finding], saved: SavedPlan, desk: Desk) -> Reply:
    """Whose caution stands against an edit, and a button to insist; nothing is changed."""
    who = " ".join(note(finding, desk.repertoire) for finding in against)
    return Reply(
        (Part(wrapped(changes.AGAINST.format(who=who))), Part(wrapped(plans.HEALTH))),
        ((Button(changes.INSIST, f"{command.line} #{saved.number} insist"),),),
        data={
            "against": [
                {"client": f.facts[0], "exercise": f.facts[1], "verdict": f.facts[2]}
                for f in against
            ]
        },
    )


def undo(command: Undo, desk: Desk) -> Reply:
    """The class before the last change, or the one that was undone."""
    talk = desk.store.talk(desk.chat)
    source, target = ("future", "past") if command.forward else ("past", "future")
    stack = list(talk.get(source, ()))
    if not stack:
        raise NothingToUndoError(forward=command.forward)
    here = talk.get("plan")
    number = stack.pop()
    if taken_back_at(number):
        return _take_back(taken_back_at(number), stack, talk, desk)
    talk = {
        "plan": number,
        source: stack,
        target: [*talk.get(target, ()), here] if here else list(talk.get(target, ())),
    }
    saved = saved_plan(number, desk)
    desk.store.set_talk(desk.chat, talk)
    attach(saved, desk)
    return shown(saved, desk, [changes.AGAIN if command.forward else changes.BACK])


def _take_back(changes: int, stack: list[Any], talk: dict[str, Any], desk: Desk) -> Reply:
    """The last changes about people or in the diary taken back; the plan stays as it is."""
    desk.store.set_talk(desk.chat, {**talk, "past": stack})
    undone = None
    for _ in range(changes):
        undone = desk.store.people.undo() or undone
    if undone is None:
        raise NothingToUndoError(forward=False)
    if undone.what in IN_DIARY:
        renew(desk, undone)
    row = (Button(asking.UNDO, "undo"),) if stack else ()
    parts = [Part(people.taken_back(undone))]
    if undone.what not in IN_DIARY:
        parts.append(Part(wrapped(plans.HEALTH)))
    return Reply(
        tuple(parts),
        (row,) if row else (),
        data={"undone": {"what": undone.what.value, "name": undone.name}},
    )


def _acts(made: Edit, plan: ClassPlan) -> list[tuple[Act, ExerciseId]]:
    """What an edit says of her taste."""
    match made:
        case Drop():
            return [(Act.DROPPED, plan.items[made.n - 1].step.exercise.id)]
        case Swap():
            new = [(Act.ADDED, made.exercise)] if made.exercise else []
            return [(Act.SWAPPED, plan.items[made.n - 1].step.exercise.id), *new]
        case Add():
            return [(Act.ADDED, made.exercise)]
        case Keep(keep=True):
            return [(Act.KEPT, plan.items[made.n - 1].step.exercise.id)]
        case _:
            return []


def _edit(wish: Wish, said: str, plan: ClassPlan, desk: Desk) -> Edit:
    """What a wish means for this plan.

    Raises:
        UserError: no such place, exercise or springs.
    """
    if wish.verb not in ("fit", "late", "add"):
        must_have(wish.n, plan)
    match wish.verb:
        case "drop":
            return Drop(wish.n)
        case "swap":
            return Swap(wish.n, _exercise(wish.typed, said, plan, desk) if wish.typed else None)
        case "add":
            return Add(_exercise(wish.typed, said, plan, desk), wish.other)
        case "move":
            must_have(wish.other or 0, plan)
            return Move(wish.n, wish.other or 0)
        case "reps":
            return SetReps(wish.n, wish.other or 0)
        case "springs":
            e = plan.items[wish.n - 1].step.exercise
            try:
                return SetSprings(wish.n, desk.repertoire.apparatus[e.apparatus].parse(wish.typed))
            except SpringError as fault:
                raise RefusedError(str(fault)) from fault
        case "easier" | "harder":
            return Ease(wish.n, harder=wish.verb == "harder")
        case "keep" | "unkeep":
            return Keep(wish.n, keep=wish.verb == "keep")
        case "fit":
            return Fit(wish.n)
        case _:
            return Late(wish.n)


def _exercise(typed: str, said: str, plan: ClassPlan, desk: Desk) -> ExerciseId:
    """The exercise a word of the line names; a guess is the whole line with another word."""
    found = desk.context.names.find(typed, plan.brief.apparatus)
    if found.sure:
        return found.sure.id
    if not found.matches:
        raise NoMatchError(typed)
    usable = [m for m in found.matches if m.exercise.apparatus in plan.brief.apparatus]
    names = [m.exercise.name for m in usable or found.matches]
    raise UnknownWordError(typed, tuple(Guess(n, _instead(said, typed, n)) for n in names))


def _instead(line: str, typed: str, name: str) -> str:
    return re.sub(re.escape(typed), lambda _: name, line, count=1, flags=re.IGNORECASE)
