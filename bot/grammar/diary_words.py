"""The words about the diary: classes, what is called off or moved, holidays."""

import re
from dataclasses import replace
from datetime import date

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
from bot.errors import MissingWordError, UnclearDateError, UnknownWordError
from bot.grammar.context import Context
from bot.grammar.dated import Dated, at_once, read_dated, spotted, unclear
from bot.grammar.draft import Draft
from bot.grammar.plan_words import PlanWords
from bot.grammar.scanner import Scanner, nearest
from bot.grammar.vocabulary import FILLERS, MINUTES, only_signs
from bot.when import DAY_WORDS, WhenError, spot
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
NUMBER = re.compile(r"\d{1,9}")
WEEK_DAYS = 7


def class_(scanner: Scanner, context: Context) -> Command:
    """`class tue 18:00 weekly 50 chair dawn`; without a time first, a plan.

    Raises:
        UserError: no time of day, a word that means nothing, a value said twice.
    """
    if not at_once(scanner, context.now):
        return PlanWords(scanner, context).read()
    dated, draft, apparatus = Dated(), Draft(), list[ApparatusId]()
    who: list[str] = []
    named = alone = False
    place = ""
    while not scanner.done:
        word = scanner.peek()
        minutes = MINUTES.fullmatch(word)
        more = _more(dated, scanner, context)
        if more:
            dated = more
        elif minutes:
            draft.set_minutes(minutes[1])
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
        elif not who and (found := scanner.phrase(context.apparatus_words)):
            apparatus.append(context.apparatus_words[found[0]])
            scanner.take(found[1])
        elif word in FILLERS and not who:
            scanner.take()
        else:
            who.append(scanner.take())
    try:
        start = dated.start(context.now)
        rule = dated.whole_rule(start)
    except WhenError as why:
        raise UnclearDateError(scanner.line, str(why)) from why
    return AddClass(
        line=scanner.line,
        start=start,
        rule=rule,
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
        found = spotted(scanner, context.now)
        if found and found.day:
            day = found.day
            scanner.take(found.words)
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
    rest.at = scanner.at + 1
    if at_once(rest, context.now):
        return True
    to = next((k for k, w in enumerate(rest.words) if w == "to" and k > rest.at), None)
    if to is None:
        return False
    rest.at = to + 1
    return at_once(rest, context.now)


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
    weekday = DAY_WORDS.get(scanner.peek(1) if scanner.peek() == "on" else scanner.peek())
    dated = read_dated(scanner, context.now)
    if dated.nothing or dated.rule:
        raise MissingWordError(f"move {scanner.line.split(maxsplit=1)[-1]}", EXAMPLES["move"])
    rest, later = _which(scanner, context)
    if rest != Which():
        raise UnknownWordError(scanner.raw[-1])
    moment = dated.moment
    return MoveClass(
        which,
        moment.date() if moment else dated.day,
        moment.time() if moment else dated.clock,
        scope or later,
        weekday,
    )


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
    found = spotted(scanner, context.now)
    if found is None or found.day is None:
        raise UnknownWordError(scanner.raw[scanner.at])
    first = last = found.day
    scanner.take(found.words)
    if scanner.peek() in TO:
        scanner.take()
        last = _last_day(first, scanner, context)
    if not scanner.done:
        raise UnknownWordError(scanner.raw[scanner.at])
    if last < first:
        raise UnclearDateError(scanner.line, "that ends before it begins")
    return GoAway(first, last)


def _last_day(first: date, scanner: Scanner, context: Context) -> date:
    if scanner.done:
        raise MissingWordError(scanner.line, EXAMPLES["away"])
    now = context.now.replace(year=first.year, month=first.month, day=first.day)
    try:
        found = spot(scanner.words[scanner.at :], now)  # "3 jan" is the one after 20 dec
    except WhenError as why:
        said = spotted(scanner, context.now)
        if said and said.day and said.day < first:
            raise UnclearDateError(scanner.line, "that ends before it begins") from why
        raise unclear(scanner, why) from why
    if found is None or found.day is None:
        raise UnknownWordError(scanner.raw[scanner.at])
    scanner.take(found.words)
    return found.day


def _which(scanner: Scanner, context: Context, stop: str = "") -> tuple[Which, str]:
    """Which lesson, and whether it alone or all from there on."""
    dated, scope = Dated(), ""
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
        elif more := _more(dated, scanner, context):
            dated = more
        elif word in AROUND or word in ("class", "for") or only_signs(word):
            scanner.take()
        else:
            who.append(scanner.take())
    if dated.rule:
        raise UnknownWordError(scanner.line, nearest(scanner, 0, ["cancel", "move"]))
    return Which(number, dated.day, dated.clock, " ".join(who).strip(" .,")), scope


def _last_words(scanner: Scanner) -> bool:
    """Whether nothing follows but "from here" and the like, so that a word is no part of a name."""
    return all(word in (*AROUND, *ONE, *ALL) for word in scanner.words[scanner.at + 1 :])


def _more(dated: Dated, scanner: Scanner, context: Context) -> Dated | None:
    """What was said of the time so far with what the next words say; None when they say nothing."""
    before = scanner.at
    more = read_dated(scanner, context.now)
    if more.nothing:
        scanner.at = before
        return None
    said = {
        name: getattr(more, name) or getattr(dated, name)
        for name in ("day", "clock", "rule", "days", "until", "moment")
    }
    return replace(dated, **said)


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
