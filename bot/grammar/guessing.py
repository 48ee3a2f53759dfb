"""What an unknown word of a brief may have meant."""

from collections.abc import Iterable

from bot.errors import Guess, UnknownWordError
from bot.grammar.scanner import Scanner, nearest
from bot.grammar.vocabulary import KEYWORDS, LEVEL_ALONE
from core.aims import AIM_WORDS, AIMS, aim, bar
from core.fold import fold

OFFERED = 4  # apparatus offered when nothing is near and none is named


def unknown(words: Scanner, apparatus: Iterable[str], to_choose: Iterable[str]) -> UnknownWordError:
    """The next word as one that means nothing in a brief, with what it may have meant.

    Args:
        apparatus: every word for an apparatus.
        to_choose: apparatus to offer when nothing else is near.
    """
    at, word = words.at, fold(words.peek())
    leads: tuple[str, ...] = ()
    if aim(word):
        leads = ("focus", "no")
    elif bar(word):
        leads = ("no",)
    if leads:
        guesses = tuple(
            Guess(f"{lead} {word}", words.instead(at, 1, f"{lead} {word}")) for lead in leads
        )
        return UnknownWordError(words.raw[at], guesses)
    focuses = [f"focus {name}" for name in (*AIM_WORDS, *(each.name for each in AIMS))]
    guesses = nearest(words, at, [*apparatus, *KEYWORDS, *LEVEL_ALONE, *focuses])
    if not guesses:
        names = list(to_choose)[:OFFERED]
        guesses = tuple(Guess(name, words.instead(at, 1, name)) for name in names)
    return UnknownWordError(words.raw[at], guesses)
