"""The words about people: notes, flags, groups, what changes for whom.

A name can be anything, and only the store knows who there is. So what is read here is cut at the
marks that are typed (a colon, a comma, a word like "add"); where a name ends is found out later.
"""

import re
from collections.abc import Mapping

from bot.commands import (
    AddNote,
    AddToGroup,
    Answered,
    Command,
    Consent,
    DropGroup,
    FlagClient,
    LeaveGroup,
    ListFlags,
    ListGroups,
    Mods,
    Screen,
    ShowGroup,
    Unflag,
)
from bot.errors import MissingWordError, UnknownWordError
from bot.grammar.context import Context
from bot.grammar.scanner import Scanner
from core.fold import fold

EXAMPLES: Mapping[str, str] = {
    "note": "note ANA: left knee sore after footwork",
    "flag": "flag ANA left wrist marked since may",
    "flags": "flags ANA",
    "unflag": "unflag ANA 2",
    "answered": "answered ANA 2 by physio",
    "consent": "consent ANA",
    "group": "group dawn add ANA, BO",
    "screen": "screen ANA",
}
GROUP_VERBS = ("add", "remove", "drop")
BETWEEN = re.compile(r"[,;+&]|\band\b", re.IGNORECASE)
NAMED = re.compile(r"([^:]*):(?!\d)(.*)")  # "ANA: text", but not "ANA at 18:00"
PLAN = re.compile(r"(.*?)(?:\s*#(\d{1,9}))?")  # a class by its number, last
YES, NO = ("yes", "y"), ("no", "n")
MOST_ANSWERS = 4


def note(scanner: Scanner, _: Context) -> AddNote:
    """`note ANA: left knee sore after footwork`."""
    return AddNote(*_named("note", scanner))


def flag(scanner: Scanner, _: Context) -> Command:
    """`flag ANA left wrist marked since may`, `flag ANA 2 wrist: left`, `flags ANA`."""
    if fold(scanner.words[0]).endswith("s"):
        return ListFlags(_rest("flags", scanner))
    return FlagClient(*_named("flag", scanner))


def unflag(scanner: Scanner, _: Context) -> Unflag:
    """`unflag ANA 2`, `unflag ANA wrist`."""
    return Unflag(_rest("unflag", scanner))


def answered(scanner: Scanner, _: Context) -> Answered:
    """`answered ANA 2 by physio`.

    Raises:
        MissingWordError: nobody who answered.
    """
    typed, by, who = _rest("answered", scanner).partition(" by ")
    if not by or not fold(who) or not fold(typed):
        raise MissingWordError("answered", EXAMPLES["answered"])
    return Answered(typed.strip(), who.strip(" ."))


def consent(scanner: Scanner, _: Context) -> Consent:
    """`consent ANA`."""
    return Consent(_rest("consent", scanner))


def group(scanner: Scanner, _: Context) -> Command:
    """`group dawn`, `group dawn add ANA, BO`, `group dawn remove BO`, `groups`.

    Raises:
        UserError: no name, or nobody after "add" or "remove".
    """
    if fold(scanner.words[0]).endswith("s"):
        if not scanner.done:
            raise UnknownWordError(scanner.raw[scanner.at])
        return ListGroups()
    words = scanner.words[scanner.at :]
    verb_at = next((k for k, word in enumerate(words) if k and word in GROUP_VERBS), None)
    if verb_at is None:
        return ShowGroup(_rest("group", scanner).rstrip(" :.,"))
    name = scanner.take(verb_at).strip(" :,")
    verb = fold(scanner.take())
    people = tuple(piece.strip(" .") for piece in BETWEEN.split(scanner.rest()) if fold(piece))
    if verb == "drop" and not people:
        return DropGroup(name)
    if not people:
        raise MissingWordError(f"group {name} {verb}", EXAMPLES["group"])
    return AddToGroup(name, people) if verb == "add" else LeaveGroup(name, people)


def mods(scanner: Scanner, _: Context) -> Mods:
    """`mods`, `mods tue`, `mods ANA`, `mods ANA pike chair`, `mods ANA #12`."""
    found = PLAN.fullmatch(scanner.rest().strip(" .,:"))
    assert found is not None  # anything fits
    return Mods(found[1].strip(), int(found[2]) if found[2] else None)


def screen(scanner: Scanner, _: Context) -> Screen:
    """`screen ANA`, with the answers given so far after it.

    Raises:
        MissingWordError: no name.
    """
    words = _rest("screen", scanner).split()
    answers: list[bool] = []
    while len(words) > 1 and len(answers) < MOST_ANSWERS:
        word = fold(words[-1])
        if word not in YES + NO:
            break
        answers.insert(0, word in YES)
        words.pop()
    return Screen(" ".join(words).strip(" :,"), tuple(answers))


def is_answer(line: str) -> bool:
    """Whether the line says yes or no and nothing else."""
    return fold(line) in YES + NO


def _rest(verb: str, scanner: Scanner) -> str:
    rest = scanner.rest().strip()
    if not fold(rest):
        raise MissingWordError(verb, EXAMPLES[verb])
    return rest


def _named(verb: str, scanner: Scanner) -> tuple[str, str]:
    """What stands before the colon and after it; without one, all and nothing."""
    rest = _rest(verb, scanner)
    found = NAMED.fullmatch(rest)
    if found is None:
        return rest, ""
    if not fold(found[1]) or not fold(found[2]):
        raise MissingWordError(f"{verb} {found[1].strip()}".strip(), EXAMPLES[verb])
    return found[1].strip(), found[2].strip()
