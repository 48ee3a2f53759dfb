"""The words of a class that is being taught."""

import re

from bot.commands import SendSheet
from bot.errors import UnknownWordError
from bot.grammar.context import Context
from bot.grammar.scanner import Scanner, nearest
from core.fold import fold

FORMS = {
    "phone": "phone", "mobile": "phone", "paper": "paper", "a4": "paper", "print": "paper",
    "pdf": "paper", "picture": "picture", "image": "picture", "photo": "picture",
}  # fmt: skip
NUMBER = re.compile(r"#?(\d{1,9})")
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
