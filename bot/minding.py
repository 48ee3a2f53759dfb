"""What people in a class do instead: shared by the actions about people and about classes."""

from collections.abc import Iterable
from datetime import date
from typing import Any

from bot import room
from bot.desk import Desk
from bot.errors import NoPlanYetError, NoSuchPlanError
from bot.kept_plan import saved_plan
from core.caution import Kind, Verdict, verdicts
from core.client import Client, Flag, Side
from core.codec import verdict_to_json
from core.exercise import Exercise
from core.fold import fold
from core.plan import ClassPlan
from core.saved import SavedPlan


def people_of(group: str, desk: Desk) -> tuple[Client, ...]:
    """The people a class is for: of the group it names, or those it names one by one."""
    return room.people_of(group, desk) if fold(group) else ()


def class_verdicts(client: Client, plan: ClassPlan, desk: Desk) -> tuple[Verdict, ...]:
    """What a person does at each place of a class; a swap stays on its apparatus."""
    exercises = [item.step.exercise for item in plan.items]
    on = frozenset(plan.brief.apparatus)
    today = day_of(plan, desk)
    return verdicts(client, exercises, today, desk.cautions, desk.repertoire, on)


def verdict_on(client: Client, e: Exercise, desk: Desk) -> Verdict:
    """What a person does with one movement, whatever class it is in."""
    today = desk.context.now.date()
    (found,) = verdicts(client, (e,), today, desk.cautions, desk.repertoire)
    return found


def day_of(plan: ClassPlan, desk: Desk) -> date:
    """The day a class is taught: its own when that is still to come, else today."""
    today = desk.context.now.date()
    return max(today, plan.brief.starts.date()) if plan.brief.starts else today


def this_class(desk: Desk) -> SavedPlan | None:
    """The class this chat is about, if there is one that opens."""
    try:
        return saved_plan(None, desk)
    except (NoPlanYetError, NoSuchPlanError):
        return None


def needs(found: Iterable[Verdict]) -> list[Verdict]:
    """Those that are not fine."""
    return [each for each in found if each.kind is not Kind.FINE]


def verdict_form(name: str, v: Verdict, place: int | None = None) -> dict[str, Any]:
    """The public form of a verdict; fields may be added, never renamed."""
    form = verdict_to_json(v, name)
    form.update(_NOTHING_TO_SAY, name=v.exercise.name, n=place, stop=v.stop)
    if v.reasons or v.notes:  # few of a class, and the rest is quickly said
        form.update(
            swap_name=v.swap.name if v.swap else None,
            swap_modifications=list(v.swap_change.words) if v.swap else [],
            rules=[r.rule.id for r in v.reasons],
            sides=_sides(v),
            tags=[r.rule.tag.value for r in v.reasons],
            differs=[r.rule.differs for r in v.reasons if r.rule.differs],
            notes=[r.rule.says for r in v.notes],
        )
    return form


_NOTHING_TO_SAY: dict[str, Any] = {
    "swap_name": None,
    "swap_modifications": [],
    "rules": [],
    "sides": [],
    "tags": [],
    "differs": [],
    "notes": [],
}  # shared by all that are fine, and never written to


def _sides(v: Verdict) -> list[dict[str, str]]:
    """The sides of the flags it is about, each once."""
    flags = dict.fromkeys(r.flag for r in v.reasons if r.flag.side is not Side.NONE)
    found = [{"condition": flag.condition, "side": flag.side.value} for flag in flags]
    return [each for at, each in enumerate(found) if each not in found[:at]]


def flag_form(n: int, flag: Flag, desk: Desk) -> dict[str, Any]:
    """The public form of a flag."""
    today = desk.context.now.date()
    condition = desk.cautions.conditions.get(flag.condition)
    return {
        "n": n,
        "condition": flag.condition,
        "name": condition.name if condition else flag.words,
        "side": flag.side.value,
        "severity": flag.severity.value,
        "since": _iso(flag.since),
        "review": _iso(flag.review),
        "review_due": flag.review_due(today),
        "said_by": flag.said_by,
        "due": _iso(flag.due),
        "event": _iso(flag.event),
        "details": list(flag.details),
        "words": flag.words,
        "answered": _iso(flag.answered),
        "answered_by": flag.answered_by,
    }


def _iso(day: date | None) -> str | None:
    return day.isoformat() if day else None
