"""What was typed -> exercises, each with a score and its rivals.

Four ways of mistyping are scored apart and the best counts: letters, order of words, missing
spaces, beginnings of words. The thresholds keep ordinary words from becoming exercises.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from rapidfuzz import fuzz, process
from rapidfuzz.distance import OSA

from core.apparatus import ApparatusId
from core.exercise import Exercise, ExerciseId
from core.fold import fold
from core.repertoire import Repertoire

SURE = 88.0  # accepted without asking ...
LEAD = 6.0  # ... only when the next is this far behind (both house choices, tuned on typed forms)
WORTH_ASKING = 60.0
SHOWN = 4  # rivals offered as buttons


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
        self._exercises = repertoire.exercises
        self._apparatus: dict[str, ApparatusId] = {
            fold(word): each.id
            for each in repertoire.apparatus.values()
            for word in (each.id, each.name, *each.aliases)
        }
        self._names: list[str] = []
        self._owners: list[ExerciseId] = []
        for e in repertoire.exercises.values():
            for name in dict.fromkeys(fold(n) for n in (e.name, e.short, *e.aliases)):
                self._names.append(name)
                self._owners.append(e.id)
        self._packed = [name.replace(" ", "") for name in self._names]
        self._sorted = [" ".join(sorted(name.split())) for name in self._names]
        self._words = [name.split() for name in self._names]

    def find(self, typed: str, near: Sequence[ApparatusId] = ()) -> Found:
        """What `typed` may name; `near` are apparatus in use, which win between equals.

        An apparatus named beside the exercise ("pike chair") narrows the search to it.
        """
        text = fold(typed)
        if not text:
            return Found(None, ())
        bare, named = self._split(text)
        best = self._scores(text)
        if named is not None and bare:
            for owner, score in self._scores(bare).items():
                if self._exercises[owner].apparatus == named:
                    best[owner] = max(best.get(owner, 0.0), score)
            best = {k: v for k, v in best.items() if self._exercises[k].apparatus == named}
        wanted = set(near)
        order = {owner: k for k, owner in enumerate(self._exercises)}
        matches = sorted(
            (
                Match(self._exercises[owner], score)
                for owner, score in best.items()
                if score >= WORTH_ASKING
            ),
            key=lambda m: (-m.score, m.exercise.apparatus not in wanted, order[m.exercise.id]),
        )
        return Found(self._sure(matches, wanted), tuple(matches[:SHOWN]))

    def _sure(self, matches: Sequence[Match], near: set[ApparatusId]) -> Exercise | None:
        if not matches or matches[0].score < SURE:
            return None
        top = matches[0]
        if near:
            local = [m for m in matches if m.exercise.apparatus in near]
            if local and local[0].score >= top.score:
                matches, top = local, local[0]
        rival = matches[1].score if len(matches) > 1 else 0.0
        exact = top.score >= 100.0 > rival
        return top.exercise if exact or top.score - rival >= LEAD else None

    def _split(self, text: str) -> tuple[str, ApparatusId | None]:
        """The text without an apparatus word, and the apparatus it named."""
        words = text.split()
        for size in (2, 1):
            for at in range(len(words) - size, -1, -1):
                named = self._apparatus.get(" ".join(words[at : at + size]))
                if named:
                    rest = [w for w in words[:at] + words[at + size :] if w not in ("on", "the")]
                    return " ".join(rest), named
        return text, None

    def _scores(self, text: str) -> dict[ExerciseId, float]:
        """Best score of each exercise that has any."""
        packed, ordered = text.replace(" ", ""), " ".join(sorted(text.split()))
        plain = process.cdist([text], self._names, scorer=fuzz.ratio, score_cutoff=45)[0]
        joined = process.cdist([packed], self._packed, scorer=fuzz.ratio, score_cutoff=45)[0]
        by_word = process.cdist([ordered], self._sorted, scorer=fuzz.ratio, score_cutoff=45)[0]
        best: dict[ExerciseId, float] = {}
        words = text.split()
        for k, owner in enumerate(self._owners):
            score = max(float(plain[k]), 0.97 * float(joined[k]), 0.96 * float(by_word[k]))
            if self._names[k] == text:
                score = 100.0
            elif len(text) >= 4 and OSA.distance(text, self._names[k], score_cutoff=1) <= 1:
                score = max(score, 93.0)
            score = max(score, _beginnings(words, self._words[k]))
            if score > best.get(owner, 0.0):
                best[owner] = min(score, 100.0)
        return best


def _beginnings(typed: Sequence[str], name: Sequence[str]) -> float:
    """High when every typed word begins a word of the name, in order: "tend str", "sl kick"."""
    if sum(map(len, typed)) < 4:
        return 0.0
    at = matched = 0
    for word in typed:
        while at < len(name) and not name[at].startswith(word):
            at += 1
        if at == len(name):
            return 0.0
        matched += 1
        at += 1
    covered = sum(map(len, typed)) / sum(map(len, name))
    return 80.0 + 8.0 * matched / len(name) + 6.0 * covered


@lru_cache(maxsize=64)
def index_of(repertoire: Repertoire) -> NameIndex:
    """The index of a repertoire, made once for each."""
    return NameIndex(repertoire)
