"""The words of edits: one wish after another, with commas or "and" between them."""

import re

from bot.commands import EditPlan, Undo, Wish
from bot.errors import MissingWordError, OutOfRangeError, UnknownWordError
from bot.grammar.scanner import Scanner, mistyped, nearest
from core.brief import LONGEST, SHORTEST
from core.fold import fold

VERBS = {
    "drop": "drop", "remove": "drop", "delete": "drop", "skip": "drop",
    "swap": "swap", "replace": "swap", "change": "swap",
    "add": "add", "put": "add", "insert": "add",
    "move": "move", "reps": "reps", "repetitions": "reps", "springs": "springs",
    "easier": "easier", "harder": "harder",
    "keep": "keep", "lock": "keep", "unkeep": "unkeep", "unlock": "unkeep",
    "fit": "fit", "late": "late",
}  # fmt: skip
EXAMPLES = {
    "drop": "drop 7",
    "swap": "swap 7 mermaid",
    "add": "add swan after 9",
    "move": "move 9 to 4",
    "reps": "reps 7 8",
    "springs": "springs 7 3+2",
    "easier": "easier 7",
    "harder": "harder 7",
    "keep": "keep 7",
    "unkeep": "unkeep 7",
    "fit": "fit 40",
    "late": "late 10",
}
BETWEEN = re.compile(r"\s*[,;]\s*(?:(?:and|then)\s+)*|\s+(?:and|then)\s+", re.IGNORECASE)
INSIST = re.compile(r"\s+insist\s*$", re.IGNORECASE)
MOST_LATE = 60


def edit(line: str) -> EditPlan:
    """The wishes of a line, every word of it understood.

    Raises:
        UserError: a wish lacks its number, or begins with a word that is no wish.
    """
    wishes: list[Wish] = []
    plan = None
    line, insist = INSIST.subn("", line)
    for part in _parts(line):
        scanner = Scanner(part)
        if len(scanner.words) > 1 and re.fullmatch(r"#\d{1,9}", scanner.words[-1]):
            plan = int(scanner.words[-1][1:])
            part = part[: part.rindex("#")].strip()  # noqa: PLW2901 - the rest of the same wish
            scanner = Scanner(part)
        verb = verb_of(scanner.peek())
        if verb is None:
            raise UnknownWordError(scanner.raw[0], nearest(scanner, 0, list(VERBS)))
        scanner.take()
        wishes.append(_wish(verb, scanner))
    return EditPlan(tuple(wishes), plan, bool(insist), line)


def verb_of(word: str) -> str | None:
    """The wish a word begins, a slip of the finger allowed."""
    folded = fold(word)
    return VERBS.get(folded) or VERBS.get(mistyped(folded, VERBS) or "")


def undo(scanner: Scanner, *, forward: bool) -> Undo:
    """Back, or forward again.

    Raises:
        UnknownWordError: there is more in the line.
    """
    if not scanner.done:
        raise UnknownWordError(scanner.raw[scanner.at])
    return Undo(forward)


def _parts(line: str) -> list[str]:
    """The wishes apart; a piece that begins with no wish belongs to the one before it."""
    parts: list[str] = []
    for piece in BETWEEN.split(line):
        words = piece.split()
        if not words:
            continue
        if parts and verb_of(words[0]) is None:
            parts[-1] += f", {piece}"
        else:
            parts.append(piece)
    return parts


def _wish(verb: str, scanner: Scanner) -> Wish:
    match verb:
        case "drop" | "easier" | "harder" | "keep" | "unkeep":
            return _ended(Wish(verb, _number(verb, scanner)), scanner)
        case "swap":
            n = _number(verb, scanner)
            _small(scanner, "with", "for", "by")
            return Wish(verb, n, typed=scanner.rest())
        case "add":
            return _add(scanner)
        case "move":
            n = _number(verb, scanner)
            _small(scanner, "to", "before")
            return _ended(Wish(verb, n, _number(verb, scanner)), scanner)
        case "reps":
            n = _number(verb, scanner)
            return _ended(Wish(verb, n, _number(verb, scanner)), scanner)
        case "springs":
            n = _number(verb, scanner)
            if scanner.done:
                raise MissingWordError(f"springs {n}", EXAMPLES[verb])
            return Wish(verb, n, typed=scanner.rest())
        case _:
            return _minutes(verb, scanner)


def _minutes(verb: str, scanner: Scanner) -> Wish:
    _small(scanner, "by", "to", "in", "into")
    minutes = _number(verb, scanner)
    _small(scanner, "min", "mins", "minutes", "late")
    low, high = (SHORTEST, LONGEST) if verb == "fit" else (1, MOST_LATE)
    if not low <= minutes <= high:
        raise OutOfRangeError(verb, str(minutes), low, high, "minutes")
    return _ended(Wish(verb, minutes), scanner)


def _add(scanner: Scanner) -> Wish:
    words: list[str] = []
    while not scanner.done and scanner.peek() not in ("after", "before"):
        words.append(scanner.take())
    if not words:
        raise MissingWordError("add", EXAMPLES["add"])
    if scanner.done:
        return Wish("add", typed=" ".join(words))
    before = scanner.take().casefold() == "before"
    after = _number("add", scanner) - before
    return _ended(Wish("add", other=after, typed=" ".join(words)), scanner)


def _number(verb: str, scanner: Scanner) -> int:
    _small(scanner, "number", "no")
    word = scanner.peek()
    if not re.fullmatch(r"\d{1,3}", word):
        if scanner.done:
            raise MissingWordError(verb, EXAMPLES[verb])
        raise UnknownWordError(scanner.raw[scanner.at])
    scanner.take()
    return int(word)


def _small(scanner: Scanner, *words: str) -> None:
    if scanner.peek() in words:
        scanner.take()


def _ended(wish: Wish, scanner: Scanner) -> Wish:
    if not scanner.done:
        raise UnknownWordError(scanner.raw[scanner.at])
    return wish
