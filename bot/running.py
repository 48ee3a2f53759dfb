"""A class as it is about to be taught, or is: its sheet, and where it stands.

Where it stands is kept sealed like any conversation, under a name no chat has: it is there again
after a restart, whichever door she comes through, and whatever else is talked about meanwhile.
"""

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime
from typing import Any

from bot.desk import Desk
from bot.kept_plan import saved_plan
from bot.minding import class_verdicts, day_of, people_of
from core.caution import advice
from core.plan import ClassPlan
from core.running import Mark, Running
from core.saved import SavedPlan
from core.sheet import Minding, RunSheet, run_sheet
from storage.errors import KeyMissingError

WHERE = "teaching"  # no chat has a name without its door
KEPT = 8  # classes whose times are kept until they are logged


def sheet_of(plan: ClassPlan, desk: Desk, *, own_words: bool = True) -> RunSheet:
    """The sheet of a plan; without anybody where nobody is known, or kept.

    Args:
        own_words: with what she has written to exercises, which may be about somebody.
    """
    ids = [item.step.exercise.id for item in plan.items] if own_words else []
    said = {each: desk.store.remarks(each) for each in ids}
    return run_sheet(plan, desk.repertoire, _minding(plan, desk), said)


def running(desk: Desk) -> tuple[Running, SavedPlan] | None:
    """The class being taught and its plan; None when there is none, or it is over.

    If the chat has turned to a change of its plan, or back from one, the class goes on in that,
    as long as it is the same up to where the class stands.
    """
    now = next((each for each in classes(desk) if each.ended is None), None)
    if now is None:
        return None
    saved = saved_plan(now.plan, desk)
    talk = desk.store.talk(desk.chat)
    number = talk.get("plan")
    if number in (None, now.plan):
        return now, saved
    if now.plan in (*talk.get("past", ()), *talk.get("future", ())):
        other = saved_plan(number, desk)
        if other.plan.brief.starts == saved.plan.brief.starts and now.follows(
            saved.plan, other.plan
        ):
            return now.on(other.number, saved.plan, other.plan), other
    return now, saved


def times_of(number: int, desk: Desk) -> Running | None:
    """What the taps have timed of the class of this plan, or that ended in it."""
    return next((each for each in classes(desk) if number in (each.plan, each.first)), None)


def classes(desk: Desk) -> list[Running]:
    """The classes opened last, the latest first."""
    return [_from(form) for form in desk.store.talk(WHERE).get("classes", ())]


def keep_running(running: Running, desk: Desk) -> None:
    """Keep where a class stands."""
    others = [each for each in classes(desk) if _key(each) != _key(running)]
    kept = sorted((running, *others), key=lambda each: each.began, reverse=True)[:KEPT]
    desk.store.set_talk(WHERE, {"classes": [_form(each) for each in kept]})


def _key(running: Running) -> tuple[int, datetime]:
    return running.first, running.began


def _minding(plan: ClassPlan, desk: Desk) -> list[Minding]:
    try:
        people = people_of(plan.brief.group, desk)
    except KeyMissingError:
        return []  # a store without keys keeps nobody
    day = day_of(plan, desk)
    return [
        Minding(each, class_verdicts(each, plan, desk), advice(each, day, desk.cautions))
        for each in people
    ]


def _form(running: Running) -> dict[str, Any]:
    return {
        "first": running.first,
        "plan": running.plan,
        "began": running.began.isoformat(),
        "slot_s": running.slot_s,
        "since": running.since.isoformat(),
        "place": running.place,
        "marks": [
            [mark.n, mark.started.isoformat(), mark.ended.isoformat(), mark.skipped]
            for mark in running.marks
        ],
        "lost_s": running.lost_s,
        "ended": running.ended.isoformat() if running.ended else None,
        "by_itself": running.by_itself,
    }


def _from(form: Mapping[str, Any]) -> Running:
    at = datetime.fromisoformat
    running = Running(
        first=form["first"],
        plan=form["plan"],
        began=at(form["began"]),
        slot_s=form["slot_s"],
        since=at(form["since"]),
        place=form["place"],
        marks=tuple(
            Mark(n, at(started), at(ended), skipped) for n, started, ended, skipped in form["marks"]
        ),
        lost_s=form["lost_s"],
    )
    ended = at(form["ended"]) if form["ended"] else None
    return replace(running, ended=ended, by_itself=form["by_itself"])
