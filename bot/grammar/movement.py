"""The exercise named in the middle of a line, and where its name ends."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from bot.errors import Guess, UnknownWordError
from bot.grammar.context import Context
from bot.grammar.scanner import Scanner
from core.apparatus import ApparatusId
from core.brief import Bar
from core.exercise import Exercise
from core.fold import fold
from core.repertoire import Repertoire

MOST_WORDS = 10  # of the longest name


@dataclass(frozen=True, slots=True)
class Named:
    """An exercise, how many words name it, and the apparatus if that is one of the words."""

    exercise: Exercise
    words: int
    on: ApparatusId | None


def named(scanner: Scanner, context: Context, near: Sequence[ApparatusId]) -> Named | None:
    """The exercise that the next words name best, or None when they name none.

    The longest reading that is a name to the letter counts; if none is, the one that fits best, so
    that no word after a name is taken for part of it. Of equals the one that leaves an apparatus
    to stand for itself, then the longer.

    Raises:
        UnknownWordError: several could be meant.
    """
    words = scanner.words[scanner.at : scanner.at + MOST_WORDS]
    sure: list[tuple[int, float, bool, int, Exercise]] = []
    open_ones: list[tuple[float, int]] = []
    for size in range(1, len(words) + 1):
        found = context.names.find(" ".join(words[:size]), near)
        if not found.matches or not fold(words[size - 1]):
            continue
        if found.sure:
            score = next(m.score for m in found.matches if m.exercise.id == found.sure.id)
            bare = fold(words[size - 1]) not in context.apparatus_words
            to_the_letter = size if fold(" ".join(words[:size])) in _names(found.sure) else 0
            sure.append((to_the_letter, score, bare, size, found.sure))
        open_ones.append((found.matches[0].score, size))
    if sure:
        _, _, bare, size, exercise = max(sure, key=lambda reading: reading[:4])
        return Named(exercise, size, None if bare else exercise.apparatus)
    if not open_ones:
        return None
    _, size = max(open_ones)
    typed = " ".join(scanner.raw[scanner.at : scanner.at + size])
    raise UnknownWordError(
        typed,
        tuple(
            Guess(m.exercise.name, scanner.instead(scanner.at, size, m.exercise.name))
            for m in context.names.find(typed, near).matches
        ),
    )


def bars_named(scanner: Scanner, repertoire: Repertoire, longer_than: int) -> list[Bar]:
    """The movements that the next words name to the letter, read, as what a class does without.

    Only a name of more words than `longer_than` counts: "chest opening" is not a chest.
    """
    known = _families(repertoire)
    words = scanner.words[scanner.at : scanner.at + MOST_WORDS]
    for size in range(len(words), max(1, longer_than), -1):
        families = known.get(fold(" ".join(words[:size])))
        if families:
            scanner.take(size)
            return [Bar(each, movements=frozenset({each})) for each in sorted(families)]
    return []


@lru_cache(maxsize=64)
def _families(repertoire: Repertoire) -> dict[str, frozenset[str]]:
    """Every name of an exercise or a family, folded -> the families it stands for."""
    found: dict[str, frozenset[str]] = {}
    for e in repertoire.exercises.values():
        for name in (fold(e.family), *_names(e)):
            found[name] = found.get(name, frozenset()) | {e.family}
    return found


def _names(e: Exercise) -> set[str]:
    return {fold(name) for name in (e.name, e.short, *e.aliases)}
