"""The plan a chat is about: kept, found again, shown. Shared by the actions that make plans."""

from dataclasses import replace

from bot.desk import Desk
from bot.errors import NoPlanYetError, NoSuchPlaceError, NoSuchPlanError
from bot.logbook import expected
from bot.next_class import attach
from bot.reply import Button, Reply
from bot.room import room_of
from bot.wording import asking, logs, plans
from bot.wording.findings import note
from bot.wording.plans import needed
from core.codec import StaleError, plan_to_json
from core.plan import ClassPlan
from core.rules import ABOUT_PEOPLE, nobody_harmed
from core.saved import SavedPlan


def keep(plan: ClassPlan, desk: Desk) -> SavedPlan:
    """The plan kept under the next number; this chat is about it from now on, and can undo it."""
    # Names of people never stand in a kept plan: what is said of them is worked out when shown.
    nameless = tuple(f for f in plan.findings if f.rule not in ABOUT_PEOPLE)
    saved = desk.store.add_plan(replace(plan, findings=nameless), desk.repertoire, desk.now)
    turn_to(saved, desk)
    attach(saved, desk)
    return saved


def turn_to(saved: SavedPlan, desk: Desk) -> None:
    """Make this chat be about a plan; undo goes back to the one before."""
    talk = desk.store.talk(desk.chat)
    past = list(talk.get("past", ()))
    before = talk.get("plan")
    if before and before != saved.number:
        past.append(before)
    desk.store.set_talk(desk.chat, {"plan": saved.number, "past": past})


def saved_plan(number: int | None, desk: Desk) -> SavedPlan:
    """The plan of this number, or the one this chat is about.

    Raises:
        NoPlanYetError, NoSuchPlanError: there is none.
    """
    wanted = desk.store.talk(desk.chat).get("plan") if number is None else number
    try:
        saved = (
            desk.store.latest_plan(desk.repertoire)
            if wanted is None
            else desk.store.plan(wanted, desk.repertoire)
        )
    except StaleError as fault:
        raise NoSuchPlanError(wanted) from fault
    if saved is None:
        raise NoPlanYetError if number is None else NoSuchPlanError(number)
    return saved


def must_have(place: int, plan: ClassPlan) -> None:
    """Pass only if the plan has this place.

    Raises:
        NoSuchPlaceError: it has none such.
    """
    if not 1 <= place <= len(plan.items):
        raise NoSuchPlaceError(place, len(plan.items))


def shown(saved: SavedPlan, desk: Desk, said: list[str]) -> Reply:
    """A plan as it is shown, what is to be said of it first."""
    number = saved.number
    end = expected(saved.plan, desk)
    if end:
        said = [*said, logs.expect(end)]
    row = [Button(asking.ANOTHER, f"another #{number}"), Button(asking.WHY, f"why #{number}")]
    if desk.store.talk(desk.chat).get("past"):
        row.append(Button(asking.UNDO, "undo"))
    room = room_of(saved.plan.brief, desk)
    if room:
        said = [*said, *(note(f, desk.repertoire) for f in nobody_harmed(saved.plan, room))]
        needs = needed(saved.plan, room)
        said += [needs] if needs else []
        row.append(Button(asking.MODS, f"mods #{number}"))
    return Reply(
        plans.parts(saved.plan, desk.repertoire, said, desk.context.now),
        rows=(
            tuple(row),
            (Button(asking.SHEET, f"sheet #{number}"), Button(asking.TEACH, f"teach #{number}")),
        ),
        data={"plan": plan_to_json(saved.plan, desk.repertoire, number, room), "notes": said},
    )


def has_plans(desk: Desk) -> bool:
    """Whether she has made any plan yet, one that no longer opens included."""
    try:
        return desk.store.latest_plan(desk.repertoire) is not None
    except StaleError:
        return True
