"""Flags: what to mind about a person. Kept the strict way at once; what is open is asked."""

import re
from dataclasses import replace

from bot.alarmed import warned
from bot.commands import Answered, FlagClient, ListFlags, Unflag
from bot.desk import Desk
from bot.errors import Guess, MissingWordError, NoSuchFlagError, RefusedError
from bot.flagging import Taken, say_more, take
from bot.minding import flag_form
from bot.reply import Button, Part, Reply
from bot.taken_back import can_take_back
from bot.whom import exactly, looked_up
from bot.wording import asking, people
from bot.wording.phrases import wrapped
from bot.wording.plans import HEALTH
from core.client import Client, ClientError
from core.flag_words import read_flags

NUMBERED = re.compile(r"(\d{1,3})(?:\s+([a-z-]+))?")


def flag(command: FlagClient, desk: Desk) -> Reply:
    """Something to mind, kept; or more said of a flag that is kept."""
    tail = f": {command.text}" if command.text else ""
    whom = exactly(command.typed, lambda name, rest: f"flag {name} {rest}{tail}", desk)
    client, rest = whom.client, whom.rest
    numbered = NUMBERED.fullmatch(rest)
    if numbered and command.text:
        number = _numbered(numbered[1], numbered[2], client, "flag {} ", tail)
        try:
            return _reply(people.FLAG_CHANGED, client, say_more(client, number, command.text, desk),
                          command.text, desk)  # fmt: skip
        except ClientError as fault:
            raise RefusedError(str(fault)) from None
    text = f"{rest}{tail}".strip(" :,")
    if not text:
        raise MissingWordError(f"flag {client.name[:20]}", "flag ANA left wrist marked")
    return _reply(people.FLAG_KEPT, client, take(client, text, desk), text, desk)


def list_flags(command: ListFlags, desk: Desk) -> Reply:
    """Everything that is minded about a person."""
    whom = looked_up(command.typed, lambda name, _: f"flags {name}", desk, whole=True)
    client, today = whom.client, desk.context.now.date()
    said = [people.READ_AS.format(typed=command.typed[:40], name=client.name)] if whom.typed else []
    rows = [
        (Button(f"Take {n} away", f"unflag {client.name} {n} {each.condition}"),)
        for n, each in enumerate(client.flags, 1)
    ]
    return Reply(
        (
            *(Part(wrapped(text)) for text in said),
            Part(people.flags(client, desk.cautions, today)),
            Part(wrapped(HEALTH)),
        ),
        tuple(rows),
        data={"client": client.name, "flags": _forms(client, desk)},
    )


def unflag(command: Unflag, desk: Desk) -> Reply:
    """A flag taken away; only her word does that, never a date."""
    whom = exactly(command.typed, lambda name, rest: f"unflag {name} {rest}", desk)
    client = whom.client
    if not whom.rest:
        raise MissingWordError(f"unflag {client.name[:20]}", "unflag ANA 2")
    number = _meant(whom.rest, client, "unflag {} ", desk)
    gone = client.flags[number - 1]
    left = (*client.flags[: number - 1], *client.flags[number:])
    client = desk.store.people.replace_flags(client.id, left, desk.now)
    can_take_back(desk)
    what = people.flag_name(gone, desk.cautions)
    return Reply(
        (
            Part(wrapped(people.UNFLAGGED.format(name=client.name, what=what))),
            Part(people.flags(client, desk.cautions, desk.context.now.date())),
            Part(wrapped(HEALTH)),
        ),
        ((Button(asking.UNDO, "undo"),),),
        data={"client": client.name, "flags": _forms(client, desk)},
    )


def answered(command: Answered, desk: Desk) -> Reply:
    """A clinician's answer kept with its day; it speaks for what was asked, and for no more."""
    tail = f" by {command.by}"
    whom = exactly(command.typed, lambda name, rest: f"answered {name} {rest}{tail}", desk)
    client, today = whom.client, desk.context.now.date()
    number = _meant(whom.rest, client, "answered {} ", desk, tail)
    try:
        new = replace(client.flags[number - 1], answered=today, answered_by=command.by)
    except ClientError as fault:
        raise RefusedError(str(fault)) from None
    flags = (*client.flags[: number - 1], new, *client.flags[number:])
    client = desk.store.people.replace_flags(client.id, flags, desk.now)
    can_take_back(desk)
    what = people.flag_name(new, desk.cautions)
    said = people.ANSWER_KEPT.format(
        name=client.name, by=command.by[:40], what=what, day=people.day(today)
    )
    return Reply(
        (Part(wrapped(said)), Part(wrapped(HEALTH))),
        ((Button(people.WHAT_CHANGES, f"mods {client.name}"), Button(asking.UNDO, "undo")),),
        data={"client": client.name, "flags": _forms(client, desk)},
    )


def _reply(lead: str, before: Client, taken: Taken, text: str, desk: Desk) -> Reply:
    client, today = taken.client, desk.context.now.date()
    parts: list[Part] = []
    rows = list(taken.rows)
    if taken.numbers:
        lines = [
            people.flag_line(n, client.flags[n - 1], desk.cautions, today) for n in taken.numbers
        ]
        parts.append(Part("\n".join([lead.format(name=client.name), *lines])))
        rows.append(
            (Button(people.WHAT_CHANGES, f"mods {client.name}"), Button(asking.UNDO, "undo"))
        )
    parts += taken.parts
    agreed = desk.store.people.declarations(client.id, "consent")
    if taken.numbers and not before.flags and not agreed:
        parts.append(Part(wrapped(people.TO_AGREE.format(name=client.name))))
        rows.append((Button(people.AGREES, f"consent {client.name}"),))
    parts.append(Part(wrapped(HEALTH)))
    reply = Reply(
        tuple(parts),
        tuple(rows),
        data={
            "client": client.name,
            "flags": _forms(client, desk),
            "kept": list(taken.numbers),
            "unknown": list(taken.unknown),
        },
    )
    return warned(reply, text, client)


def _forms(client: Client, desk: Desk) -> list[dict[str, object]]:
    return [flag_form(n, flag, desk) for n, flag in enumerate(client.flags, 1)]


def _meant(typed: str, client: Client, line: str, desk: Desk, tail: str = "") -> int:
    """The number of the flag that is meant by a number or by words.

    Raises:
        NoSuchFlagError: none, or several.
    """
    numbered = NUMBERED.fullmatch(typed.strip())
    if numbered:
        return _numbered(numbered[1], numbered[2], client, line, tail)
    said = read_flags(typed, desk.context.now.date(), desk.cautions) if typed else None
    wanted = [r.flag for r in said.read] if said else []
    same = [
        n
        for n, flag in enumerate(client.flags, 1)
        if any(w.condition == flag.condition and (w.side in (flag.side, "none")) for w in wanted)
        and (flag.condition != "unknown" or typed.casefold() in flag.words.casefold())
    ]
    if len(same) == 1 and len(wanted) == 1:
        return same[0]
    raise NoSuchFlagError(typed or "?", _all(client, line, tail, same))


def _numbered(number: str, condition: str | None, client: Client, line: str, tail: str) -> int:
    """The number, if there is such a flag and it is still about what the line says.

    Raises:
        NoSuchFlagError: there is none, or it has become another.
    """
    n = int(number)
    if not 1 <= n <= len(client.flags) or condition not in (None, client.flags[n - 1].condition):
        raise NoSuchFlagError(f"{number} {condition or ''}".strip(), _all(client, line, tail))
    return n


def _all(client: Client, line: str, tail: str, only: list[int] | None = None) -> tuple[Guess, ...]:
    """Buttons for the flags there are."""
    return tuple(
        Guess(
            f"{n}. {flag.condition}",
            f"{line.format(client.name)}{n} {flag.condition}{tail}",
        )
        for n, flag in enumerate(client.flags, 1)
        if not only or n in only
    )
