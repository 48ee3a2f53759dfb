"""Which reader reads which word of the diary and of reminders."""

from collections.abc import Callable, Mapping

from bot.commands import Command, ImportCalendar, SendCalendar
from bot.errors import TooLongError, UnknownWordError
from bot.grammar import diary_words, reminder_words
from bot.grammar.context import Context
from bot.grammar.scanner import Scanner, mistyped
from core.fold import fold

Reader = Callable[[Scanner, Context], Command]


LONGEST_FILE = 200_000  # characters of a calendar file


def _class(scanner: Scanner, context: Context) -> Command:
    if fold(scanner.words[0]).startswith("classe"):
        return diary_words.classes(scanner, context)
    return diary_words.class_(scanner, context)


def _by_word(readers: Mapping[str, Reader], scanner: Scanner, context: Context) -> Command:
    """What the reader of the first word makes of the rest, a slip in that word forgiven."""
    word = fold(scanner.words[0])
    reader = readers.get(word) or readers[mistyped(word, readers) or next(iter(readers))]
    return reader(scanner, context)


def _remind(scanner: Scanner, context: Context) -> Command:
    return _by_word(REMINDING, scanner, context)


def _rhythm(scanner: Scanner, context: Context) -> Command:
    return _by_word(RHYTHM, scanner, context)


def pasted_calendar(text: str) -> ImportCalendar:
    """A calendar file after the word import.

    Raises:
        TooLongError: longer than any of hers.
    """
    if len(text) > LONGEST_FILE:
        raise TooLongError(len(text), LONGEST_FILE)
    begins = text.upper().find("BEGIN:VCALENDAR")
    return ImportCalendar(text[begins:] if begins >= 0 else text.partition("\n")[2])


def _calendar(scanner: Scanner, _: Context) -> Command:
    """`calendar`, `calendar names`, `import`.

    Raises:
        UnknownWordError: any other word.
    """
    sending = not fold(scanner.words[0]).startswith("im")
    names = sending and scanner.peek() in ("names", "with")
    if names:
        scanner.take(2 if scanner.peek() == "with" and scanner.peek(1) == "names" else 1)
    if not scanner.done:
        raise UnknownWordError(scanner.raw[scanner.at])
    return SendCalendar(names) if sending else ImportCalendar()


REMINDING: Mapping[str, Reader] = {
    "remind": reminder_words.remind,
    "ask": reminder_words.ask,
    "reminders": reminder_words.reminders,
    "done": reminder_words.done,
    "later": reminder_words.later,
    "pause": reminder_words.pause,
    "resume": reminder_words.resume,
}
RHYTHM: Mapping[str, Reader] = {
    "digest": reminder_words.digest,
    "quiet": reminder_words.quiet,
    "lead": reminder_words.lead,
}
READERS: Mapping[str, Reader] = {
    "class": _class,
    "week": diary_words.week,
    "cancel": diary_words.cancel,
    "away": diary_words.away,
    "remind": _remind,
    "digest": _rhythm,
    "calendar": _calendar,
}
