"""A line as words, read from left to right, and the nearest known words to one that is unknown."""

import re
import unicodedata
from collections.abc import Iterable, Sequence

from rapidfuzz.distance import OSA

from bot.errors import Guess, NotText, TooLongError
from core.fold import fold

LONGEST_LINE = 1000  # characters; the longest sensible command is about a hundred
PHRASE = 3  # the most words of one meaning: "weight on wrists"
NEAREST = 3  # buttons offered for an unknown word
ALIKE = 0.5  # likeness from which a word is offered: half of its letters stay (house choice)


def clean(text: str, longest: int = LONGEST_LINE) -> str:
    """The line without control characters, its spaces single.

    Raises:
        TooLongError: longer than any command.
        NotText: nothing readable is left.
    """
    if len(text) > longest:
        raise TooLongError(len(text), longest)
    seen = "".join(" " if unicodedata.category(c)[0] in "CZ" else c for c in text)
    line = " ".join(seen.split())
    if not fold(line):
        raise NotText
    return line


class Scanner:
    """The words of a line and how far they have been read."""

    def __init__(self, line: str) -> None:
        self.line = line
        spans = list(re.finditer(r"[^\s,;]+", line))
        self.raw = [span[0] for span in spans]
        self.starts = [span.start() for span in spans]
        self.words = [self._bare(word) for word in self.raw]
        self.at = 0
        self.read_as: dict[
            int, tuple[str, str]
        ] = {}  # place -> what was typed, what it was read as

    @staticmethod
    def _bare(word: str) -> str:
        return word.strip(".!?()[]\"'“”").casefold()

    @property
    def done(self) -> bool:
        """Whether every word has been read."""
        return self.at >= len(self.words)

    def peek(self, ahead: int = 0) -> str:
        """A word not yet read, or nothing."""
        at = self.at + ahead
        return self.words[at] if at < len(self.words) else ""

    def take(self, count: int = 1) -> str:
        """The next words, read; as they were typed."""
        text = " ".join(self.raw[self.at : self.at + count])
        self.at += count
        return text

    def rest(self) -> str:
        """What has not been read yet, to the letter."""
        return self.line[self.starts[self.at] :] if not self.done else ""

    def phrase(self, meanings: Iterable[str]) -> tuple[str, int] | None:
        """The longest of these phrases that the next words spell, and its number of words.

        A phrase of one word may be mistyped by one letter (two in a long word) if nothing else
        is as near; a short word must be right.
        """
        known = set(meanings)
        if re.match(r"[-–−]\w", self.peek()):
            return None  # "-legs" is not "legs"
        for size in range(min(PHRASE, len(self.words) - self.at), 0, -1):
            words = self.words[self.at : self.at + size]
            text = fold(" ".join(words))
            if text in known and all(map(fold, words)):
                return text, size
        word = fold(self.peek())
        near = mistyped(word, known)
        if near is None:
            return None
        self.read_as[self.at] = (self.raw[self.at], near)
        return near, 1

    def instead(self, word_at: int, count: int, meaning: str) -> str:
        """The whole line with some words replaced."""
        return " ".join([*self.raw[:word_at], meaning, *self.raw[word_at + count :]])


def mistyped(word: str, known: Iterable[str]) -> str | None:
    """The one known word that `word` is a slip away from, or None.

    Four letters or more may have one slip (one wrong, missing, extra, or two swapped), eight or
    more two; the first letter must be right, for a slip there makes another word.
    """
    if len(word) < 4 or not word.isalpha():
        return None
    allowed = 2 if len(word) >= 8 else 1
    near = [
        (distance, each)
        for each in known
        if each[:1] == word[:1]
        and " " not in each
        and len(each) >= 4
        and (distance := OSA.distance(word, each, score_cutoff=allowed)) <= allowed
    ]
    near.sort()
    if not near or (len(near) > 1 and near[0][0] == near[1][0]):
        return None
    return near[0][1]


def nearest(
    scanner: Scanner, word_at: int, known: Sequence[str], meaning: dict[str, str] | None = None
) -> tuple[Guess, ...]:
    """The known words most like the one at `word_at`, each with the line it would make."""
    word = fold(scanner.words[word_at])
    spelled = meaning or {}
    scored = sorted(((OSA.normalized_similarity(word, each), each) for each in known), reverse=True)
    picked = dict.fromkeys(spelled.get(each, each) for score, each in scored if score >= ALIKE)
    return tuple(Guess(each, scanner.instead(word_at, 1, each)) for each in list(picked)[:NEAREST])
