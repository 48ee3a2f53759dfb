"""The words of a brief: minutes, apparatus, level, focus, what to do without, who, when."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date, time

from bot.commands import MakePlan
from bot.errors import (
    Guess,
    MissingWordError,
    OutOfRangeError,
    TwiceError,
    UnclearDateError,
    UnknownWordError,
)
from bot.grammar.context import Context
from bot.grammar.scanner import Scanner, nearest
from bot.when import WhenError, join, spot
from core.aims import AIM_WORDS, AIMS, BAR_WORDS, BARS, aim, bar
from core.apparatus import ApparatusId
from core.brief import LONGEST, MOST_PEOPLE, SHORTEST, Aim, Bar
from core.exercise import ExerciseId, Level
from core.fold import fold

LEVELS: Mapping[str, Level | None] = {
    "1": Level.FUNDAMENTAL,
    "2": Level.INTERMEDIATE,
    "3": Level.ADVANCED,
    "one": Level.FUNDAMENTAL,
    "two": Level.INTERMEDIATE,
    "three": Level.ADVANCED,
    "fundamental": Level.FUNDAMENTAL,
    "beginner": Level.FUNDAMENTAL,
    "beginners": Level.FUNDAMENTAL,
    "intermediate": Level.INTERMEDIATE,
    "advanced": Level.ADVANCED,
    "mixed": None,
    "all": None,
}
LEVEL_ALONE = ("fundamental", "beginner", "beginners", "intermediate", "advanced", "mixed")
FOCUS = ("focus", "focusing", "focussed", "focused")
WITHOUT = ("no", "without", "avoid", "not")
MUST = ("with", "must", "include", "including")
FOR = ("for",)
PEOPLE = ("people", "persons", "clients", "ppl")
FILLERS = frozenset(
    "a an the of on at and min mins minute minutes please class plan session group".split()
)
KEYWORDS = ("level", "focus", "without", "with", "for", "people", "private")
MINUTES = re.compile(r"(-?\d+(?:\.\d+)?)(?:m|min|mins|minutes|')?")
HOURS = re.compile(r"([12])h(\d{2})?")  # a class lasts two hours at most; "18h" is a time of day
SPELLED = {
    "fifteen": "15", "twenty": "20", "thirty": "30", "forty": "40", "fifty": "50", "sixty": "60",
    "ninety": "90", "hour": "60",
}  # fmt: skip
SIZE = re.compile(r"(\d+)(?:x|ppl|people)")


@dataclass(slots=True)
class _Draft:
    """What has been read so far."""

    minutes: int | None = None
    apparatus: list[ApparatusId] = field(default_factory=list)
    level: Level | None = None
    level_said: bool = False
    focus: list[Aim] = field(default_factory=list)
    without: list[Bar] = field(default_factory=list)
    must: list[ExerciseId] = field(default_factory=list)
    people: int | None = None
    group: str = ""
    day: date | None = None
    clock: time | None = None


class PlanWords:
    """Reads the words of one brief, in any order."""

    def __init__(self, scanner: Scanner, context: Context) -> None:
        self.words = scanner
        self.context = context
        self.draft = _Draft()
        self.apparatus: dict[str, ApparatusId] = context.apparatus_words

    def read(self) -> MakePlan:
        """The brief, every word of it understood.

        Raises:
            UserError: a word that means nothing, a number out of range, a value given twice.
        """
        readers: tuple[Callable[[], bool], ...] = (
            self._level,
            self._focus,
            self._without,
            self._must,
            self._for,
            self._people,
            self._apparatus,
            self._hours,
            self._when,
            self._minutes,
            self._filler,
        )
        while not self.words.done:
            if not any(reader() for reader in readers):
                raise self._unknown()
        return self._command()

    def _command(self) -> MakePlan:
        d = self.draft
        try:
            starts = join(d.day, d.clock, self.context.now)
        except WhenError as why:
            raise UnclearDateError(self.words.line, str(why)) from why
        return MakePlan(
            line=self.words.line,
            minutes=d.minutes,
            apparatus=tuple(dict.fromkeys(d.apparatus)),
            level=d.level,
            level_said=d.level_said,
            focus=tuple(dict.fromkeys(d.focus)),
            without=tuple(dict.fromkeys(d.without)),
            must=tuple(dict.fromkeys(d.must)),
            people=d.people,
            group=d.group,
            starts=starts,
            read_as=tuple(self.words.read_as.values()),
        )

    def _level(self) -> bool:
        word = self.words.peek()
        short = re.fullmatch(r"l(?:vl|evel)?([123])", word)
        if short:
            return self._set_level(LEVELS[short[1]], word, 1)
        found = self.words.phrase(["level", "lvl", *LEVEL_ALONE])
        if found is None:
            return False
        if found[0] in LEVEL_ALONE:
            return self._set_level(LEVELS[found[0]], found[0], 1)
        after = fold(self.words.peek(1))
        if not after:
            raise MissingWordError("level", "level 2")
        if after not in LEVELS:
            guesses = tuple(
                Guess(f"level {n}", self.words.instead(self.words.at, 2, f"level {n}"))
                for n in (1, 2, 3)
            )
            raise UnknownWordError(f"level {after}", guesses)
        return self._set_level(LEVELS[after], f"level {after}", 2)

    def _set_level(self, level: Level | None, word: str, count: int) -> bool:
        if self.draft.level_said and self.draft.level != level:
            raise TwiceError("level", (str(self.draft.level or "mixed"), word))
        self.draft.level, self.draft.level_said = level, True
        self.words.take(count)
        return True

    def _focus(self) -> bool:
        if self.words.phrase(FOCUS) is None:
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
        if word not in WITHOUT:
            return False
        self.words.take()
        meanings = [b.name for b in BARS] + [a.name for a in AIMS] + [*BAR_WORDS, *AIM_WORDS]
        if self._each(meanings, self._add_without):
            return True
        if self.words.done:
            raise MissingWordError(word, f"{word} wrists")
        movement = self._movement()
        if movement is None:
            raise self._unknown(meanings)
        family = self.context.repertoire[movement].family
        self.draft.without.append(Bar(family, movements=frozenset({family})))
        return True

    def _add_without(self, word: str) -> None:
        found = bar(word)
        if found:
            self.draft.without.append(found)

    def _each(self, meanings: list[str], add: Callable[[str], None]) -> int:
        """Read one meaning after another, "and" and "or" between them; how many there were."""
        count = 0
        while not self.words.done:
            found = self.words.phrase(meanings)
            joined = count and self.words.peek() in ("and", "or", "&", "+")
            if found is None and joined:
                self.words.take()
                continue
            if found is None or (count and self.words.peek() in self.apparatus):
                break
            add(found[0])
            self.words.take(found[1])
            count += 1
        return count

    def _must(self) -> bool:
        if self.words.peek() not in MUST:
            return False
        word = self.words.take()
        if self.words.done:
            raise MissingWordError(word, f"{word} mermaid")
        movement = self._movement()
        if movement is None:
            raise self._unknown()
        self.draft.must.append(movement)
        return True

    def _movement(self) -> ExerciseId | None:
        """The exercise the next one to four words name, the longest reading first."""
        near = self._apparatus_anywhere() or list(self.context.usual_apparatus)
        left = len(self.words.words) - self.words.at
        for size in range(min(4, left), 0, -1):
            typed = " ".join(self.words.words[self.words.at : self.words.at + size])
            found = self.context.names.find(typed, near)
            if found.sure:
                self.words.take(size)
                return found.sure.id
        typed = self.words.peek()
        rivals = self.context.names.find(typed, near).matches
        if rivals:
            guesses = tuple(
                Guess(m.exercise.name, self.words.instead(self.words.at, 1, m.exercise.name))
                for m in rivals
            )
            raise UnknownWordError(typed, guesses)
        return None

    def _apparatus_anywhere(self) -> list[ApparatusId]:
        """The apparatus the line names, before this word or after it."""
        named = [self.apparatus.get(fold(word)) for word in self.words.words]
        return [each for each in named if each]

    def _for(self) -> bool:
        if self.words.peek() not in FOR:
            return False
        if self.words.phrase(["for"]) is None or not self.words.peek(1):
            raise MissingWordError("for", "for dawn")
        after, next_one = self.words.peek(1), self.words.peek(2)
        if re.fullmatch(r"\d+", after) and next_one in PEOPLE:
            self.words.take()
            return self._people()
        if re.fullmatch(r"\d+", after) and (not next_one or next_one in ("min", "mins", "minutes")):
            self.words.take()
            return self._minutes()
        self.words.take()
        name = self.words.take()
        if self.draft.group and fold(self.draft.group) != fold(name):
            raise TwiceError("group", (self.draft.group, name))
        self.draft.group = name.strip(".!?")
        return True

    def _people(self) -> bool:
        word, after = self.words.peek(), self.words.peek(1)
        if word in ("private", "solo"):
            return self._set_people("1", 1)
        together = SIZE.fullmatch(word)
        if together:
            return self._set_people(together[1], 1)
        if re.fullmatch(r"-?\d+", word) and after in PEOPLE:
            return self._set_people(word, 2)
        return False

    def _set_people(self, number: str, count: int) -> bool:
        if not 1 <= int(number) <= MOST_PEOPLE:
            raise OutOfRangeError("people", number, 1, MOST_PEOPLE, "people")
        if self.draft.people not in (None, int(number)):
            raise TwiceError("people", (str(self.draft.people), number))
        self.draft.people = int(number)
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
        left = self.words.words[self.words.at : self.words.at + 3]
        try:
            found = spot(left, self.context.now)
        except WhenError as why:
            raise UnclearDateError(" ".join(left[:2]), str(why)) from why
        if found is None:
            return False
        if found.day:
            if self.draft.day not in (None, found.day):
                raise TwiceError("day", (f"{self.draft.day:%a %d %b}", f"{found.day:%a %d %b}"))
            self.draft.day = found.day
        if found.clock:
            if self.draft.clock not in (None, found.clock):
                raise TwiceError("time", (f"{self.draft.clock:%H:%M}", f"{found.clock:%H:%M}"))
            self.draft.clock = found.clock
        self.words.take(found.words)
        return True

    def _hours(self) -> bool:
        hours = HOURS.fullmatch(self.words.peek())
        if hours is None:
            return False
        return self._set_minutes(str(int(hours[1]) * 60 + int(hours[2] or 0)))

    def _minutes(self) -> bool:
        word = self.words.peek()
        number = MINUTES.fullmatch(SPELLED.get(word, word))
        return number is not None and self._set_minutes(number[1])

    def _set_minutes(self, value: str) -> bool:
        if "." in value or not SHORTEST <= int(value) <= LONGEST:
            raise OutOfRangeError("class", value, SHORTEST, LONGEST, "minutes")
        if self.draft.minutes not in (None, int(value)):
            raise TwiceError("minutes", (str(self.draft.minutes), value))
        self.draft.minutes = int(value)
        self.words.take()
        return True

    def _filler(self) -> bool:
        if self.words.peek() in FILLERS or not self.words.peek():
            self.words.take()
            return True
        return False

    def _unknown(self, meanings: list[str] | None = None) -> UnknownWordError:
        known = meanings or [
            *self.apparatus,
            *KEYWORDS,
            *LEVEL_ALONE,
            *(f"focus {name}" for name in (*AIM_WORDS, *(each.name for each in AIMS))),
        ]
        at = self.words.at
        word = fold(self.words.peek())
        as_focus = aim(word)
        if meanings is None and as_focus:
            leads = tuple(
                Guess(f"{lead} {word}", self.words.instead(at, 1, f"{lead} {word}"))
                for lead in ("focus", "no")
            )
            return UnknownWordError(self.words.raw[at], leads)
        if meanings is None and bar(word):
            line = self.words.instead(at, 1, f"no {word}")
            return UnknownWordError(self.words.raw[at], (Guess(f"no {word}", line),))
        guesses = nearest(self.words, at, known)
        if not guesses and meanings is None and not self.draft.apparatus:
            guesses = tuple(
                Guess(each.name, self.words.instead(at, 1, each.name))
                for each in list(self.context.repertoire.apparatus.values())[:4]
            )
        return UnknownWordError(self.words.raw[at], guesses)
