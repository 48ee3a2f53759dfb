"""How she writes things: which comes first in a date of figures."""

from bot.commands import SetDates
from bot.errors import Guess, UnknownWordError
from bot.grammar.context import Context
from bot.grammar.scanner import Scanner

ORDERS = {
    "day first": False,
    "day month": False,
    "dmy": False,
    "month first": True,
    "month day": True,
    "mdy": True,
}


def dates(scanner: Scanner, _: Context) -> SetDates:
    """The order of day and month; without a word, how it is.

    Raises:
        UnknownWordError: it is neither of the two.
    """
    said = " ".join(scanner.words[scanner.at :])
    scanner.take(len(scanner.words) - scanner.at)
    if not said:
        return SetDates()
    if said not in ORDERS:
        lines = ("dates day first", "dates month first")
        raise UnknownWordError(said, tuple(Guess(each, each) for each in lines))
    return SetDates(ORDERS[said])
