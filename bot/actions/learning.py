"""Look back: the last class, histories, load, pace, and what may come next for a person."""

from datetime import UTC, date, datetime, timedelta
from typing import Any

from bot.commands import (
    LastClass,
    NextSteps,
    ResetPace,
    ResetTaste,
    ShowHistory,
    ShowLoad,
    ShowPace,
    ShowTaste,
)
from bot.desk import Desk
from bot.errors import WhoError
from bot.logbook import PACE, SINCE, TASTE, attended, known_pace, own_taste
from bot.minding import verdict_on
from bot.reply import Button, Part, Reply
from bot.whom import Whom, looked_up
from bot.wording import logs, people
from bot.wording.phrases import wrapped
from bot.wording.plans import HEALTH
from core.caution import Kind
from core.client import Client
from core.effort import Session, Week, week_of
from core.progress import NextStep, next_steps
from core.taught import Attendance, TaughtClass
from storage.errors import KeyMissingError

SHOWN = 8  # classes of a history
WEEKS = 4
MOST_STEPS = 3  # next steps proposed at once


def last(command: LastClass, desk: Desk) -> Reply:
    """The last class taught, of this group or person if one is named."""
    found = desk.store.taught(1, command.typed or None)
    if not found:
        name = command.typed
        words = logs.NONE_OF.format(name=name) if name else logs.NONE_TAUGHT
        return Reply((Part(wrapped(words)),), data={"last": None})
    (taught,) = found
    known = desk.repertoire.exercises
    names = [known[i.exercise].name if i.exercise in known else i.exercise for i in taught.items]
    parts = [Part(logs.last(taught, _day(taught.at, desk), names))]
    there = _people_of(taught, desk)
    if there:
        shown = [each for _, each in there]
        parts.append(Part(logs.present(shown, {c.id: c.name for c, _ in there})))
        if any(each.note for each in shown):
            parts.append(Part(wrapped(HEALTH)))
    number = taught.plan
    return Reply(
        tuple(parts),
        ((Button(f"#{number}", f"show #{number}"),),),
        data={"last": {"plan_id": number, "at": taught.at.isoformat(), "rpe": taught.rpe}},
    )


def history(command: ShowHistory, desk: Desk) -> Reply:
    """The classes of a group, or of a person."""
    taught = desk.store.taught(group=command.typed)
    whom = _whom(command.typed, desk, group=bool(taught))
    if whom is None:
        lines = [logs.group_once(each, _day(each.at, desk)) for each in taught[:SHOWN]]
        summary = logs.classes(len(taught), 0)
        return Reply(
            (Part(logs.history(command.typed, lines, summary)),),
            data={"history": [{"plan_id": t.plan, "at": t.at.isoformat()} for t in taught]},
        )
    client = whom.client
    found = attended(client.id, desk)
    if not found:
        return Reply((Part(wrapped(logs.NONE_WITH.format(name=client.name))),))
    there = sum(each.there for each in found)
    lines = [logs.once(each, _day(each.at, desk)) for each in found[:SHOWN]]
    text = logs.history(client.name, lines, logs.classes(there, len(found) - there))
    return Reply(
        (*_read_as(whom), Part(text), Part(wrapped(HEALTH))),
        ((Button(logs.NEXT, f"next {client.name}"),),),
        data={
            "history": [
                {"plan_id": a.plan, "at": a.at.isoformat(), "there": a.there, "effort": a.effort}
                for a in found
            ]
        },
    )


def load(command: ShowLoad, desk: Desk) -> Reply:
    """The load of this week and those before: her own, or a person's."""
    if command.typed:
        whom = looked_up(command.typed, lambda name, _: f"load {name}", desk, whole=True)
        client, said = whom.client, _read_as(whom)
        mine = [each for each in attended(client.id, desk) if each.there]
        sessions = [(a.at, a.lasted_s, a.effort) for a in mine]
        name = client.name
    else:
        sessions = [(t.at, t.lasted_s, t.rpe) for t in desk.store.taught(100)]
        name, said = "", ()
    today = desk.context.now.date()
    found = [
        Session(_day(at, desk), lasted / 60, effort)
        for at, lasted, effort in sessions
        if effort is not None
    ]
    oldest = today - timedelta(days=today.weekday() + 7 * (WEEKS - 1))
    unsaid = sum(effort is None and _day(at, desk) >= oldest for at, _, effort in sessions)
    weeks = [week_of(found, today - timedelta(days=7 * back)) for back in range(WEEKS)]
    shown = [(_label(back, week), week) for back, week in enumerate(weeks) if week.sessions]
    if not shown:
        return Reply((Part(wrapped(logs.NO_LOAD)),), data={"load": []})
    parts = [*said, Part(logs.weeks(name, shown, unsaid))]
    if name:
        parts.append(Part(wrapped(HEALTH)))
    return Reply(tuple(parts), data={"load": [_week_form(week) for _, week in shown]})


def pace(_: ShowPace, desk: Desk) -> Reply:
    """What was learned of her pace."""
    known = known_pace(desk)
    usual = known.pace
    form = {
        "classes": known.classes,
        "work": round(usual.work, 3),
        "change": round(usual.change, 3),
        "kinds": {kind: round(factor, 3) for kind, factor in usual.kinds},
        "set_aside": known.set_aside,
    }
    if not known.classes:
        return Reply((Part(wrapped(logs.NO_PACE)),), data={"pace": form})
    row = (Button(logs.RESET, "pace reset"),)
    return Reply((Part(logs.pace(known, usual)),), (row,), data={"pace": form})


def reset_pace(_: ResetPace, desk: Desk) -> Reply:
    """What was learned of her pace no longer counts."""
    desk.store.keep_learned(PACE, {SINCE: desk.now.astimezone(UTC).isoformat()})
    return Reply((Part(wrapped(logs.PACE_RESET)),), data={"pace": {"classes": 0}})


def taste(_: ShowTaste, desk: Desk) -> Reply:
    """What her edits have taught, most liked first."""
    points = own_taste(desk).all_points()
    known = desk.repertoire.exercises
    named = [(known[e].name, p) for e, p in points.items() if e in known]
    rows = ((Button(logs.RESET, "taste reset"),),) if named else ()
    return Reply((Part(logs.taste(named)),), rows, data={"taste": dict(points)})


def reset_taste(_: ResetTaste, desk: Desk) -> Reply:
    """What her edits have taught is forgotten."""
    desk.store.keep_learned(TASTE, {})
    return Reply((Part(wrapped(logs.TASTE_RESET)),), data={"taste": {}})


def next_for(command: NextSteps, desk: Desk) -> Reply:
    """What may come next for a person; what she must mind is held back."""
    whom = looked_up(command.typed, lambda name, _: f"next {name}", desk, whole=True)
    client = whom.client
    found = next_steps(attended(client.id, desk), desk.repertoire, desk.now)
    fine = {s: verdict_on(client, s.to, desk).kind is Kind.FINE for s in found}
    shown = [s for s in found if fine[s]][:MOST_STEPS]
    held = [s.to for s in found if not fine[s]]
    rows = tuple((_keep_button(client, each),) for each in shown)
    return Reply(
        (*_read_as(whom), Part(logs.steps(client.name, shown, held)), Part(wrapped(HEALTH))),
        rows,
        data={
            "next": [_step_form(s) for s in shown],
            "held_back": [e.id for e in held],
        },
    )


def _keep_button(client: Client, each: NextStep) -> Button:
    line = f"note {client.name}: next: {logs.step(each)}"
    return Button(logs.KEEP_STEP.format(what=each.to.short), line)


def _step_form(each: NextStep) -> dict[str, Any]:
    return {
        "way": each.way.value,
        "on": each.on.id,
        "now": each.now,
        "to": each.to.id,
        "springs": str(each.springs) if each.springs is not None else None,
    }


def _week_form(week: Week) -> dict[str, Any]:
    return {
        "monday": week.monday.isoformat(),
        "daily": list(week.daily),
        "sessions": week.sessions,
        "load": week.load,
        "monotony": week.monotony,
        "strain": week.strain,
    }


def _read_as(whom: Whom) -> tuple[Part, ...]:
    """What a slip was read as."""
    said = people.READ_AS.format(typed=whom.typed, name=whom.client.name)
    return (Part(wrapped(said)),) if whom.typed else ()


def _whom(typed: str, desk: Desk, *, group: bool) -> Whom | None:
    """The person of this name; None where only a group has it."""
    try:
        return looked_up(typed, lambda name, _: f"history {name}", desk, whole=True)
    except (WhoError, KeyMissingError):
        if group:
            return None
        raise


def _people_of(taught: TaughtClass, desk: Desk) -> list[tuple[Client, Attendance]]:
    try:
        kept = desk.store.people
        found = [(kept.client(each.client), each) for each in kept.attendances(taught.plan)]
    except KeyMissingError:
        return []
    return [(client, each) for client, each in found if client]


def _label(back: int, week: Week) -> str:
    if back < 2:
        return ("this week", "last week")[back]
    return f"week of {week.monday.day} {week.monday:%b}"


def _day(at: datetime, desk: Desk) -> date:
    return at.astimezone(desk.zone).date()
