"""What was typed -> exercises, each with a score and its rivals.

Four ways of mistyping are scored apart and the best counts: letters, words (their order, their
abbreviations), missing spaces, beginnings of words. What is accepted without asking is narrower
than what is offered: ordinary words lie one letter from an exercise ("money", "calm", "look").
"""

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from rapidfuzz import fuzz, process
from rapidfuzz.distance import OSA

from core.apparatus import ApparatusId
from core.exercise import Exercise
from core.fold import fold
from core.repertoire import Repertoire

SURE = 88.0  # accepted without asking ...
LEAD = 6.0  # ... only when the next is this far behind (both house choices, tuned on typed forms)
DOUBTFUL = 86.0  # the most that half-typed words reach, so that they are asked about
WORTH_ASKING = 60.0
SHOWN = 4  # rivals offered as buttons
LEAST = 45.0  # scores below are not worth comparing

EXACT, CANONICAL, ONE_LETTER = 100.0, 97.0, 93.0
NAMED_WHOLE = 90.0  # so like a name of another apparatus that the apparatus word is part of it
JOINED, REORDERED = 0.97, 0.96  # what a match without spaces, or by words, keeps of its score
SURE_LETTERS = 9  # a single word that is not quite a name is accepted from this length on
SURE_WORD = 3  # and beginnings of words if each has so many letters ...
SURE_PART = 0.75  # ... or this part of the name is typed
LITTLE = frozenset("a an at in of on the to with".split())

# What people shorten or say in two ways -> one form, used on both sides.
SAME: dict[str, str] = {
    "1": "one", "single": "one", "sgl": "one", "2": "two", "double": "two", "dbl": "two",
    "sl": "one leg", "dl": "two leg", "sll": "one leg", "100": "hundred", "100s": "hundred",
    "str": "stretch", "strech": "stretch", "prep": "preparation", "ext": "extension",
    "rot": "rotation", "ham": "hamstring", "hammy": "hamstring", "hams": "hamstring",
    "abs": "abdominal", "ab": "abdominal", "fw": "footwork", "ft": "foot", "bk": "back",
    "rev": "reverse", "kn": "kneeling", "kneel": "kneeling", "std": "standing",
    "stand": "standing", "circ": "circle", "pushup": "push up", "pullup": "pull up",
    "rollup": "roll up", "rolldown": "roll down", "rollback": "roll back", "situp": "sit up",
    "rollover": "roll over", "lat": "lateral", "sq": "squat", "tri": "triceps", "bi": "biceps",
    "tricep": "triceps", "bicep": "biceps", "mtn": "mountain", "w": "with", "hf": "hip flexor",
    "thru": "through", "exp": "expansion", "lb": "long box", "sb": "short box",
    "jb": "jump board", "jumpboard": "jump board", "fis": "foot in strap", "legged": "leg",
    "rotating": "rotation", "twisting": "twist", "turn": "twist", "fig": "figure", "4": "four",
}  # fmt: skip
# Short for an apparatus beside its own aliases.
ALSO_APPARATUS: dict[str, str] = {"ref": "reformer", "rfmr": "reformer", "reformers": "reformer"}

Scores = NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class Match:
    """An exercise that may have been meant; `score` runs from 0 to 100."""

    exercise: Exercise
    score: float


@dataclass(frozen=True, slots=True)
class Found:
    """What a typed name may mean, best first; `sure` is set when only one can be meant."""

    sure: Exercise | None
    matches: tuple[Match, ...]


class NameIndex:
    """The names of a repertoire, folded once."""

    def __init__(self, repertoire: Repertoire) -> None:
        self._exercises = tuple(repertoire.exercises.values())
        self._on = [e.apparatus for e in self._exercises]
        self._apparatus: dict[str, ApparatusId] = {
            fold(word): each.id
            for each in repertoire.apparatus.values()
            for word in (each.id, each.name, *each.aliases)
        }
        for word, name in ALSO_APPARATUS.items():
            if ApparatusId(name) in repertoire.apparatus:
                self._apparatus.setdefault(word, ApparatusId(name))
        self._names: list[str] = []
        self._starts: list[int] = []  # exercise -> where its names begin
        for e in self._exercises:
            self._starts.append(len(self._names))
            self._names += dict.fromkeys(fold(n) for n in (e.name, e.short, *e.aliases))
        self._packed = [name.replace(" ", "") for name in self._names]
        self._words = [name.split() for name in self._names]
        self._canon = [_canonical(words) for words in self._words]
        self._exact: defaultdict[str, list[int]] = defaultdict(list)
        holders: defaultdict[str, set[int]] = defaultdict(set)
        for k, words in enumerate(self._words):
            self._exact[self._names[k]].append(k)
            for word in words:
                holders[word].add(k)
        self._vocabulary = sorted(holders)
        self._holders = [holders[word] for word in self._vocabulary]

    def find(self, typed: str, near: Sequence[ApparatusId] = ()) -> Found:
        """What `typed` may name; `near` are apparatus in use, which win between equals.

        An apparatus named beside the exercise ("pike chair") narrows the search to it.
        """
        text = fold(typed)
        if not text:
            return Found(None, ())
        best = self._scores(text)
        bare, named = self._split(text)
        on = self._on
        if named is not None and bare:
            narrowed = np.where([each == named for each in on], self._scores(bare), 0)
            if best.max() >= EXACT:  # the apparatus is part of a name
                narrowed = np.minimum(narrowed, EXACT - 1)
            whole = np.where([each == named for each in on], best, best * (best >= NAMED_WHOLE))
            best = np.maximum(narrowed, whole).astype(np.float32)
        wanted = set(near)
        order = sorted(
            np.flatnonzero(best >= WORTH_ASKING).tolist(),
            key=lambda k: (-best[k], on[k] not in wanted, k),
        )
        matches = [Match(self._exercises[k], float(best[k])) for k in order]
        said = bare if named is not None and bare else text
        lone = " " not in said and len(said) < SURE_LETTERS
        sure = _sure(matches, wanted, CANONICAL if lone else SURE)
        return Found(sure, tuple(matches[:SHOWN]))

    def _split(self, text: str) -> tuple[str, ApparatusId | None]:
        """The text without an apparatus word, and the apparatus it named."""
        words = text.split()
        for size in (2, 1):
            for at in range(len(words) - size, -1, -1):
                named = self._apparatus.get(" ".join(words[at : at + size]))
                if named:
                    before = words[:at]
                    while before and before[-1] in LITTLE:
                        before.pop()
                    return " ".join(before + words[at + size :]), named
        return text, None

    def _scores(self, text: str) -> Scores:
        """The best score of each exercise."""
        words = text.split()
        plain = _ratios(text, self._names)
        joined = _ratios(text.replace(" ", ""), self._packed)
        canonical = _canonical(words)
        by_word = _ratios(canonical, self._canon)
        scores = np.maximum(plain, np.maximum(JOINED * joined, REORDERED * by_word))
        scores = np.minimum(scores, CANONICAL - 0.5)
        for k in np.flatnonzero(plain >= 70).tolist():
            if len(text) >= 4 and OSA.distance(text, self._names[k], score_cutoff=1) <= 1:
                scores[k] = max(scores[k], ONE_LETTER)
        for k in self._beginning(words):
            scores[k] = max(scores[k], _beginnings(words, self._words[k]))
        same = (joined >= EXACT) | ((by_word >= EXACT) & (len(words) > 1))
        scores = np.where(same, CANONICAL, scores)
        for other in (text + "s", text.removesuffix("s")) if len(text) > 4 else ():
            for k in self._exact.get(other, ()):
                scores[k] = CANONICAL
        for k in self._exact.get(text, ()):
            scores[k] = EXACT
        best: Scores = np.maximum.reduceat(scores, self._starts).astype(np.float32)
        return best

    def _beginning(self, words: Sequence[str]) -> set[int]:
        """The names that have, for each typed word, a word that begins with it."""
        found: set[int] | None = None
        for word in words:
            low = bisect_left(self._vocabulary, word)
            high = bisect_left(self._vocabulary, word + chr(0x10FFFF))
            holders = set[int]().union(*self._holders[low:high])
            found = holders if found is None else found & holders
            if not found:
                break
        return found or set()


def _ratios(text: str, names: Sequence[str]) -> Scores:
    found: Scores = process.cdist([text], names, scorer=fuzz.ratio, score_cutoff=LEAST)[0]
    return found


def _canonical(words: Sequence[str]) -> str:
    """The words that tell movements apart, in one spelling and one order."""
    spelled = " ".join(SAME.get(word, word) for word in words if word not in LITTLE).split()
    bare = (w[:-1] if len(w) > 3 and w.endswith("s") and w[-2] not in "su" else w for w in spelled)
    return " ".join(sorted(SAME.get(word, word) for word in bare))


def _beginnings(typed: Sequence[str], name: Sequence[str]) -> float:
    """High when every typed word begins a word of the name, in order: "tend str", "sl kick"."""
    letters = sum(map(len, typed))
    if letters < 4:
        return 0.0
    at = 0
    for word in typed:
        while at < len(name) and not name[at].startswith(word):
            at += 1
        if at == len(name):
            return 0.0
        at += 1
    covered = letters / sum(map(len, name))
    score = 80.0 + 8.0 * len(typed) / len(name) + 6.0 * covered
    whole = len(typed) > 1 and min(map(len, typed)) >= SURE_WORD
    return score if whole or covered >= SURE_PART else min(score, DOUBTFUL)


def _sure(matches: Sequence[Match], near: set[ApparatusId], least: float) -> Exercise | None:
    if not matches or matches[0].score < least:
        return None
    top = matches[0]
    local = [m for m in matches if m.exercise.apparatus in near]
    if local and local[0].score >= top.score:
        matches, top = local, local[0]
    rival = matches[1].score if len(matches) > 1 else 0.0
    exact = top.score >= EXACT > rival
    return top.exercise if exact or top.score - rival >= LEAD else None


@lru_cache(maxsize=64)
def index_of(repertoire: Repertoire) -> NameIndex:
    """The index of a repertoire, made once for each."""
    return NameIndex(repertoire)
