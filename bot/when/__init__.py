"""Typed dates -> local wall time, or a question."""

from bot.when.lines import Finder, Found, Named
from bot.when.parts import NotADateError, When, WhenError
from bot.when.reading import read
from bot.when.spotting import Spotted, join, spot
from bot.when.words import DAY_WORDS, MONTHS, Order

__all__ = [
    "DAY_WORDS",
    "MONTHS",
    "Finder",
    "Found",
    "Named",
    "NotADateError",
    "Order",
    "Spotted",
    "When",
    "WhenError",
    "join",
    "read",
    "spot",
]
