"""Change a plan by wishes; go back and forward."""

from typing import Any

from bot.commands import EditPlan, Undo, Wish
from bot.desk import Desk
from bot.errors import Guess, NoMatchError, NothingToUndoError, RefusedError, UnknownWordError
from bot.kept_plan import keep, must_have, saved_plan, shown
from bot.reply import Button, Part, Reply
from bot.taken_back import PEOPLE
from bot.wording import asking, changes, people, plans
from bot.wording.phrases import wrapped
from core.edit import apply
from core.errors import SpringError
from core.exercise import ExerciseId
from core.plan import ClassPlan
from core.planner.request import NoPlan, Request
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


def edit(command: EditPlan, desk: Desk) -> Reply:
    """The plan with every wish granted, or the reason why not and nothing changed."""
    saved = saved_plan(command.plan, desk)
    plan = saved.plan
    edits = [_edit(wish, plan, desk) for wish in command.wishes]
    try:
        result = apply(edits, plan, Request(plan.brief, desk.repertoire))
    except EditError as fault:
        raise RefusedError(str(fault)) from fault
    if isinstance(result, NoPlan):
        raise RefusedError(changes.refusal(result, desk.repertoire))
    kept = keep(result, desk)
    return shown(kept, desk, changes.summary(plan, result))


def undo(command: Undo, desk: Desk) -> Reply:
    """The class before the last change, or the one that was undone."""
    talk = desk.store.talk(desk.chat)
    source, target = ("future", "past") if command.forward else ("past", "future")
    stack = list(talk.get(source, ()))
    if not stack:
        raise NothingToUndoError(forward=command.forward)
    here = talk.get("plan")
    number = stack.pop()
    if number == PEOPLE:
        return _take_back(stack, talk, desk)
    talk = {
        "plan": number,
        source: stack,
        target: [*talk.get(target, ()), here] if here else list(talk.get(target, ())),
    }
    saved = saved_plan(number, desk)
    desk.store.set_talk(desk.chat, talk)
    return shown(saved, desk, [changes.AGAIN if command.forward else changes.BACK])


def _take_back(stack: list[Any], talk: dict[str, Any], desk: Desk) -> Reply:
    """The last change about people taken back; the class stays as it is."""
    desk.store.set_talk(desk.chat, {**talk, "past": stack})
    undone = desk.store.people.undo()
    if undone is None:
        raise NothingToUndoError(forward=False)
    row = (Button(asking.UNDO, "undo"),) if stack else ()
    return Reply(
        (Part(people.taken_back(undone)), Part(wrapped(plans.HEALTH))),
        (row,) if row else (),
        data={"undone": {"what": undone.what.value, "name": undone.name}},
    )


def _edit(wish: Wish, plan: ClassPlan, desk: Desk) -> Edit:
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
            line = f"swap {wish.n} {{name}}"
            return Swap(wish.n, _exercise(wish.typed, line, plan, desk) if wish.typed else None)
        case "add":
            after = "" if wish.other is None else f" after {wish.other}"
            return Add(_exercise(wish.typed, f"add {{name}}{after}", plan, desk), wish.other)
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


def _exercise(typed: str, line: str, plan: ClassPlan, desk: Desk) -> ExerciseId:
    found = desk.context.names.find(typed, plan.brief.apparatus)
    if found.sure:
        return found.sure.id
    if not found.matches:
        raise NoMatchError(typed)
    usable = [m for m in found.matches if m.exercise.apparatus in plan.brief.apparatus]
    names = [m.exercise.name for m in usable or found.matches]
    raise UnknownWordError(typed, tuple(Guess(n, line.format(name=n)) for n in names))
