"""Log a class: how long, how hard, who was there; and what follows from it."""

import re
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any

from bot.alarmed import warned
from bot.commands import LogClass, UnlogClass
from bot.desk import Desk
from bot.errors import NoSuchPlaceError
from bot.kept_plan import must_have, saved_plan
from bot.minding import class_verdicts
from bot.reply import Button, Part, Reply
from bot.room import people_of
from bot.running import times_of
from bot.whom import exactly
from bot.wording import logs
from bot.wording.phrases import wrapped
from bot.wording.plans import HEALTH
from core.caution import Kind
from core.client import Client, ClientId
from core.flag_words import read_flags
from core.fold import fold
from core.plan import ClassPlan
from core.running import Running
from core.saved import SavedPlan
from core.taught import (
    LEAST_EFFORT,
    LONGEST_S,
    MOST_EFFORT,
    SHORTEST_S,
    Attendance,
    Done,
    FollowUp,
    TaughtClass,
    follow_ups,
    taught_items,
)
from storage.errors import KeyMissingError

RECENT = timedelta(days=7)  # a class dated within it was taught on its date, else just now
EFFORTS = range(2, 9)  # offered as buttons; any of 0 to 10 can be typed
MISSED = ("missed", "away", "absent", "not there", "no show", "did not come", "didnt come", "ill")
SAID = re.compile(r"(?:(?:rpe|effort)\s+)?(\d{1,2})\b[,:]?\s*(.*)", re.IGNORECASE)
MOST_ASKED = 4  # follow-ups offered at once


@dataclass(frozen=True, slots=True)
class _Said:
    """What was said of one person."""

    there: bool = True
    effort: int | None = None
    note: str = ""


def log(command: LogClass, desk: Desk) -> Reply:
    """The class kept as taught, and what follows from it as buttons."""
    saved = saved_plan(command.plan, desk)
    taught = _taught(command, saved, desk)
    desk.store.keep_taught(taught)
    said = _said(command, saved, desk)
    attended = _attend(said, taught, saved.plan, desk)
    parts = [Part(logs.kept(taught))]
    names = {each.client: client.name for client, each, _ in attended}
    if attended:
        parts.append(Part(logs.present([each for _, each, _ in attended], names)))
    rows: list[tuple[Button, ...]] = []
    if taught.rpe is None:
        parts.append(Part(wrapped(logs.HOW_HARD)))
        line = f"taught #{taught.plan} rpe "
        efforts = [Button(str(n), f"{line}{n}") for n in EFFORTS]
        rows += [tuple(efforts[:4]), tuple(efforts[4:])]
    asked = [pair for client, each, new in attended for pair in _follow(client, each, new, desk)]
    rows += [(button,) for _, button in asked[:MOST_ASKED]]
    rows.append((Button(logs.TAKE_BACK, f"taught #{taught.plan} take back"),))
    if any(each.note for _, each, _ in attended):
        parts.append(Part(wrapped(HEALTH)))
    reply = Reply(
        tuple(parts),
        tuple(rows),
        data={
            "taught": taught_form(taught),
            "attendances": [attendance_form(c.name, each) for c, each, _ in attended],
            "follow_ups": [form for form, _ in asked],
        },
    )
    for client, each, new in attended:
        if new:
            reply = warned(reply, each.note, client)
    return reply


def unlog(command: UnlogClass, desk: Desk) -> Reply:
    """The class no longer counts as taught."""
    saved = saved_plan(command.plan, desk)
    there = desk.store.untaught(saved.number)
    if there:
        with suppress(KeyMissingError):  # a store without keys keeps nobody
            desk.store.people.unattend(saved.number)
    words = logs.FORGOTTEN if there else logs.NOT_LOGGED
    return Reply(
        (Part(wrapped(words.format(plan=saved.number))),),
        data={"plan_id": saved.number, "untaught": there},
    )


def taught_form(taught: TaughtClass) -> dict[str, Any]:
    """The public form of a taught class."""
    return {
        "plan_id": taught.plan,
        "at": taught.at.isoformat(),
        "group": taught.group,
        "planned_s": taught.planned_s,
        "took_s": taught.took_s,
        "rpe": taught.rpe,
        "skipped": [item.n for item in taught.items if item.skipped],
    }


def attendance_form(name: str, each: Attendance) -> dict[str, Any]:
    """The public form of an attendance."""
    return {
        "client": name,
        "plan_id": each.plan,
        "there": each.there,
        "effort": each.effort,
        "note": each.note,
    }


def _taught(command: LogClass, saved: SavedPlan, desk: Desk) -> TaughtClass:
    plan = saved.plan
    for n in command.skipped:
        must_have(n, plan)
    before = desk.store.taught_class(saved.number)
    run = times_of(saved.number, desk)
    # A class that was changed on the way has its times in the plan it ended in.
    tapped = run if run and run.plan == saved.number else None
    skipped, took = set(command.skipped), tapped.took(plan) if tapped else {}
    if before:
        skipped |= {item.n for item in before.items if item.skipped}
        took |= {item.n: item.took_s for item in before.items if item.took_s is not None}
    elif tapped:
        skipped |= set(tapped.left_out(plan))
    if len(skipped) >= len(plan.items):
        raise NoSuchPlaceError(max(skipped), len(plan.items) - 1)
    taught = TaughtClass(
        plan=saved.number,
        at=before.at if before else run.began if run else _began(plan, desk),
        people=plan.brief.people,
        talk_s=plan.opening_s + plan.closing_s,
        items=taught_items(plan, desk.repertoire.apparatus, skipped, took),
        took_s=before.took_s if before else _lasted(run),
        rpe=before.rpe if before else None,
        group=plan.brief.group,
    )
    if command.minutes is not None:
        taught = replace(taught, took_s=command.minutes * 60)
    return taught if command.rpe is None else replace(taught, rpe=command.rpe)


def _lasted(run: Running | None) -> int | None:
    """How long it took by the taps, where that can be a class at all."""
    lasted = run.lasted_s() if run else None
    return lasted if lasted is not None and SHORTEST_S <= lasted <= LONGEST_S else None


def _began(plan: ClassPlan, desk: Desk) -> datetime:
    """When it began: at its own time where that is just past, else so that it has just ended."""
    if plan.brief.starts:
        at = plan.brief.starts.replace(tzinfo=desk.zone)
        if desk.now - RECENT <= at <= desk.now:
            return at
    return desk.now - timedelta(seconds=plan.brief.slot_s)


def _said(command: LogClass, saved: SavedPlan, desk: Desk) -> dict[ClientId, tuple[Client, _Said]]:
    found: dict[ClientId, tuple[Client, _Said]] = {}
    for typed in command.people:
        whom = exactly(typed, lambda name, rest: f"taught #{saved.number} {name} {rest}", desk)
        found[whom.client.id] = (whom.client, _read(whom.rest))
    return found


def _read(rest: str) -> _Said:
    """What the words after a name say: missed, an effort, a note."""
    text = rest.strip(" .:,")
    if fold(text).removeprefix("was ") in MISSED:
        return _Said(there=False)
    number = SAID.fullmatch(text)
    if number and LEAST_EFFORT <= int(number[1]) <= MOST_EFFORT:
        return _Said(effort=int(number[1]), note=number[2].strip())
    return _Said(note=text)


def _attend(
    said: dict[ClientId, tuple[Client, _Said]],
    taught: TaughtClass,
    plan: ClassPlan,
    desk: Desk,
) -> list[tuple[Client, Attendance, bool]]:
    """Everybody's attendance as kept now, and whether something new was written of her."""
    group = people_of(plan.brief.group, desk)
    everybody = {c.id: c for c in group} | {key: client for key, (client, _) in said.items()}
    if not everybody:
        return []
    people = desk.store.people
    before = {each.client: each for each in people.attendances(taught.plan)}
    for number in before.keys() - everybody.keys():
        known = people.client(number)
        if known:
            everybody[number] = known
    found: list[tuple[Client, Attendance, bool]] = []
    for client in everybody.values():
        new = said[client.id][1] if client.id in said else _Said()
        old = before.get(client.id)
        if old and client.id not in said:
            new = _Said(old.there, old.effort, old.note)
        elif old:
            new = _Said(
                new.there,
                old.effort if new.effort is None else new.effort,
                new.note or old.note,
            )
        fresh = bool(new.note) and (old is None or old.note != new.note)
        each = Attendance(
            client.id,
            taught.plan,
            taught.at,
            new.there,
            new.effort if new.there else None,
            taught.lasted_s if new.there else 0,
            new.note,
            _did(client, taught, plan, desk) if new.there else (),
        )
        people.attend(each)
        if fresh:
            people.add_note(client.id, new.note, desk.now)
        found.append((client, each, fresh))
    return found


def _did(client: Client, taught: TaughtClass, plan: ClassPlan, desk: Desk) -> tuple[Done, ...]:
    """What she did as it was planned, or the swap she had; what was changed for her is left out."""
    found: list[Done] = []
    out = {item.n for item in taught.items if item.skipped}
    for item, verdict in zip(plan.items, class_verdicts(client, plan, desk), strict=True):
        if item.n in out:
            continue
        step = item.step
        if verdict.kind is Kind.FINE:
            found.append(Done(step.exercise.id, str(step.springs), step.reps))
        elif verdict.kind is Kind.SWAP and verdict.swap and not verdict.swap_change.words:
            e = verdict.swap
            found.append(Done(e.id, str(e.springs.usual if e.springs else "none"), e.reps.usual))
    return tuple(found)


def _follow(
    client: Client, each: Attendance, new: bool, desk: Desk
) -> list[tuple[dict[str, Any], Button]]:
    """What is proposed to do about a person, each with the button that would do it."""
    today = desk.context.now.date()
    complaints: list[str] = []
    if new:
        minded = {flag.condition for flag in client.flags}
        read = read_flags(each.note, today, desk.cautions).read
        known = [r.flag.condition for r in read if r.flag.condition in desk.cautions.conditions]
        complaints = [c for c in dict.fromkeys(known) if c != "unknown" and c not in minded]
    history = desk.store.people.attended(client.id, 2)
    found = follow_ups(client, history, complaints, today)
    return [_offered(client, follow, desk) for follow in found]


def _offered(client: Client, each: FollowUp, desk: Desk) -> tuple[dict[str, Any], Button]:
    today = desk.context.now.date()
    condition = desk.cautions.conditions.get(each.about)
    about = fold(condition.name) if condition else each.about
    line = logs.ask_line(client.name, each, about, today)
    form = {"client": client.name, "why": each.why.value, "day": each.day.isoformat(), "line": line}
    return form, Button(logs.ask_label(client.name, each, about, today), line)
