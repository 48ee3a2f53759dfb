"""The words of a class that is being taught."""

import re

from bot.commands import Early, Handover, SendSheet, Teach
from bot.errors import MissingWordError, OutOfRangeError, UnknownWordError
from bot.grammar.context import Context
from bot.grammar.scanner import Scanner, nearest
from core.fold import fold

FORMS = {
    "phone": "phone", "mobile": "phone", "paper": "paper", "a4": "paper", "print": "paper",
    "pdf": "paper", "picture": "picture", "image": "picture", "photo": "picture",
}  # fmt: skip
NUMBER = re.compile(r"#?(\d{1,9})")
DOINGS = ("next", "back", "skip", "late", "stop")
MOST_EARLY = 30
SMALL = ("plan", "the", "as", "a", "for", "on", "of", "class", "number", "no")


def sheet(scanner: Scanner, _: Context) -> SendSheet:
    """`sheet`, `sheet 4`, `sheet phone`, `sheet #4 picture`.

    Raises:
        UnknownWordError: anything else.
    """
    plan, form = None, ""
    while not scanner.done:
        word = fold(scanner.peek())
        number = NUMBER.fullmatch(scanner.peek())
        if number and plan is None:
            plan = int(number[1])
        elif word in FORMS and not form:
            form = FORMS[word]
        elif word and word not in SMALL:
            guesses = nearest(scanner, scanner.at, ["phone", "paper", "picture"])
            raise UnknownWordError(scanner.raw[scanner.at], guesses)
        scanner.take()
    return SendSheet(plan, form)


def handover(scanner: Scanner, _: Context) -> Handover:
    """`handover`, `handover 7`, `handover tue`.

    Raises:
        UnknownWordError: somebody it should be brought to.
    """
    plan: int | None = None
    day: list[str] = []
    while not scanner.done:
        word = fold(scanner.peek())
        number = NUMBER.fullmatch(scanner.peek())
        if word == "to":
            raise UnknownWordError(scanner.raw[scanner.at])
        if number and plan is None and not day:
            plan = int(number[1])
        elif word not in SMALL:
            day.append(scanner.raw[scanner.at])
        scanner.take()
    return Handover(plan, " ".join(day))


def teach(scanner: Scanner, _: Context) -> Teach:
    """`teach`, `teach 12`; buttons say `teach next 7 #12`.

    Raises:
        UnknownWordError: anything else.
    """
    do = fold(scanner.peek())
    if do in DOINGS:
        scanner.take()
    else:
        do = ""
    place = plan = None
    while not scanner.done:
        number = NUMBER.fullmatch(scanner.peek())
        if number and (scanner.peek().startswith("#") or not do) and plan is None:
            plan = int(number[1])
        elif number and do and place is None:
            place = int(number[1])
        elif fold(scanner.peek()) not in SMALL:
            raise UnknownWordError(scanner.raw[scanner.at], nearest(scanner, scanner.at, DOINGS))
        scanner.take()
    return Teach(do, plan, place)


def early(scanner: Scanner, _: Context) -> Early:
    """`early 5`, `early 5 mermaid`.

    Raises:
        MissingWordError: no minutes.
        OutOfRangeError: more minutes than anybody is early.
    """
    if fold(scanner.peek()) == "by":
        scanner.take()
    word = scanner.peek()
    if not re.fullmatch(r"\d{1,3}", word):
        if scanner.done:
            raise MissingWordError("early", "early 5")
        raise UnknownWordError(scanner.raw[scanner.at])
    scanner.take()
    if not 1 <= int(word) <= MOST_EARLY:
        raise OutOfRangeError("early", word, 1, MOST_EARLY, "minutes")
    if fold(scanner.peek()) in ("min", "mins", "minutes"):
        scanner.take()
    if fold(scanner.peek()) in ("with", "for"):
        scanner.take()
    return Early(int(word), scanner.rest() if not scanner.done else "")
