"""The words of apparatus and springs: describing, measuring, comparing."""

import re

from bot.commands import (
    DescribeApparatus,
    ForgetApparatus,
    Measure,
    SameAs,
    ShowApparatus,
    ShowSprings,
)
from bot.errors import Guess, MissingWordError, SpringsError, UnknownWordError
from bot.grammar.context import Context
from bot.grammar.scanner import Scanner, nearest
from core.apparatus import Apparatus, ApparatusId, SpringSetting
from core.errors import SpringError
from core.fold import fold
from core.load import KGF_N, LBF_N

WEIGHT = re.compile(r"(\d+(?:[.,]\d+)?)(kg|kgs|kilo|lb|lbs|n)?")
UNIT_KG = {"kg": 1.0, "kgs": 1.0, "kilo": 1.0, "lb": LBF_N / KGF_N, "lbs": LBF_N / KGF_N}
UNIT_KG["n"] = 1 / KGF_N
TOP = ("top", "start", "up")
BOTTOM = ("bottom", "end", "down")


def apparatus(
    scanner: Scanner, context: Context
) -> ShowApparatus | DescribeApparatus | ForgetApparatus:
    """Show her apparatus, or describe one.

    Raises:
        UserError: a word that means nothing, or a number that is missing.
    """
    if scanner.done:
        return ShowApparatus()
    on = _apparatus(scanner, context)
    if scanner.done:
        return ShowApparatus(on)
    word = fold(scanner.peek())
    if word in ("shipped", "forget", "reset"):
        scanner.take()
        _nothing_more(scanner)
        return ForgetApparatus(on)
    if word not in ("springs", "spring"):
        raise UnknownWordError(scanner.raw[scanner.at], nearest(scanner, scanner.at, ["springs"]))
    scanner.take()
    example = "apparatus chair springs 2 notches 4"
    if scanner.done:
        raise MissingWordError("springs", example)
    if re.fullmatch(r"\d{1,3}", scanner.peek()):
        count = int(scanner.take())
        notches = None
        if fold(scanner.peek()) in ("notches", "notch", "hooks"):
            scanner.take()
            if not re.fullmatch(r"\d{1,3}", scanner.peek()):
                raise MissingWordError("notches", example)
            notches = int(scanner.take())
        _nothing_more(scanner)
        return DescribeApparatus(on, count, notches)
    names = tuple(fold(word) for word in scanner.words[scanner.at :])
    scanner.take(len(names))
    return DescribeApparatus(on, names)


def measure(scanner: Scanner, context: Context) -> Measure:
    """What the scale showed: `measure chair 3 9kg top 14kg bottom`.

    Raises:
        UserError: something is missing or means nothing.
    """
    example = "measure chair 3 9kg top 14kg bottom"
    if scanner.done:
        raise MissingWordError("measure", example)
    on = _apparatus(scanner, context)
    described = context.repertoire.apparatus[on]
    if scanner.done:
        raise MissingWordError(described.name, example)
    token = _setting(described, scanner.take())
    if len(token.tokens) != 1:
        raise SpringsError("measure one spring at a time")
    values: dict[str, float] = {}
    while not scanner.done:
        number = WEIGHT.fullmatch(scanner.peek())
        if number is None:
            guesses = nearest(scanner, scanner.at, ["top", "bottom"])
            raise UnknownWordError(scanner.raw[scanner.at], guesses)
        scanner.take()
        unit = number[2] or (scanner.take().casefold() if scanner.peek() in UNIT_KG else "kg")
        kg = float(number[1].replace(",", ".")) * UNIT_KG[unit]
        where = fold(scanner.peek())
        if where not in (*TOP, *BOTTOM):
            raise MissingWordError(number[0], example)
        values["top" if where in TOP else "bottom"] = kg
        scanner.take()
    if len(values) < 2:
        raise MissingWordError("measure", example)
    return Measure(on, token.tokens[0], values["top"], values["bottom"])


def same(scanner: Scanner, context: Context) -> SameAs:
    """`same as reformer full half on chair`.

    Raises:
        UserError: something is missing or means nothing.
    """
    example = "same as reformer full half on chair"
    if fold(scanner.peek()) == "as":
        scanner.take()
    if scanner.done:
        raise MissingWordError("same as", example)
    first = _apparatus(scanner, context)
    words: list[str] = []
    while not scanner.done and fold(scanner.peek()) != "on":
        words.append(scanner.take())
    scanner.take()
    if not words or scanner.done:
        raise MissingWordError("same as", example)
    setting = _setting(context.repertoire.apparatus[first], " ".join(words))
    second = _apparatus(scanner, context)
    _nothing_more(scanner)
    return SameAs(first, setting, second)


def springs(scanner: Scanner, context: Context) -> ShowSprings:
    """`springs 3+2`, on the apparatus named or the usual one.

    Raises:
        UserError: no setting, or one the apparatus can't take.
    """
    if scanner.done:
        raise MissingWordError("springs", "springs chair 3+2")
    named = scanner.phrase(context.apparatus_words)
    if named:
        on = context.apparatus_words[named[0]]
        scanner.take(named[1])
    else:
        on = _that_takes(" ".join(scanner.raw[scanner.at :]), context)
    if scanner.done:
        raise MissingWordError("springs", "springs chair 3+2")
    text = " ".join(scanner.raw[scanner.at :])
    return ShowSprings(on, _setting(context.repertoire.apparatus[on], text))


def _that_takes(text: str, context: Context) -> ApparatusId:
    """The usual apparatus, or else the first that can be set so."""
    sprung = [a for a in context.repertoire.apparatus.values() if a.springs]
    usual = [a for a in sprung if a.id in context.usual_apparatus]
    for each in (*usual, *sprung):
        try:
            each.parse(text)
        except SpringError:
            continue
        return each.id
    return (usual or sprung)[0].id


def _apparatus(scanner: Scanner, context: Context) -> ApparatusId:
    found = scanner.phrase(context.apparatus_words)
    if found is None:
        guesses = tuple(
            Guess(a.name, scanner.instead(scanner.at, 1, a.name))
            for a in context.repertoire.apparatus.values()
            if a.springs
        )
        raise UnknownWordError(scanner.raw[scanner.at], guesses)
    scanner.take(found[1])
    return context.apparatus_words[found[0]]


def _setting(on: Apparatus, text: str) -> SpringSetting:
    try:
        return on.parse(text)
    except SpringError as fault:
        raise SpringsError(str(fault)) from fault


def _nothing_more(scanner: Scanner) -> None:
    if not scanner.done:
        raise UnknownWordError(scanner.raw[scanner.at])
