"""The words of kept classes, series of classes, and classes written elsewhere."""

import re

from bot.commands import (
    Compare,
    ListClasses,
    MakeSeries,
    OpenClass,
    Paste,
    PasteLine,
    RetireClass,
    SaveClass,
)
from bot.errors import MissingWordError, OutOfRangeError, UnknownWordError
from bot.grammar.context import Context
from bot.grammar.plan_words import PlanWords
from bot.grammar.scanner import Scanner
from core.fold import fold

LONGEST_NAME = 40
FEWEST_WEEKS, MOST_WEEKS = 2, 12


def save(scanner: Scanner, _: Context) -> SaveClass:
    """`save as tuesday core`, `copy as wednesday core`."""
    copy = fold(scanner.words[0]) == "copy"
    if fold(scanner.peek()) == "as":
        scanner.take()
    verb = "copy as" if copy else "save as"
    return SaveClass(_name(scanner, verb, f"{verb} tuesday core"), copy)


def open_class(scanner: Scanner, _: Context) -> OpenClass:
    """`open tuesday core`."""
    return OpenClass(_name(scanner, "open", "open tuesday core"))


def retire(scanner: Scanner, _: Context) -> RetireClass:
    """`retire tuesday core`."""
    return RetireClass(_name(scanner, "retire", "retire tuesday core"))


def plans(scanner: Scanner, _: Context) -> ListClasses:
    """`plans`."""
    if not scanner.done:
        raise UnknownWordError(scanner.raw[scanner.at])
    return ListClasses()


def compare(scanner: Scanner, _: Context) -> Compare:
    """`compare tuesday core`, `compare #12`."""
    if fold(scanner.peek()) in ("with", "to"):
        scanner.take()
    number = re.fullmatch(r"#(\d{1,9})", scanner.peek())
    if number and len(scanner.words) == scanner.at + 1:
        return Compare(plan=int(number[1]))
    return Compare(_name(scanner, "compare", "compare tuesday core"))


def series(scanner: Scanner, context: Context) -> MakeSeries:
    """`series 6 weeks 50 chair for dawn`.

    Raises:
        UserError: no number of weeks, or a brief that is not understood.
    """
    example = "series 6 weeks 50 chair for dawn"
    found = re.fullmatch(r"(\d{1,3})(?:w|weeks?)?", scanner.peek())
    if found is None:
        raise MissingWordError("series", example)
    scanner.take()
    if scanner.peek() in ("weeks", "week", "classes"):
        scanner.take()
    weeks = int(found[1])
    if not FEWEST_WEEKS <= weeks <= MOST_WEEKS:
        raise OutOfRangeError("series", found[1], FEWEST_WEEKS, MOST_WEEKS, "weeks")
    return MakeSeries(weeks, PlanWords(scanner, context).read())


def paste(scanner: Scanner, _: Context) -> Paste:
    """A class to be read from the lines after the first one.

    Raises:
        MissingWordError: there are none.
    """
    raise MissingWordError(scanner.words[0], "paste 45 chair, then one exercise a line")


def long_paste(text: str, context: Context) -> Paste:
    """A class of several lines; the first one says minutes and apparatus, as far as known.

    Raises:
        UserError: the first line is not understood.
    """
    first, *lines = [line.strip() for line in text.splitlines() if line.strip()]
    scanner = Scanner(first.lstrip("/"))
    scanner.take()
    return Paste(tuple(lines), PlanWords(scanner, context).read())


def pasted_line(scanner: Scanner, _: Context) -> PasteLine:
    """`line 3 is mermaid`, `line 3 is -` to leave it out.

    Raises:
        MissingWordError: no number, or nothing after it.
    """
    example = "line 3 is mermaid"
    if not re.fullmatch(r"\d{1,2}", scanner.peek()):
        raise MissingWordError("line", example)
    number = int(scanner.take())
    if scanner.peek() == "is":
        scanner.take()
    typed = scanner.rest().strip()
    if not typed:
        raise MissingWordError(f"line {number}", example)
    scanner.take(len(scanner.words))
    return PasteLine(number - 1, typed)


def _name(scanner: Scanner, after: str, example: str) -> str:
    name = scanner.rest().strip(" .\"'“”")
    scanner.take(len(scanner.words))
    if not fold(name):
        raise MissingWordError(after, example)
    if len(name) > LONGEST_NAME:
        raise OutOfRangeError("name", name, 1, LONGEST_NAME, "characters")
    return name
