"""The words of a line that say when, wherever they stand, read by the date layer as one phrase."""

import re
from dataclasses import dataclass, field
from datetime import time

from bot.errors import Guess, UnclearDateError
from bot.grammar.context import Context
from bot.grammar.scanner import Scanner
from bot.grammar.vocabulary import only_signs
from bot.when import Named, NotADateError, When, WhenError

BETWEEN = re.compile(r"\s+(?:to|until|till|through)\s+|\s+[–-]\s+|(?<=[a-z])[–-]|(?<=:\d\d)[–-]")
MOST = 14  # words of one piece of a date phrase


@dataclass(slots=True)
class DayWords:
    """What a line says of a time, collected piece by piece.

    Attributes:
        stop: place of the word that no piece reaches; -1 for none.
        taken: places of the words that were read.
    """

    scanner: Scanner
    context: Context
    stop: int = -1
    said: list[str] = field(default_factory=list)
    taken: set[int] = field(default_factory=set)

    def take(self) -> bool:
        """Whether the next words say something of a time; they are read then."""
        many = self.ahead()
        if many:
            at = self.scanner.at
            self.said.append(self._text(at, many).removesuffix(","))
            self.taken |= set(range(at, at + many))
            self.scanner.take(many)
        return bool(many)

    def ahead(self) -> int:
        """How many of the next words say something of a time."""
        scanner = self.scanner
        end = self.stop if self.stop > scanner.at else len(scanner.words)
        for many in range(min(MOST, end - scanner.at), 0, -1):
            last = scanner.words[scanner.at + many - 1]
            before = scanner.words[scanner.at + many - 2] if many > 1 else ""
            if only_signs(last) or (last.isdecimal() and before != "at" and len(last) < 4):
                continue  # a bare number is minutes, or a place
            if self.context.dates.tells(self._text(scanner.at, many)):
                return many
        return 0

    @property
    def phrase(self) -> str:
        """All that was said of a time."""
        return " ".join(self.said)

    def when(self) -> When:
        """The moment, or what recurs, with its time of day.

        Raises:
            UnclearDateError: it is open, has passed or can't be.
        """
        dates = self.context.dates
        try:
            found = dates.read(self.phrase)
            if not found.timed:
                raise WhenError("which time of day? Say it like 18:00 or 6pm")
        except WhenError as why:
            raise self._unclear(why) from why
        except NotADateError as why:
            raise UnclearDateError(self.phrase, "say it like tue 18:00 or 3 dec 9:00") from why
        return found

    def named(self) -> Named:
        """The day and the time of day that are said; neither need be to come.

        Raises:
            UnclearDateError: one of them is open or can't be.
        """
        if not self.said:
            return Named()
        try:
            named = self.context.dates.named(self.phrase)
            if named.part:
                raise WhenError("which time of day? Say it like tue 18:00")
            return named
        except WhenError as why:
            raise self._unclear(why) from why
        except NotADateError as why:
            raise UnclearDateError(self.phrase, "say it like tue, or tue 18:00") from why

    def _text(self, at: int, many: int) -> str:
        scanner, last = self.scanner, at + many - 1
        return scanner.line[scanner.starts[at] : scanner.starts[last] + len(scanner.raw[last])]

    def _unclear(self, why: WhenError) -> UnclearDateError:
        """The question, each reading a line with the other words around it."""
        raw, first = self.scanner.raw, min(self.taken)
        before = " ".join(raw[:first])
        after = " ".join(w for k, w in enumerate(raw) if k > first and k not in self.taken)
        guesses = tuple(
            Guess(each, " ".join(f"{before} {each} {after}".split())) for each in why.readings
        )
        return UnclearDateError(self.phrase, str(why), guesses)


def clock_of(text: str, context: Context, line: str, *, sure: bool = False) -> time:
    """The time of day that all of the text says.

    Args:
        line: the whole line, with {} for the time.
        sure: "7:00" is asked about then, as it may be the evening.

    Raises:
        UnclearDateError: it is none, or leaves morning and evening open.
    """
    try:
        return context.dates.clock(text, sure=sure)
    except WhenError as why:
        guesses = tuple(Guess(each, line.format(each)) for each in why.readings)
        raise UnclearDateError(text, str(why), guesses) from why
    except NotADateError as why:
        raise UnclearDateError(text, "say a time of day like 19:00 or 7pm") from why


def between(text: str) -> tuple[str, str]:
    """What stands before and after "to" or a dash; nothing after where there is none."""
    parts = BETWEEN.split(text, maxsplit=1)
    return parts[0].strip(), parts[1].strip() if len(parts) > 1 else ""
