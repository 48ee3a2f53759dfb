"""The words about the diary: classes, what is called off or moved, holidays."""

import re
from dataclasses import replace
from datetime import date, datetime, time

from bot.commands import (
    AddClass,
    CancelClass,
    Command,
    GoAway,
    ListAway,
    ListDiary,
    MoveClass,
    ShowWeek,
    Which,
)
from bot.errors import Guess, MissingWordError, UnclearDateError, UnknownWordError
from bot.grammar.context import Context
from bot.grammar.day_words import DayWords, between
from bot.grammar.draft import Draft
from bot.grammar.plan_words import PlanWords
from bot.grammar.scanner import Scanner
from bot.grammar.vocabulary import FILLERS, MINUTES, minutes_of, only_signs
from bot.when import Finder, Named, NotADateError, WhenError
from bot.when.words import MONTH
from core.apparatus import ApparatusId
from core.fold import fold

EXAMPLES = {
    "class": "class tue 18:00 weekly 50 chair dawn",
    "cancel": "cancel tue",
    "move": "move tue to wed 17:00",
    "away": "away 20 dec to 3 jan",
}
ONE = ("one", "this", "once", "only")
ALL = ("all", "onwards", "always")
AROUND = ("from", "here", "on", "lesson", "the", "my", "")  # words around "all": "all from here"
TO = ("to", "until", "till", "-", "–", "through")
NEXT, LAST = ("next",), ("last",)
DAYS_OF_MONTH = re.compile(  # "24-26 dec"
    rf"^(\d{{1,2}}) ?[-–] ?(\d{{1,2}}) ({MONTH})$", re.IGNORECASE
)
NUMBER = re.compile(r"\d{1,9}")
WEEK_DAYS = 7


def class_(scanner: Scanner, context: Context) -> Command:
    """`class tue 18:00 weekly 50 chair dawn`; without a time first, a plan.

    Raises:
        UserError: no time of day, a word that means nothing, a value said twice.
    """
    days = DayWords(scanner, context)
    if not days.ahead():
        return PlanWords(scanner, context).read()
    draft, apparatus = Draft(), list[ApparatusId]()
    who: list[str] = []
    named = alone = False
    place = ""
    while not scanner.done:
        word = scanner.peek()
        hours = minutes_of(word)  # "1h" is how long it takes, "18h" when it begins
        if not hours and days.take():
            continue
        minutes = MINUTES.fullmatch(word)
        if hours or minutes:
            draft.set_minutes(str(hours) if hours else minutes[1] if minutes else "")
            scanner.take()
        elif word in ("min", "mins", "minutes") or only_signs(word):
            scanner.take()
        elif word == "private":
            alone = True
            scanner.take()
        elif word in ("at", "in") and scanner.peek(1):
            scanner.take()
            place = _to_comma(scanner)
        elif word == "for" and scanner.peek(1):
            named = True
            scanner.take()
            who.append(scanner.take())
        elif not who and (found := scanner.phrase(context.apparatus_words)):
            apparatus.append(context.apparatus_words[found[0]])
            scanner.take(found[1])
        elif word in FILLERS and not who:
            scanner.take()
        else:
            who.append(scanner.take())
    when = days.when()
    if when.minutes and not draft.minutes:
        draft.set_minutes(str(when.minutes))
    return AddClass(
        line=scanner.line,
        start=when.wall,
        rule=when.rule,
        minutes=draft.minutes,
        apparatus=tuple(dict.fromkeys(apparatus)),
        who=" ".join(who).strip(" ,."),
        named=named,
        alone=alone,
        place=place,
    )


def classes(scanner: Scanner, _: Context) -> ListDiary:
    """`classes`, `classes 12`.

    Raises:
        UnknownWordError: any other word.
    """
    number = int(scanner.take()) if NUMBER.fullmatch(scanner.peek()) else None
    if not scanner.done:
        raise UnknownWordError(scanner.raw[scanner.at])
    return ListDiary(number)


def week(scanner: Scanner, context: Context) -> ShowWeek:
    """`week`, `week next`, `week 7 dec`.

    Raises:
        UnknownWordError: any other word.
    """
    day: date | None = None
    if scanner.peek() in (*NEXT, *LAST):
        ahead = 1 if scanner.peek() in NEXT else -1
        scanner.take()
        day = date.fromordinal(context.now.toordinal() + ahead * WEEK_DAYS)
    elif not scanner.done:
        days = DayWords(scanner, context)
        days.take()
        day = days.named().day
    if not scanner.done:
        raise UnknownWordError(scanner.raw[scanner.at])
    return ShowWeek(day)


def cancel(scanner: Scanner, context: Context) -> CancelClass:
    """`cancel tue`, `cancel dawn`, `cancel tue 18:00 all`.

    Raises:
        UserError: nothing says which.
    """
    which, scope = _which(scanner, context)
    if which == Which():
        raise MissingWordError("cancel", EXAMPLES["cancel"])
    return CancelClass(which, scope)


def is_move(scanner: Scanner, context: Context) -> bool:
    """Whether "move" is said of a class in the diary: its day, or another time after "to"."""
    rest = Scanner(scanner.line)
    to = next((k for k, w in enumerate(rest.words) if w == "to" and k > scanner.at + 1), None)
    for at in (scanner.at + 1, None if to is None else to + 1):
        if at is not None and at < len(rest.words):
            rest.at = at
            if DayWords(rest, context, to or -1).ahead():
                return True
    return False


def move(scanner: Scanner, context: Context) -> MoveClass:
    """`move tue to wed 17:00`, `move tue 18:00 to 19:00 all`.

    Raises:
        UserError: nothing says which, or where to.
    """
    which, scope = _which(scanner, context, stop="to")
    if which == Which():
        raise MissingWordError("move", EXAMPLES["move"])
    if scanner.peek() == "to":
        scanner.take()
    days = DayWords(scanner, context)
    days.take()
    named = days.named()
    if named == Named():
        raise MissingWordError(f"move {scanner.line.split(maxsplit=1)[-1]}", EXAMPLES["move"])
    rest, later = _which(scanner, context)
    if rest != Which():
        raise UnknownWordError(scanner.raw[-1])
    weekday = named.day.weekday() if named.day and named.weekday else None
    return MoveClass(which, named.day, named.clock, scope or later, weekday)


def away(scanner: Scanner, context: Context) -> Command:
    """`away 20 dec to 3 jan`, `away fri`, `away`; `away off 12` takes one back.

    Raises:
        UserError: no day, or one that lies before the first.
    """
    if scanner.done:
        return ListAway()
    if scanner.peek() == "off":
        scanner.take()
        number = scanner.take() if NUMBER.fullmatch(scanner.peek()) else ""
        if not number or not scanner.done:
            raise MissingWordError("away", EXAMPLES["away"])
        return ListAway(int(number))
    if scanner.peek() in ("from", "on"):
        scanner.take()
    rest = DAYS_OF_MONTH.sub(r"\1 \3 to \2 \3", scanner.rest())
    begins, ends = between(rest)
    first = _day(begins, context.dates).day
    if first is None:
        raise UnknownWordError(rest)
    last = _last_day(first, ends, context) if ends else first
    if rest.split()[-1].casefold() in TO:
        raise MissingWordError(scanner.line, EXAMPLES["away"])
    if last < first:
        raise UnclearDateError(scanner.line, "that ends before it begins")
    scanner.take(len(scanner.words))
    return GoAway(first, last)


def _last_day(first: date, text: str, context: Context) -> date:
    """The last day of a holiday; "mon" is the one after the first day."""
    dates = context.dates
    said = _day(text, dates)
    if said.weekday:
        begins = datetime.combine(first, time(0), dates.now.tzinfo)
        said = _day(text, replace(dates, now=begins))
    if said.day is None:
        raise UnknownWordError(text)
    return said.day


def _day(text: str, dates: Finder) -> Named:
    """The day that the text names.

    Raises:
        UserError: it is none, or leaves it open.
    """
    try:
        return dates.named(text)
    except WhenError as why:
        guesses = tuple(Guess(each, f"away {each}") for each in why.readings)
        raise UnclearDateError(text, str(why), guesses) from why
    except NotADateError as why:
        raise UnknownWordError(text) from why


def _which(scanner: Scanner, context: Context, stop: str = "") -> tuple[Which, str]:
    """Which lesson, and whether it alone or all from there on."""
    end = next((k for k, w in enumerate(scanner.words) if stop and w == stop), -1)
    days, scope = DayWords(scanner, context, end), ""
    number: int | None = None
    who: list[str] = []
    while not scanner.done and not (stop and scanner.peek() == stop):
        word = scanner.peek()
        if word == "class" and NUMBER.fullmatch(scanner.peek(1)):
            scanner.take()
            number = int(scanner.take())
        elif word in ONE and (not who or _last_words(scanner)):
            scope = "one"
            scanner.take()
        elif word in ALL and (not who or _last_words(scanner)):
            scope = "all"
            scanner.take()
        elif days.take():
            continue
        elif word in AROUND or word in ("class", "for") or only_signs(word):
            scanner.take()
        else:
            who.append(scanner.take())
    named = days.named()
    return Which(number, named.day, named.clock, " ".join(who).strip(" .,")), scope


def _last_words(scanner: Scanner) -> bool:
    """Whether nothing follows but "from here" and the like, so that a word is no part of a name."""
    return all(word in (*AROUND, *ONE, *ALL) for word in scanner.words[scanner.at + 1 :])


def _to_comma(scanner: Scanner) -> str:
    """The words up to a comma or to "for", as typed."""
    words: list[str] = []
    while not scanner.done and not (words and scanner.peek() == "for"):
        at = scanner.at
        words.append(scanner.take())
        end = scanner.starts[at] + len(scanner.raw[at])
        if not scanner.done and "," in scanner.line[end : scanner.starts[scanner.at]]:
            break
    text = " ".join(words).strip(" .")
    if not fold(text):
        raise MissingWordError("at", "class tue 18:00 weekly 50 chair dawn at north studio")
    return text
