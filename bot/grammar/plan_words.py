"""The words of a brief: minutes, apparatus, level, focus, what to do without, who, when."""

import re
from collections.abc import Callable

from bot.commands import MakePlan
from bot.errors import Guess, MissingWordError, UnclearDateError, UnknownWordError
from bot.grammar import vocabulary as v
from bot.grammar.context import Context
from bot.grammar.draft import Draft
from bot.grammar.guessing import unknown
from bot.grammar.movement import bars_named, named
from bot.grammar.scanner import Scanner, nearest
from bot.when import MONTHS, WhenError, spot
from core.aims import AIM_WORDS, AIMS, BAR_WORDS, BARS, aim, bar
from core.apparatus import ApparatusId
from core.brief import Bar
from core.exercise import ExerciseId, Level
from core.fold import fold


class PlanWords:
    """Reads the words of one brief, in any order."""

    def __init__(self, scanner: Scanner, context: Context) -> None:
        self.words = scanner
        self.context = context
        self.draft = Draft()
        self.apparatus: dict[str, ApparatusId] = context.apparatus_words

    def read(self) -> MakePlan:
        """The brief, every word of it understood.

        Raises:
            UserError: a word that means nothing, a number out of range, a value given twice.
        """
        wishes = (self._level, self._focus, self._without, self._must, self._for, self._people)
        figures = (self._apparatus, self._hours, self._when, self._minutes, self._filler)
        return self._read(wishes + figures)

    def read_usual(self) -> MakePlan:
        """The brief when only minutes and apparatus may be said.

        Raises:
            UserError: any other word.
        """
        return self._read(
            (self._apparatus, self._hours, self._minutes, self._filler), [*self.apparatus]
        )

    def _read(
        self, readers: tuple[Callable[[], bool], ...], meanings: list[str] | None = None
    ) -> MakePlan:
        while not self.words.done:
            if not any(reader() for reader in readers):
                raise self._unknown(meanings)
        return self.draft.command(self.words, self.context.now)

    def _level(self) -> bool:
        word = self.words.peek()
        short = re.fullmatch(r"l(?:vl|evel)?([123])", word)
        if short:
            return self._set_level(v.LEVELS[short[1]], word, 1)
        found = self.words.phrase(["level", "lvl", *v.LEVEL_ALONE])
        if found is None:
            return False
        if found[0] in v.LEVEL_ALONE:
            return self._set_level(v.LEVELS[found[0]], found[0], 1)
        after = self.words.peek(1)
        if not after:
            raise MissingWordError("level", "level 2")
        if after not in v.LEVELS:
            guesses = tuple(
                Guess(f"level {n}", self.words.instead(self.words.at, 2, f"level {n}"))
                for n in (1, 2, 3)
            )
            raise UnknownWordError(f"level {after}", guesses)
        return self._set_level(v.LEVELS[after], f"level {after}", 2)

    def _set_level(self, level: Level | None, word: str, count: int) -> bool:
        self.draft.set_level(level, word)
        self.words.take(count)
        return True

    def _focus(self) -> bool:
        if self.words.phrase(v.FOCUS) is None:
            return False
        self.words.take()
        if self.words.peek() == "on":
            self.words.take()
        meanings = [each.name for each in AIMS] + list(AIM_WORDS)
        if not self._each(meanings, self._add_focus):
            if self.words.done:
                raise MissingWordError("focus", "focus glutes")
            raise self._unknown(meanings)
        return True

    def _add_focus(self, word: str) -> None:
        found = aim(word)
        if found:
            self.draft.focus.append(found)

    def _without(self) -> bool:
        word = self.words.peek()
        if word not in v.WITHOUT:
            return False
        self.words.take()
        meanings = [b.name for b in BARS] + [a.name for a in AIMS] + [*BAR_WORDS, *AIM_WORDS]
        if self._each(meanings, self._add_without, movements=True):
            return True
        if self.words.done:
            raise MissingWordError(word, f"{word} wrists")
        if self.words.phrase(self.apparatus):
            raise UnknownWordError(f"{word} {self.words.peek()}")
        movement = self._movement(must=False)
        if movement is None:
            raise self._unknown(meanings)
        family = self.context.repertoire[movement].family
        self.draft.without.append(Bar(family, movements=frozenset({family})))
        return True

    def _add_without(self, word: str) -> None:
        found = bar(word)
        if found:
            self.draft.without.append(found)

    def _each(
        self, meanings: list[str], add: Callable[[str], None], *, movements: bool = False
    ) -> int:
        """Read one meaning after another, "and" and "or" between them; how many there were."""
        count = 0
        while not self.words.done and not (count and self.words.peek() in v.CLASS):
            found = self.words.phrase(meanings)
            shortest = found[1] if found else 1
            longer = movements and bars_named(self.words, self.context.repertoire, shortest)
            if longer:
                self.draft.without += longer
                count += 1
                continue
            if found is None and count and self.words.peek() in ("and", "or", "&", "+"):
                self.words.take()
                continue
            if found is None or (count and self.words.peek() in self.apparatus):
                break
            add(found[0])
            self.words.take(found[1])
            count += 1
        return count

    def _must(self) -> bool:
        if self.words.peek() not in v.MUST:
            return False
        word = self.words.take()
        if self.words.done:
            raise MissingWordError(word, f"{word} mermaid")
        if re.fullmatch(r"-?\d+", self.words.peek()) and self.words.peek(1) in v.PEOPLE:
            return self._people()
        if not self._adds_movement():
            if self._apparatus():
                return True
            self._movement(must=True)  # says what could be meant
            raise self._unknown()
        while self.words.peek() in ("and", "&", "+"):
            self.words.take()
            if not self._adds_movement():
                break
        return True

    def _adds_movement(self) -> bool:
        try:
            movement = self._movement(must=True)
        except UnknownWordError:
            return False
        self.draft.must += [movement] if movement else []
        return movement is not None

    def _movement(self, *, must: bool) -> ExerciseId | None:
        """The exercise the next words name, or None."""
        near = self._apparatus_anywhere() or list(self.context.usual_apparatus)
        found = named(self.words, self.context, near)
        if found is None:
            return None
        self.words.take(found.words)
        if must and found.on:
            self.draft.named_with.append(found.on)
        return found.exercise.id

    def _apparatus_anywhere(self) -> list[ApparatusId]:
        """The apparatus the line names, before this word or after it."""
        return [each for word in self.words.words if (each := self.apparatus.get(fold(word)))]
        return [each for word in self.words.words if (each := self.apparatus.get(fold(word)))]

    def _for(self) -> bool:
        """Who it is for; "for 50 min", "for tue" and "for beginners" say something else."""
        if self.words.peek() != v.FOR:
            return False
        self.words.take()
        said_group = False
        while self.words.peek() in (*v.ARTICLES, v.GROUP):
            said_group |= self.words.take().casefold() == v.GROUP
        if not self.words.peek():
            raise MissingWordError(v.FOR, "for dawn")
        if not said_group and self._means_more():
            return True
        self.draft.set_group(self.words.take().strip(".!?()[]\"'“”"))
        return True

    def _means_more(self) -> bool:
        """Whether the next word has a meaning of its own, so that it is no group's name."""
        word = self.words.peek()
        if word in MONTHS and not re.match(r"\d", self.words.peek(1)):
            return False  # June is a name, too
        try:
            dated = spot(self._ahead(), self.context.now) is not None
        except WhenError:
            dated = True
        return (
            dated
            or re.match(r"-?\d", word) is not None
            or word in v.LEVELS
            or word in v.SPELLED
            or word in self.apparatus
            or word in ("private", "solo", *v.ARTICLES, *v.KEYWORDS, *v.WITHOUT)
            or (aim(word) is not None and self.words.peek(1) != v.GROUP)
        )

    def _ahead(self) -> list[str]:
        return self.words.words[self.words.at : self.words.at + 3]

    def _people(self) -> bool:
        word, after = self.words.peek(), self.words.peek(1)
        if word in ("private", "solo"):
            return self._set_people("1", 1)
        if together := v.SIZE.fullmatch(word):
            return self._set_people(together[1], 1)
        if re.fullmatch(r"-?\d+", word) and after in v.PEOPLE:
            return self._set_people(word, 2)
        return False

    def _set_people(self, number: str, count: int) -> bool:
        self.draft.set_people(number)
        self.words.take(count)
        return True

    def _apparatus(self) -> bool:
        if self.words.peek() == "both":
            self.words.take()
            self.draft.apparatus += [ApparatusId("chair"), ApparatusId("mat")]
            return True
        found = self.words.phrase(self.apparatus)
        if found is None:
            return False
        self.draft.apparatus.append(self.apparatus[found[0]])
        self.words.take(found[1])
        return True

    def _when(self) -> bool:
        try:
            found = spot(self._ahead(), self.context.now)
        except WhenError as why:
            at = self.words.at
            raise UnclearDateError(
                " ".join(self.words.raw[at : at + why.words]),
                str(why),
                tuple(Guess(r, self.words.instead(at, why.words, r)) for r in why.readings),
            ) from why
        if found is None:
            return False
        self.draft.set_when(found)
        self.words.take(found.words)
        return True

    def _hours(self) -> bool:
        word, after = self.words.peek(), self.words.peek(1)
        apart = after in v.HOUR_WORDS
        minutes = v.minutes_of(word + after if apart else word)
        return minutes is not None and self._set_minutes(str(minutes), 2 if apart else 1)

    def _minutes(self) -> bool:
        word = self.words.peek()
        number = v.MINUTES.fullmatch(v.SPELLED.get(word, word))
        return number is not None and self._set_minutes(number[1])

    def _set_minutes(self, value: str, count: int = 1) -> bool:
        self.draft.set_minutes(value)
        self.words.take(count)
        return True

    def _filler(self) -> bool:
        if self.words.peek() in v.FILLERS or v.only_signs(self.words.peek()):
            self.words.take()
            return True
        return False

    def _unknown(self, meanings: list[str] | None = None) -> UnknownWordError:
        if meanings:
            near = nearest(self.words, self.words.at, meanings)
            return UnknownWordError(self.words.raw[self.words.at], near)
        names = [each.name for each in self.context.repertoire.apparatus.values()]
        return unknown(self.words, self.apparatus, [] if self._apparatus_anywhere() else names)
