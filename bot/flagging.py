"""Typed words -> flags kept, and what is left to ask: shared by the actions that keep flags."""

import re
from dataclasses import dataclass, replace
from datetime import date, timedelta

from bot.desk import Desk
from bot.reply import Button, Part
from bot.taken_back import can_take_back
from bot.wording import people as words
from bot.wording.phrases import wrapped
from core.caution_rule import UNKNOWN, Condition
from core.client import Client, ClientError, Flag, Severity, Side
from core.flag_words import Read, Typed, read_flags

PIECES = re.compile(r"[,;+&]|\b(?:and|plus|also)\b", re.IGNORECASE)
WEEKS = (12, 20, 28, 36)
AGO = ("2 weeks ago", "6 weeks ago", "3 months ago", "a year ago")
CANDIDATES = 4


@dataclass(frozen=True, slots=True)
class Taken:
    """What became of the words.

    Attributes:
        client: with the flags.
        numbers: of the flags that are new or changed.
        parts, rows: what is left to ask, and the buttons that answer it.
    """

    client: Client
    numbers: tuple[int, ...]
    parts: tuple[Part, ...] = ()
    rows: tuple[tuple[Button, ...], ...] = ()
    unknown: tuple[str, ...] = ()


def take(client: Client, text: str, desk: Desk, *, for_today: bool = False) -> Taken:
    """The flags of a text kept at once, the strict way; each thing left open is asked about."""
    today = desk.context.now.date()
    typed = read_flags(text, today, desk.cautions)
    reads = [*typed.read, *_alone(text, typed, desk)]
    if not reads:
        return Taken(client, (), (Part(wrapped(words.DENIED)),), unknown=typed.unknown)
    if for_today:
        tomorrow = today + timedelta(days=1)
        reads = [replace(r, flag=_until(r.flag, tomorrow)) for r in reads]
    before = len(client.flags)
    flags = (*client.flags, *(r.flag for r in reads))
    client = desk.store.people.replace_flags(client.id, flags, desk.now)
    can_take_back(desk)
    numbers = tuple(range(before + 1, len(flags) + 1))
    parts, rows = _questions(client, list(zip(numbers, reads, strict=True)), typed, desk)
    return Taken(client, numbers, parts, rows, typed.unknown)


def say_more(client: Client, number: int, text: str, desk: Desk) -> Taken:
    """A flag with what is said of it now: side, severity, days, who said so, what it is.

    Raises:
        ClientError: the days contradict each other.
    """
    today = desk.context.now.date()
    old = client.flags[number - 1]
    meant = re.fullmatch(r"is\s+(.+)", text.strip(), re.IGNORECASE)
    condition = desk.cautions.conditions.get(old.condition) or desk.cautions.conditions[UNKNOWN]
    if meant or condition.id == UNKNOWN:
        said = read_flags(meant[1] if meant else text, today, desk.cautions)
        found = said.read[0] if said.read else Read(old)
        flag = _merged(old, found.flag)
        if found.flag.condition != UNKNOWN:
            flag = replace(flag, condition=found.flag.condition)
    else:
        said = read_flags(f"{spoken(condition, desk)} {text}", today, desk.cautions)
        found = next((r for r in said.read if r.flag.condition == old.condition), Read(old))
        flag = _merged(old, found.flag, severity="severity" not in found.missing)
    missing = tuple(m for m in found.missing if not _answered(m, flag, desk))
    flags = (*client.flags[: number - 1], flag, *client.flags[number:])
    client = desk.store.people.replace_flags(client.id, flags, desk.now)
    can_take_back(desk)
    left = replace(said, candidates=() if meant else said.candidates)
    parts, rows = _questions(client, [(number, Read(flag, missing))], left, desk)
    return Taken(client, (number,), parts, rows, said.unknown)


def spoken(condition: Condition, desk: Desk) -> str:
    """Words that mean this condition and no other."""
    today = desk.context.now.date()
    for alias in (condition.name, *condition.aliases):
        read = read_flags(alias, today, desk.cautions)
        if len(read.read) == 1 and read.read[0].flag.condition == condition.id:
            return alias
    return condition.name


def line_of(client: Client, number: int, flag: Flag, more: str) -> str:
    """The line that says more of a flag; it names the condition, so that no other is meant."""
    return f"flag {client.name} {number} {flag.condition}: {more}"


def _alone(text: str, typed: Typed, desk: Desk) -> list[Read]:
    """Pieces of a list in which nothing is known: each is something of its own to ask about."""
    if not typed.read or not typed.unknown or typed.read[0].flag.condition == UNKNOWN:
        return []
    today = desk.context.now.date()
    found = []
    for piece in PIECES.split(text):
        if not piece.strip():
            continue
        said = read_flags(piece, today, desk.cautions)
        lone = said.read and all(r.flag.condition == UNKNOWN for r in said.read)
        if lone and said.unknown and not said.candidates:
            found.append(said.read[0])
    return found


def _until(flag: Flag, day: date) -> Flag:
    """The flag with a day to ask again, unless it has one already."""
    try:
        return flag if flag.review else replace(flag, review=day)
    except ClientError:
        return flag


def _merged(old: Flag, new: Flag, *, severity: bool = True) -> Flag:
    """The old flag with all that the new one says otherwise than by default."""
    return replace(
        old,
        side=old.side if new.side is Side.NONE else new.side,
        severity=new.severity if severity else old.severity,
        since=new.since or old.since,
        review=new.review or old.review,
        said_by=new.said_by or old.said_by,
        due=new.due or old.due,
        event=new.event or old.event,
        details=tuple(dict.fromkeys((*old.details, *new.details))),
        answered=new.answered or old.answered,
        answered_by=new.answered_by or old.answered_by,
    )


def _answered(missing: str, flag: Flag, desk: Desk) -> bool:
    """Whether the whole flag knows what the words alone lack."""
    condition = desk.cautions.conditions[flag.condition]
    groups = {d.group for d in condition.details if d.group and d.id in flag.details}
    match missing:
        case "side":
            return flag.side is not Side.NONE
        case "weeks":
            return flag.due is not None
        case "event":
            return flag.event is not None
        case "severity":
            return True  # it has been asked, or said, before
        case _:
            return missing in groups


def _questions(
    client: Client, reads: list[tuple[int, Read]], typed: Typed, desk: Desk
) -> tuple[tuple[Part, ...], tuple[tuple[Button, ...], ...]]:
    """All that is left to ask about some flags."""
    parts: list[Part] = []
    rows: list[tuple[Button, ...]] = []
    known = any(r.flag.condition != UNKNOWN for _, r in reads)
    for word, meaning in typed.guessed if known else ():
        parts.append(Part(wrapped(words.WENT_AS.format(typed=word, meaning=meaning))))
    for number, read in reads:
        flag = read.flag
        if flag.condition == UNKNOWN:
            close = typed.candidates[:CANDIDATES]
            text = words.NOT_KNOWN if close else words.NOT_KNOWN_ALONE
            parts.append(Part(wrapped(text.format(words=flag.words[:60], name=client.name))))
            rows += [
                (Button(c.name, line_of(client, number, flag, f"is {spoken(c, desk)}")),)
                for c in close
            ]
            continue
        for missing in read.missing:
            if missing == "severity" and not _severity_matters(flag, desk):
                continue
            question, answers = _question(missing, number, flag, client, desk)
            parts.append(Part(wrapped(question)))
            lines = [Button(a, line_of(client, number, flag, a)) for a in answers]
            rows += [tuple(lines[at : at + 3]) for at in range(0, len(lines), 3)]
    if typed.candidates and all(r.flag.condition != UNKNOWN for _, r in reads):
        rows += [
            (Button(c.name, f"flag {client.name} {spoken(c, desk)}"),)
            for c in typed.candidates[:CANDIDATES]
        ]
    alone = " ".join(r.flag.words.casefold() for _, r in reads if r.flag.condition == UNKNOWN)
    left = [each for each in typed.unknown if each.casefold() not in alone]
    if known and left:
        said = " ".join(left)[:60]
        parts.append(Part(wrapped(words.LEFT_OVER.format(words=said))))
        rows.append((Button(words.OF_ITS_OWN.format(words=said), f"flag {client.name} {said}"),))
    return tuple(parts), tuple(rows)


def _severity_matters(flag: Flag, desk: Desk) -> bool:
    """Whether any rule of the condition holds for one severity and not for another."""
    rules = desk.cautions.by_condition[flag.condition]
    return any(len(rule.severities) < len(Severity) for rule in rules)


def _question(
    missing: str, number: int, flag: Flag, client: Client, desk: Desk
) -> tuple[str, tuple[str, ...]]:
    """The question about what is missing, and answers to tap."""
    what = words.flag_name(flag, desk.cautions)
    match missing:
        case "side":
            return words.WHICH_SIDE.format(what=what), ("left", "right", "both")
        case "severity":
            return words.HOW_BAD.format(what=what), tuple(each.value for each in Severity)
        case "weeks":
            return words.HOW_FAR.format(what=what), tuple(f"{n} weeks" for n in WEEKS)
        case "event":
            return words.WHEN.format(what=what), AGO
        case "dates":
            line = line_of(client, number, flag, "since may, review 1 mar")
            return words.DATES.format(what=what, line=line), ()
        case group:
            condition = desk.cautions.conditions[flag.condition]
            answers = tuple(d.id for d in condition.details if d.group == group)
            return words.WHICH.format(what=what, group=group), answers
