"""The words about one person: a name, then level, goals, usual springs in any order."""

import re

from bot.commands import AddClient, ChangeClient, Command, Details, ListClients, LookUpClient
from bot.errors import MissingWordError, SpringsError, UnknownWordError
from bot.grammar.context import Context
from bot.grammar.scanner import Scanner, nearest
from bot.grammar.vocabulary import LEVEL_ALONE, LEVELS
from core.apparatus import ApparatusId
from core.errors import SpringError
from core.exercise import Level
from core.fold import fold

BEGINS = ("level", "lvl", "goal", "goals")  # words that say something of a person, never her name
SMALL = ("and", "usual", "usually", "springs", "the", "with", "")
EXAMPLES = {"client": "client ANA", "add": "client add ANA, level 1, chair 3, goal stronger back"}


def client(scanner: Scanner, context: Context) -> Command:
    """`client ANA`, `client add ANA, level 1, chair 3`, `client ANA: level 2`, `clients`.

    Raises:
        UserError: no name, or a word that says nothing of a person.
    """
    if fold(scanner.words[0]).endswith("s"):
        if not scanner.done:
            raise UnknownWordError(scanner.raw[scanner.at])
        return ListClients()
    if fold(scanner.peek()) in ("add", "new"):
        scanner.take()
        name = _name(scanner, context)
        if not fold(name):
            raise MissingWordError("client add", EXAMPLES["add"])
        return AddClient(name, _details(scanner, context))
    name = _name(scanner, context)
    if not fold(name):
        raise MissingWordError("client", EXAMPLES["client"])
    if scanner.done:
        return LookUpClient(name)
    return ChangeClient(name, _details(scanner, context))


def _name(scanner: Scanner, context: Context) -> str:
    """The words up to a colon, a comma, or a word that says something of a person."""
    words: list[str] = []
    while not scanner.done:
        word = scanner.peek()
        if words and (word in BEGINS or (word in context.apparatus_words and scanner.peek(1))):
            break
        last = _ends_piece(scanner) or scanner.raw[scanner.at].endswith(":")
        words.append(scanner.take())
        if last:
            break
    return " ".join(words).strip(" :,.")


def _details(scanner: Scanner, context: Context) -> Details:
    """All that the rest of the line says.

    Raises:
        UserError: a word that says nothing, or a setting that is none.
    """
    level: Level | None = None
    springs: dict[ApparatusId, str] = {}
    goals: list[str] = []
    without: list[str] = []
    name = ""
    while not scanner.done:
        word = scanner.peek()
        short = re.fullmatch(r"l(?:vl|evel)?([123])", word)
        if word in ("level", "lvl"):
            scanner.take()
            level = _level(scanner)
        elif short:
            scanner.take()
            level = Level(int(short[1]))
        elif word in LEVEL_ALONE and LEVELS[word]:
            scanner.take()
            level = LEVELS[word]
        elif word in ("goal", "goals"):
            scanner.take()
            goals.append(_piece(word, "goal stronger back", scanner))
        elif word in ("name", "called"):
            scanner.take()
            name = _piece(word, "name ANI", scanner)
        elif word in ("no", "without"):
            scanner.take()
            without.append(_given_up(word, scanner, context))
        elif found := scanner.phrase(context.apparatus_words):
            on = context.apparatus_words[found[0]]
            whole = _ends_piece(scanner, found[1] - 1)
            scanner.take(found[1])
            springs[on] = _setting(on, "" if whole else _to_next(scanner, context), context)
        elif word in SMALL:
            scanner.take()
        else:
            known = ["level", "goal", "name", *context.apparatus_words]
            raise UnknownWordError(scanner.raw[scanner.at], nearest(scanner, scanner.at, known))
    return Details(level, tuple(springs.items()), tuple(goals), name, tuple(without))


def _level(scanner: Scanner) -> Level:
    word = scanner.peek()
    level = LEVELS.get(word)
    if level is None:
        if scanner.done:
            raise MissingWordError("level", "level 2")
        guesses = nearest(scanner, scanner.at, ["1", "2", "3"]) or ()
        raise UnknownWordError(scanner.raw[scanner.at], guesses)
    scanner.take()
    return level


def _given_up(word: str, scanner: Scanner, context: Context) -> str:
    if scanner.peek() in ("goal", "goals"):
        scanner.take()
        return "goals"
    found = scanner.phrase(context.apparatus_words)
    if found is None:
        if scanner.done:
            raise MissingWordError(word, f"{word} goals")
        raise UnknownWordError(scanner.raw[scanner.at])
    scanner.take(found[1])
    return context.apparatus_words[found[0]]


def _setting(on: ApparatusId, typed: str, context: Context) -> str:
    apparatus = context.repertoire.apparatus[on]
    if not typed:
        raise MissingWordError(apparatus.name, "chair 3+2")
    try:
        return str(apparatus.parse(typed))
    except SpringError as fault:
        raise SpringsError(str(fault)) from fault


def _to_next(scanner: Scanner, context: Context) -> str:
    """The words up to a comma or to what begins something else."""
    words: list[str] = []
    while not scanner.done:
        word = scanner.peek()
        if word in (*BEGINS, "no", "without") or (word in context.apparatus_words and words):
            break
        last = _ends_piece(scanner)
        words.append(scanner.take())
        if last:
            break
    return " ".join(words).strip(" .")


def _piece(after: str, example: str, scanner: Scanner) -> str:
    """The words up to the next comma, as typed."""
    words: list[str] = []
    while not scanner.done:
        last = _ends_piece(scanner)
        words.append(scanner.take())
        if last:
            break
    text = " ".join(words).strip(" .")
    if not fold(text):
        raise MissingWordError(after, example)
    return text


def _ends_piece(scanner: Scanner, ahead: int = 0) -> bool:
    """Whether a comma or semicolon follows the next word."""
    at = scanner.at + ahead
    if at + 1 >= len(scanner.starts):
        return False
    end = scanner.starts[at] + len(scanner.raw[at])
    return bool(re.search(r"[,;]", scanner.line[end : scanner.starts[at + 1]]))
