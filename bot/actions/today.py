"""Somebody spoken of in plain words: "ANA's wrist is bad today"."""

import re

from bot.alarmed import warned
from bot.desk import Desk
from bot.flagging import take
from bot.minding import class_verdicts, flag_form, this_class, verdict_form
from bot.reply import Button, Part, Reply
from bot.whom import near_names
from bot.wording import asking, cautions, people
from bot.wording.phrases import wrapped
from bot.wording.plans import HEALTH
from core.caution import Kind, Verdict
from core.caution_rule import UNKNOWN
from core.client import Client
from core.flag_words import read_flags
from core.fold import fold
from core.red_flags import alarms

TODAY = re.compile(
    r"\b(?:today|now|tonight|this (?:morning|afternoon|evening)|right now|just now)\b",
    re.IGNORECASE,
)
OWN = re.compile(r"['’`]s\b", re.IGNORECASE)
MOST_WORDS = 30
NAME_WORDS = 4


def plain(text: str, desk: Desk) -> Reply | None:
    """The answer to a line that is about somebody's body; None when it is about something else."""
    words = text.split()
    if not 2 <= len(words) <= MOST_WORDS or not _about_a_body(text, desk):
        return None
    found = _named(text, desk)
    if not found:
        return _who(text, desk)
    if len(found) > 1:
        rows = tuple((Button(client.name, f"{client.name}: {rest}"),) for client, rest in found[:6])
        return warned(
            Reply((Part(wrapped(cautions.WHICH_PERSON)),), rows, data={"missing": "client"}), text
        )
    client, rest = found[0]
    if TODAY.search(rest) and _conditions(rest, desk):
        return _today(client, rest, desk)
    reply = Reply(
        (Part(wrapped(cautions.KEEP_AS.format(name=client.name))), Part(wrapped(HEALTH))),
        (
            (Button(people.AS_A_FLAG, f"flag {client.name} {rest}"),),
            (Button(people.AS_A_NOTE, f"note {client.name}: {rest}"),),
        ),
        data={"client": client.name, "missing": "flag or note"},
    )
    return warned(reply, text, client)


def _today(client: Client, rest: str, desk: Desk) -> Reply:
    """A flag for today, who and what changes in the class, and the offer to re-fit it."""
    saved = this_class(desk)
    before = class_verdicts(client, saved.plan, desk) if saved else ()
    taken = take(client, rest, desk, for_today=True)
    now, today = taken.client, desk.context.now.date()
    lines = [people.flag_line(n, now.flags[n - 1], desk.cautions, today) for n in taken.numbers]
    parts = []
    if lines:
        lead = people.FLAG_KEPT.format(name=now.name)
        parts += [Part("\n".join([lead, *lines])), Part(wrapped(cautions.FOR_TODAY))]
    forms: list[dict[str, object]] = []
    rows = list(taken.rows)
    if saved is None:
        parts.append(Part(wrapped(cautions.NO_CLASS)))
    else:
        after = class_verdicts(now, saved.plan, desk)
        changed = [
            (n, new)
            for n, (old, new) in enumerate(zip(before, after, strict=True), 1)
            if new.kind is not Kind.FINE and _form(old) != _form(new)
        ]
        forms = [verdict_form(now.name, v, n) for n, v in enumerate(after, 1)]
        if changed:
            lead = wrapped(cautions.CHANGES_TODAY.format(name=now.name))
            parts.append(Part(f"{lead}\n{cautions.short(changed)}"))
            parts.append(Part(wrapped(cautions.UNCHANGED)))
            rows.append((Button(cautions.REFIT, f"refit #{saved.number}"),))
        else:
            parts.append(Part(wrapped(cautions.CHANGES_NOTHING.format(name=now.name))))
    parts += [*taken.parts, Part(wrapped(HEALTH))]
    rows.append((Button(people.WHAT_CHANGES, f"mods {now.name}"), Button(asking.UNDO, "undo")))
    reply = Reply(
        tuple(parts),
        tuple(rows),
        data={
            "client": now.name,
            "plan_id": saved.number if saved else None,
            "flags": [flag_form(n, flag, desk) for n, flag in enumerate(now.flags, 1)],
            "kept": list(taken.numbers),
            "unknown": list(taken.unknown),
            "verdicts": forms,
        },
    )
    return warned(reply, rest, client)


def _who(text: str, desk: Desk) -> Reply | None:
    """Names like the first word, each a tap; nothing is kept for somebody who was not named."""
    first, _, rest = text.partition(" ")
    near = near_names(OWN.sub("", first), desk)[:4]
    if not near:
        return None
    rows = tuple((Button(name, f"{name}: {rest}"),) for _, name in near)
    reply = Reply((Part(wrapped(cautions.WHICH_PERSON)),), rows, data={"missing": "client"})
    return warned(reply, text)


def _named(text: str, desk: Desk) -> list[tuple[Client, str]]:
    """Whoever the line names to the letter, at its head or anywhere, and the line without her."""
    store = desk.store.people
    plain_text = OWN.sub("", text)
    words = plain_text.split()
    for size in range(min(NAME_WORDS, len(words) - 1), 0, -1):
        client = store.client_named(" ".join(words[:size]))
        if client:
            return [(client, " ".join(words[size:]).lstrip(" :,-"))]
    folded = f" {fold(plain_text)} "
    found = []
    for number, name in store.names().items():
        if fold(name) and f" {fold(name)} " in folded:
            client = store.client(number)
            rest = re.sub(rf"\b(?:for\s+)?{re.escape(name)}\b[:,]?", " ", plain_text, flags=re.I)
            if client:
                found.append((client, " ".join(rest.split())))
    return found


def _about_a_body(text: str, desk: Desk) -> bool:
    return bool(_conditions(OWN.sub("", text), desk) or alarms(text))


def _conditions(text: str, desk: Desk) -> bool:
    read = read_flags(text, desk.context.now.date(), desk.cautions)
    return bool(read.candidates) or any(r.flag.condition != UNKNOWN for r in read.read)


def _form(v: Verdict) -> tuple[object, ...]:
    return (v.kind, v.change.words, v.swap, v.swap_change.words)
