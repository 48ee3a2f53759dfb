"""The words of a class that was taught: how long, how hard, what was skipped, who was how."""

import re

from bot.commands import (
    Command,
    LastClass,
    LogClass,
    NextSteps,
    ResetPace,
    ResetTaste,
    ShowHistory,
    ShowLoad,
    ShowPace,
    ShowTaste,
    UnlogClass,
)
from bot.errors import MissingWordError, OutOfRangeError, TwiceError, UnknownWordError
from bot.grammar.context import Context
from bot.grammar.scanner import Scanner
from core.fold import fold
from core.taught import LEAST_EFFORT, LONGEST_S, MOST_EFFORT, SHORTEST_S

PIECE = re.compile(r"[,;]")
PLAN = re.compile(r"#(\d{1,9})")
NUMBER = re.compile(r"-?\d{1,9}")
EFFORT = ("rpe", "effort")
SKIPPED = ("skipped", "skip", "without", "left")
MINUTES = ("min", "mins", "minutes", "minute")
SMALL = ("the", "class", "plan", "as", "planned", "in", "it", "took", "was", "and", "out", "")
BACK = ("take back", "undo", "not", "forget")
SHORTEST, LONGEST = SHORTEST_S // 60, LONGEST_S // 60


def taught(scanner: Scanner, _: Context) -> Command:
    """`taught`, `taught 48 rpe 5, skipped 7, BO tired`, `taught #12 take back`.

    A bare number is minutes, as it is in a plan; a class is named by # and its number.

    Raises:
        UserError: a number out of its range, or a value given twice.
    """
    plan: int | None = None
    minutes: int | None = None
    rpe: int | None = None
    skipped: list[int] = []
    people: list[str] = []
    for piece in PIECE.split(scanner.rest()):
        words = piece.split()
        while words:
            word = fold(words[0])
            number = PLAN.fullmatch(words[0])
            if number:
                plan = _once("the class", plan, int(number[1]))
            elif word in EFFORT:
                rpe = _once("effort", rpe, _effort(words[1:]))
                words.pop(0)
            elif word in SKIPPED:
                found, words = _places(words[1:])
                skipped += found
                continue
            elif NUMBER.fullmatch(words[0]):
                minutes = _once("minutes", minutes, _minutes(words[0]))
                if len(words) > 1 and fold(words[1]) in MINUTES:
                    words.pop(0)
            elif fold(" ".join(words)) in BACK:
                return UnlogClass(plan)
            elif word not in SMALL:
                people.append(" ".join(words).strip(" ."))
                break
            words.pop(0)
    return LogClass(plan, minutes, rpe, tuple(dict.fromkeys(skipped)), tuple(people))


def last(scanner: Scanner, _: Context) -> LastClass:
    """`last`, `last dawn`."""
    words = scanner.rest().split()
    while words and fold(words[0]) in ("class", "time", "for", "of", "with", ""):
        words.pop(0)
    return LastClass(" ".join(words).strip(" .,:"))


def history(scanner: Scanner, _: Context) -> ShowHistory:
    """`history ANA`, `history dawn`."""
    return ShowHistory(_name("history", "history ANA", scanner))


def load(scanner: Scanner, _: Context) -> ShowLoad:
    """`load`, `load ANA`."""
    return ShowLoad(scanner.rest().strip(" .,:"))


def pace(scanner: Scanner, _: Context) -> Command:
    """`pace`, `pace reset`."""
    return ResetPace() if _reset(scanner) else ShowPace()


def taste(scanner: Scanner, _: Context) -> Command:
    """`taste`, `taste reset`."""
    return ResetTaste() if _reset(scanner) else ShowTaste()


def _reset(scanner: Scanner) -> bool:
    """Whether it is to begin anew.

    Raises:
        UnknownWordError: it says something else.
    """
    if scanner.done:
        return False
    if fold(scanner.peek()) == "reset" and not scanner.peek(1):
        return True
    raise UnknownWordError(scanner.raw[scanner.at])


def next_step(scanner: Scanner, _: Context) -> NextSteps:
    """`next ANA`."""
    return NextSteps(_name("next", "next ANA", scanner))


def _name(verb: str, example: str, scanner: Scanner) -> str:
    rest = scanner.rest().strip(" .,:")
    if fold(rest).startswith("for "):
        rest = rest[4:]
    if not fold(rest):
        raise MissingWordError(verb, example)
    return rest


def _once(what: str, before: int | None, value: int) -> int:
    if before is not None and before != value:
        raise TwiceError(what, (str(before), str(value)))
    return value


def _minutes(typed: str) -> int:
    if not SHORTEST <= int(typed) <= LONGEST:
        raise OutOfRangeError("minutes", typed, SHORTEST, LONGEST, "minutes")
    return int(typed)


def _effort(words: list[str]) -> int:
    if not words or not NUMBER.fullmatch(words[0]):
        raise MissingWordError("rpe", "taught rpe 5")
    if not LEAST_EFFORT <= int(words[0]) <= MOST_EFFORT:
        raise OutOfRangeError("effort", words[0], LEAST_EFFORT, MOST_EFFORT, "for effort")
    return int(words[0])


def _places(words: list[str]) -> tuple[list[int], list[str]]:
    """The numbers that come next, and the words after them."""
    found: list[int] = []
    while words and (NUMBER.fullmatch(words[0]) or fold(words[0]) in ("and", "out", "number", "")):
        if NUMBER.fullmatch(words[0]):
            found.append(int(words[0]))
        words = words[1:]
    if not found:
        raise MissingWordError("skipped", "taught skipped 7")
    return found, words
