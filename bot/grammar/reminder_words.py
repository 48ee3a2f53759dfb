"""The words about reminders: what to say when, questions about somebody, quiet hours."""

import re

from bot.commands import (
    AskLater,
    Command,
    Done,
    Later,
    ListReminders,
    Pause,
    Remind,
    Resume,
    SetDigest,
    SetLead,
    SetQuiet,
    ShowDigest,
    ShowRhythm,
)
from bot.errors import Guess, MissingWordError, UnclearDateError, UnknownWordError
from bot.grammar.context import Context
from bot.grammar.day_words import between, clock_of
from bot.grammar.scanner import Scanner
from bot.grammar.vocabulary import only_signs
from bot.when import NotADateError, When, WhenError
from core.fold import fold

EXAMPLES = {
    "remind": "remind me fri 9am order springs",
    "ask": "ask ANA in 2 days about the knee",
    "done": "done 12",
    "later": "later 12 tomorrow 9:00",
    "quiet": "quiet 22:00 to 7:00",
    "digest": "digest 19:00",
    "lead": "lead 30 min",
}
OFF = ("off", "never", "none", "no", "stop")
NUMBER = re.compile(r"#?(\d{1,9})")
SPAN = re.compile(r"(\d{1,4})(m|min|mins|minutes?|h|hr|hrs|hours?)?")
HOUR = 60


def remind(scanner: Scanner, context: Context) -> Command:
    """`remind me fri 9am order springs`, `remind me every mon 8:00 laundry`, `remind me WHEN | …`.

    Raises:
        UserError: no time, nothing to say, or a word left over before the bar.
    """
    if scanner.peek() == "me":
        scanner.take()
    if scanner.done:
        raise MissingWordError("remind me", EXAMPLES["remind"])
    when, text = _dated_text(scanner, context)
    return Remind(when.wall, text, when.rule)


def ask(scanner: Scanner, context: Context) -> AskLater:
    """`ask ANA in 2 days about the knee`, `ask ANA about the knee on fri`.

    Raises:
        UserError: nobody, no time, or nothing to ask.
    """
    words = scanner.raw[scanner.at :]
    folded = scanner.words[scanner.at :]
    about = folded.index("about", 1) if "about" in folded[1:] else len(words)
    try:
        found = context.dates.after_name(words[:about])
    except WhenError as why:
        after = " ".join(["", *words[about:]])
        raise unclear_date(scanner, why.inside("", after)) from why
    if found:
        text = " ".join([found.rest.removeprefix(found.before), *words[about:]]).strip()
        return _asked(found.before, found.when, _about(text, f"ask {found.before}"))
    if about == len(words):
        raise MissingWordError("ask", EXAMPLES["ask"])
    scanner.at += about + 1
    when, text = _dated_text(scanner, context)
    return _asked(" ".join(words[:about]), when, text)


def reminders(scanner: Scanner, _: Context) -> ListReminders:
    """`reminders`."""
    _end(scanner)
    return ListReminders()


def done(scanner: Scanner, _: Context) -> Done:
    """`done 12`."""
    return Done(_number("done", scanner, last=True))


def later(scanner: Scanner, context: Context) -> Later:
    """`later 12 1h`, `later 12 tomorrow`, `later 12 fri 9:00`; `later 12` asks when.

    Raises:
        UserError: no number, or a word that is no time.
    """
    number = _number("later", scanner)
    if scanner.done:
        return Later(number)
    line = f"in {scanner.rest()}" if SPAN.fullmatch(scanner.peek()) else scanner.rest()
    try:
        when = context.dates.read(line)
    except WhenError as why:
        raise unclear_date(scanner, why) from why
    except NotADateError:
        raise UnknownWordError(line) from None
    if when.rule:
        raise UnknownWordError(line)
    return Later(number, when.wall)


def pause(scanner: Scanner, _: Context) -> Pause:
    """`pause`, `pause 12`."""
    return Pause(_maybe_number(scanner))


def resume(scanner: Scanner, _: Context) -> Resume:
    """`resume`, `resume 12`."""
    return Resume(_maybe_number(scanner))


def quiet(scanner: Scanner, context: Context) -> Command:
    """`quiet 22:00 to 7:00`, `quiet off`, `quiet`.

    Raises:
        UserError: two times are needed.
    """
    if scanner.done:
        return ShowRhythm()
    if scanner.peek() in OFF:
        scanner.take()
        _end(scanner)
        return SetQuiet(None)
    first, last = between(scanner.rest().removeprefix("from ").removeprefix("From "))
    if not last:
        raise MissingWordError("quiet", EXAMPLES["quiet"])
    begin = clock_of(first, context, "quiet {} to 7:00")
    end = clock_of(last, context, f"quiet {begin:%H:%M} to {{}}")
    scanner.take(len(scanner.words))
    if begin == end:
        raise UnclearDateError(scanner.line, "quiet hours begin and end at different times")
    return SetQuiet((begin, end))


def digest(scanner: Scanner, context: Context) -> Command:
    """`digest 19:00`, `digest off`, `digest`.

    Raises:
        UserError: no time of day.
    """
    if scanner.done:
        return ShowDigest()
    if scanner.peek() in OFF:
        scanner.take()
        _end(scanner)
        return SetDigest(None)
    clock = clock_of(scanner.rest(), context, "digest {}", sure=True)
    scanner.take(len(scanner.words))
    return SetDigest(clock)


def lead(scanner: Scanner, _: Context) -> Command:
    """`lead 30 min`, `lead 1 h`, `lead off`, `lead`.

    Raises:
        UserError: no number of minutes.
    """
    if scanner.done:
        return ShowRhythm()
    if scanner.peek() in OFF:
        scanner.take()
        _end(scanner)
        return SetLead(None)
    words = "".join(scanner.words[scanner.at :]).removesuffix("before")
    span = SPAN.fullmatch(words)
    if span is None:
        raise MissingWordError("lead", EXAMPLES["lead"])
    hours = (span[2] or "").startswith("h")
    return SetLead(int(span[1]) * (HOUR if hours else 1))


def _dated_text(scanner: Scanner, context: Context) -> tuple[When, str]:
    """When and what: the time before a bar, at the beginning, or at the end.

    Raises:
        UserError: no time, one that is unclear, or nothing to say.
    """
    try:
        found = context.dates.find(scanner.rest())
    except WhenError as why:
        raise unclear_date(scanner, why) from why
    if found is None:
        raise UnclearDateError(
            scanner.line, "I find no time in it; say it like fri 9am, at 18:00 or in 20 minutes"
        )
    return found.when, _about(found.rest, scanner.line)


def unclear_date(scanner: Scanner, why: WhenError) -> UnclearDateError:
    """The question about the rest of the line, with each reading as a whole line."""
    before = " ".join(scanner.raw[: scanner.at])
    guesses = tuple(Guess(each, f"{before} {each}") for each in why.readings)
    return UnclearDateError(scanner.rest() or scanner.line, str(why), guesses)


def _asked(name: str, when: When, text: str) -> AskLater:
    name = name.strip(" ,:")
    if not fold(name):
        raise MissingWordError("ask", EXAMPLES["ask"])
    if not fold(text):
        raise MissingWordError(f"ask {name}", EXAMPLES["ask"])
    return AskLater(name, when.wall, text, when.rule)


def _about(text: str, after: str = "remind me") -> str:
    """The text without the small word that leads to it.

    Raises:
        MissingWordError: nothing is left of it.
    """
    words = text.strip(" ,:|").split(maxsplit=1)
    if len(words) > 1 and words[0].casefold() in ("to", "about", "that", "how"):
        keep = words[0].casefold() == "how"
        words = words if keep else words[1:]
    said = " ".join(words).strip(" ,")
    if not fold(said):
        raise MissingWordError(after, EXAMPLES["remind"])
    return said


def _number(verb: str, scanner: Scanner, *, last: bool = False) -> int:
    found = NUMBER.fullmatch(scanner.peek())
    if found is None:
        raise MissingWordError(verb, EXAMPLES[verb])
    scanner.take()
    if last:
        _end(scanner)
    return int(found[1])


def _maybe_number(scanner: Scanner) -> int | None:
    found = NUMBER.fullmatch(scanner.peek())
    if found or scanner.peek() in ("all", "everything", "reminders"):
        scanner.take()
    _end(scanner)
    return int(found[1]) if found else None


def _end(scanner: Scanner) -> None:
    while not scanner.done and only_signs(scanner.peek()):
        scanner.take()
    if not scanner.done:
        raise UnknownWordError(scanner.raw[scanner.at])
