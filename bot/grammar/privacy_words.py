"""The words of privacy: giving out, erasing, how long notes are kept, who is let in."""

import re

from bot.commands import (
    Command,
    Erase,
    Export,
    Invite,
    Problems,
    Revoke,
    SetRetention,
    ShowRetention,
    WhoHasAccess,
)
from bot.errors import MissingWordError, OutOfRangeError, UnknownWordError
from bot.grammar.context import Context
from bot.grammar.scanner import Scanner
from core.fold import fold

UNITS = {"day": 1, "week": 7, "month": 30, "year": 365}  # days, as retention counts them
SHORTEST, LONGEST = 30, 3650  # days notes may be kept for (house choice)
FOR_EVER = ("off", "forever", "ever", "none", "always")
FOR_GOOD = re.compile(r"(.*\S)\s+for\s+good\W*", re.IGNORECASE)


def export(scanner: Scanner, _: Context) -> Export:
    """`export`, `export ANA`."""
    typed = scanner.rest().strip(" .")
    return Export("" if fold(typed) in ("all", "everything", "everybody") else typed)


def erase(scanner: Scanner, _: Context) -> Erase:
    """`erase ANA`, `erase ANA for good`.

    Raises:
        MissingWordError: no name.
    """
    typed = scanner.rest().strip()
    found = FOR_GOOD.fullmatch(typed)
    name = found[1] if found else typed
    if not fold(name):
        raise MissingWordError("erase", "erase ANA")
    return Erase(name.strip(" .:"), bool(found))


def retention(scanner: Scanner, _: Context) -> Command:
    """`retention`, `retention 2 years`, `retention off`.

    Raises:
        UserError: no span, or one that is too short or too long.
    """
    if scanner.done:
        return ShowRetention()
    word = scanner.peek()
    if word in FOR_EVER:
        scanner.take()
        _nothing_more(scanner)
        return SetRetention(None)
    found = re.fullmatch(r"(\d{1,4})(days?|weeks?|months?|years?)?", word)
    number = int(found[1]) if found else {"a": 1, "one": 1, "two": 2}.get(word)
    if number is None:
        raise UnknownWordError(scanner.raw[scanner.at])
    typed = scanner.take()
    unit = found[2] if found and found[2] else scanner.take()
    days = UNITS.get(fold(unit).removesuffix("s"))
    if days is None:
        raise MissingWordError(f"retention {typed}", "retention 2 years")
    _nothing_more(scanner)
    if not SHORTEST <= number * days <= LONGEST:
        raise OutOfRangeError("retention", f"{typed} {unit}", SHORTEST, LONGEST, "days")
    return SetRetention(number * days)


def access(scanner: Scanner, _: Context) -> Command:
    """`who has access`, `revoke DOOR`, `invite`.

    Raises:
        UserError: a word too many, or no door.
    """
    head = fold(scanner.words[0])
    if head.startswith("r"):
        door = scanner.take()
        if not door:
            raise MissingWordError("revoke", "revoke telegram:4711")
        _nothing_more(scanner)
        return Revoke(door)
    while scanner.peek() in ("has", "have", "access") and not head.startswith("i"):
        scanner.take()
    _nothing_more(scanner)
    return Invite() if head.startswith("i") else WhoHasAccess()


def problems(scanner: Scanner, _: Context) -> Command:
    """`problems`, `problems again`, `problems forget`.

    Raises:
        UserError: another word.
    """
    said = scanner.peek()
    then = said if said in ("again", "forget") else ""
    if then:
        scanner.take()
    _nothing_more(scanner)
    return Problems(then or "")


def _nothing_more(scanner: Scanner) -> None:
    if not scanner.done:
        raise UnknownWordError(scanner.raw[scanner.at])
