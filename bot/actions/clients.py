"""Clients: looked up, added, changed, listed; notes on them, and their word that it is kept."""

from dataclasses import replace

from bot.alarmed import warned
from bot.commands import (
    AddClient,
    AddNote,
    ChangeClient,
    Consent,
    Details,
    ListClients,
    LookUpClient,
)
from bot.desk import Desk
from bot.errors import MissingWordError, RefusedError
from bot.minding import class_verdicts, flag_form, needs, people_of, this_class, verdict_form
from bot.reply import Button, Part, Reply
from bot.taken_back import can_take_back
from bot.whom import exactly, looked_up, only
from bot.wording import asking, cautions, people
from bot.wording.phrases import wrapped
from bot.wording.plans import HEALTH
from core.client import Client, ClientError
from core.exercise import Level
from core.flag_words import read_flags
from storage.kept import Declaration

NOTES_SHOWN = 3
LISTED = 40
CONSENT = "consent"


def look_up(command: LookUpClient, desk: Desk) -> Reply:
    """All that is kept about a person, and what today's class means for her."""
    whom = looked_up(command.typed, lambda name, _: f"client {name}", desk, whole=True)
    client = whom.client
    store, today = desk.store.people, desk.context.now.date()
    names = {a.id: a.name for a in desk.repertoire.apparatus.values()}
    groups, notes = store.groups(), store.notes(client.id, NOTES_SHOWN)
    agreed = store.declarations(client.id, CONSENT)
    screened = store.declarations(client.id, "readiness")
    said = [people.READ_AS.format(typed=command.typed[:40], name=client.name)] if whom.typed else []
    parts = [
        *(Part(wrapped(text)) for text in said),
        Part(people.head(client, groups, {str(k): v for k, v in names.items()})),
        Part(people.flags(client, desk.cautions, today)),
        *_reviews(client, desk),
    ]
    in_class, forms = _in_class(client, desk)
    parts += in_class
    local = [note.made_at.astimezone(desk.zone) for note in notes]
    parts.append(Part(people.notes(notes, local)))
    parts += [Part(wrapped(text)) for text in _readiness(client.name, screened)]
    parts += [Part(people.agreement(client.name, agreed)), Part(wrapped(HEALTH))]
    row = (Button(people.WHAT_CHANGES, f"mods {client.name}"),)
    return Reply(
        tuple(parts),
        (*_review_rows(client, desk), row),
        data={
            "client": {
                **_form(client, desk),
                "groups": [g.name for g in groups if client.id in g.members],
                "notes": [
                    {"made_at": note.made_at.isoformat(), "text": note.text} for note in notes
                ],
                "consent": agreed[0].day.isoformat() if agreed else None,
                "readiness": screened[0].outcome if screened else None,
                "reviews": [n for n, f in enumerate(client.flags, 1) if f.review_due(today)],
            },
            "verdicts": forms,
        },
    )


def add(command: AddClient, desk: Desk) -> Reply:
    """A new person; full names are kept, and a shorter one is suggested."""
    details = command.details
    try:
        client = desk.store.people.add_client(
            command.name,
            desk.now,
            level=details.level or Level.FUNDAMENTAL,
            goals=details.goals,
            springs=details.springs,
        )
    except ClientError as fault:
        raise RefusedError(str(fault)) from None
    can_take_back(desk)
    said = [people.ADDED.format(name=client.name, level=int(client.level))]
    if len(client.name.split()) > 1:
        said.append(people.NICKNAME)
    return Reply(
        tuple(Part(wrapped(text)) for text in said),
        ((Button(client.name, f"client {client.name}"), Button(asking.UNDO, "undo")),),
        data={"client": _form(client, desk)},
    )


def change(command: ChangeClient, desk: Desk) -> Reply:
    """Level, goals, usual springs or name changed."""
    client = only(command.typed, lambda name, _: f"client {name}", desk)
    changed = _changed(client, command.details)
    if changed == client:
        return Reply(
            (Part(wrapped(people.NOTHING_SAID.format(name=client.name))),),
            data={"client": _form(client, desk)},
        )
    try:
        desk.store.people.save_client(changed, desk.now)
    except ClientError as fault:
        raise RefusedError(str(fault)) from None
    can_take_back(desk)
    names = {str(a.id): a.name for a in desk.repertoire.apparatus.values()}
    return Reply(
        (Part(people.head(changed, desk.store.people.groups(), names)),),
        ((Button(asking.UNDO, "undo"),),),
        data={"client": _form(changed, desk)},
    )


def list_clients(_: ListClients, desk: Desk) -> Reply:
    """Everybody, each a button."""
    clients = desk.store.people.clients()
    shown = clients[:LISTED]
    rows = [Button(each.name, f"client {each.name}") for each in shown[:24]]
    return Reply(
        (Part(people.everybody(shown, len(clients) - len(shown))),),
        tuple(tuple(rows[at : at + 3]) for at in range(0, len(rows), 3)),
        data={"clients": [_form(each, desk) for each in clients]},
    )


def note(command: AddNote, desk: Desk) -> Reply:
    """A note kept; signs of an emergency in it come first."""
    line = f": {command.text}" if command.text else ""
    whom = exactly(command.typed, lambda name, rest: f"note {name}{line or f': {rest}'}", desk)
    client = whom.client
    text = f"{whom.rest}{line}".strip(" :,") if whom.rest else command.text
    if not text:
        raise MissingWordError(f"note {client.name}", f"note {client.name[:20]}: left knee sore")
    kept = desk.store.people.add_note(client.id, text, desk.now)
    can_take_back(desk)
    parts, rows = [Part(wrapped(people.NOTED.format(name=client.name)))], []
    read = read_flags(text, desk.context.now.date(), desk.cautions)
    if any(r.flag.condition in desk.cautions.conditions and r.flag.condition != "unknown"
           for r in read.read):  # fmt: skip
        parts.append(Part(wrapped(people.MAKE_FLAG)))
        rows.append((Button(people.AS_A_FLAG, f"flag {client.name} {text}"),))
    parts.append(Part(wrapped(HEALTH)))
    rows.append((Button(asking.UNDO, "undo"),))
    form = {"made_at": kept.made_at.isoformat(), "text": kept.text}
    reply = Reply(tuple(parts), tuple(rows), data={"client": client.name, "note": form})
    return warned(reply, text, client)


def consent(command: Consent, desk: Desk) -> Reply:
    """A person's word that what is kept may be kept, with its day."""
    client = only(command.typed, lambda name, _: f"consent {name}", desk)
    today = desk.context.now.date()
    desk.store.people.declare(client.id, Declaration(CONSENT, today, "agreed"), desk.now)
    can_take_back(desk)
    said = people.AGREED.format(name=client.name, day=people.day(today))
    return Reply(
        (Part(wrapped(said)),),
        ((Button(asking.UNDO, "undo"),),),
        data={"client": client.name, "consent": today.isoformat()},
    )


def _changed(client: Client, details: Details) -> Client:
    springs = {on: s for on, s in client.springs if on not in details.without}
    springs |= dict(details.springs)
    goals = () if "goals" in details.without else client.goals
    return replace(
        client,
        name=details.name or client.name,
        level=details.level or client.level,
        goals=tuple(dict.fromkeys((*goals, *details.goals))),
        springs=tuple(springs.items()),
    )


def _reviews(client: Client, desk: Desk) -> list[Part]:
    """A question for each flag whose review is due."""
    today = desk.context.now.date()
    return [
        Part(
            wrapped(
                people.REVIEW.format(
                    n=n,
                    what=people.flag_name(flag, desk.cautions),
                    day=people.day(flag.review or flag.due or today),
                )
            )
        )
        for n, flag in enumerate(client.flags, 1)
        if flag.review_due(today)
    ]


def _review_rows(client: Client, desk: Desk) -> list[tuple[Button, ...]]:
    today = desk.context.now.date()
    return [
        (
            Button(
                people.STILL.format(n=n),
                f"flag {client.name} {n} {flag.condition}: review in 3 months",
            ),
            Button(people.GONE.format(n=n), f"unflag {client.name} {n} {flag.condition}"),
        )
        for n, flag in enumerate(client.flags, 1)
        if flag.review_due(today)
    ]


def _in_class(client: Client, desk: Desk) -> tuple[list[Part], list[dict[str, object]]]:
    """What the class of this chat means for her, if it is hers or nobody's in particular."""
    saved = this_class(desk)
    if saved is None or not client.flags:
        return [], []
    whose = people_of(saved.plan.brief.group, desk)
    if whose and client.id not in {each.id for each in whose}:
        return [], []
    found = list(enumerate(class_verdicts(client, saved.plan, desk), 1))
    forms = [verdict_form(client.name, v, n) for n, v in found]
    if not needs(v for _, v in found):
        return [Part(wrapped(cautions.CHANGES_NOTHING.format(name=client.name)))], forms
    lead = wrapped(cautions.CHANGES_TODAY.format(name=client.name))
    return [Part(f"{lead}\n{cautions.short(found)}")], forms


def _readiness(name: str, screened: list[Declaration]) -> list[str]:
    if not screened:
        return []
    return [cautions.answered(name, people.day(screened[0].day), screened[0].outcome)]


def _form(client: Client, desk: Desk) -> dict[str, object]:
    return {
        "name": client.name,
        "level": int(client.level),
        "springs": {str(on): setting for on, setting in client.springs},
        "goals": list(client.goals),
        "flags": [flag_form(n, flag, desk) for n, flag in enumerate(client.flags, 1)],
    }
