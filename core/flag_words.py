"""Typed words -> flags, the words that were not understood, and what is left to ask.

"left wrist marked since may, until review 1 mar, says physio" is one flag; "glaucoma and left
knee mild" is two. What nobody knows becomes a flag of the unknown condition, which asks first
whatever is done. No word is dropped: each flag keeps the text it was read from.
"""

from collections.abc import Iterable, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import date
from itertools import pairwise

from core.caution_rule import UNKNOWN, Cautions, Condition, Timed
from core.client import ClientError, Flag, Severity, Side
from core.flag_fields import Fields, read_fields
from core.flag_vocabulary import (
    JOINS,
    LITTLE,
    NEGATIONS,
    SEVERITIES,
    SIDES,
    Vocabulary,
    phrase_at,
    tokens,
    vocabulary_of,
)

# Conditions that are only meant when their words do not belong to another: "spine fracture".
WEAK = frozenset({"serious", "other-part", "jaw", "illness"})
PASSED_OVER = frozenset("any known recent previous new sign signs history more longer".split())
OPERATION = "surgery"  # says nothing more beside a condition that counts weeks after an event


@dataclass(frozen=True, slots=True, repr=False)
class Read:
    """A flag as it was understood.

    Attributes:
        missing: what its rules would like to know: "side", "severity", "weeks", "event", "dates"
            when those given contradict each other, or a group of details such as "approach".
    """

    flag: Flag
    missing: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, repr=False)
class Typed:
    """What a text says.

    Attributes:
        candidates: conditions one of which is meant, when the words fit several.
        unknown: words that were not understood, or that deny a condition.
        guessed: a word as typed -> the word it was read as.
    """

    read: tuple[Read, ...]
    candidates: tuple[Condition, ...] = ()
    unknown: tuple[str, ...] = ()
    guessed: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class _Span:
    places: tuple[int, ...]
    conditions: tuple[Condition, ...]

    @property
    def start(self) -> int:
        return self.places[0]

    @property
    def end(self) -> int:
        return self.places[-1] + 1


@dataclass(frozen=True, slots=True)
class _Details:
    found: tuple[str, ...]
    places: frozenset[int]


def read_flags(text: str, today: date, cautions: Cautions) -> Typed:
    """The flags a text names; days are relative to `today`."""
    known = vocabulary_of(cautions)
    words, guessed, torn = _spelled(tokens(text), known)
    spans = list(_spans(words, known))
    denied = [span for span in spans if _denied(words, span.start)]
    meant = [span for span in spans if span not in denied]
    sure = [span for span in meant if len(span.conditions) == 1]
    details = {span.start: _details(words, span.conditions[0]) for span in sure}
    sure = _kept(sure, details)
    torn += [c for span in meant if len(span.conditions) > 1 for c in span.conditions]
    named = {span.conditions[0].id for span in sure}
    places = {at for span in spans for at in span.places}
    places |= {at for span in sure for at in details[span.start].places}
    unknown: list[str] = []
    reads: list[Read] = []
    for part, span in zip(_parts(words, sure), sure, strict=True):
        condition = span.conditions[0]
        fields = read_fields(words, [at for at in part if at not in places], condition, today)
        read = _read(text, condition, details[span.start].found, fields)
        if reads and "side" in reads[-1].missing and not condition.needs_side:
            reads[-1], read = _side_moved(reads[-1], read)
        reads.append(read)
        unknown += fields.unknown
    in_details = {at for span in sure for at in details[span.start].places}
    no = [span for span in denied if not in_details.issuperset(span.places)]
    unknown += [" ".join(words[span.start - 1 : span.end]) for span in no]
    candidates = tuple(c for c in dict.fromkeys(torn) if c.id not in named)
    if not sure and (candidates or not no):
        nothing = cautions.conditions[UNKNOWN]
        left = [at for at in range(len(words)) if candidates == () or at not in places]
        fields = read_fields(words, left, nothing, today)
        reads.append(_read(text, nothing, (), fields))
        unknown += fields.unknown
    return Typed(_shared(reads), candidates, tuple(dict.fromkeys(unknown)), guessed)


def _spelled(
    typed: Sequence[str], known: Vocabulary
) -> tuple[list[str], tuple[tuple[str, str], ...], list[Condition]]:
    """The words with slips mended, what was mended, and conditions a slip leaves open."""
    words: list[str] = []
    guessed: dict[str, str] = {}
    torn: list[Condition] = []
    for word in typed:
        meant = known.spelled(word)
        words.append(meant[0] if len(meant) == 1 else word)
        if len(meant) > 1:
            torn += [c for each in meant for c in known.aliases.get((each,), ())]
        elif meant[0] not in (word, word.removesuffix("s")):
            guessed[word] = meant[0]
    return words, tuple(guessed.items()), torn


def _spans(words: Sequence[str], known: Vocabulary) -> Iterable[_Span]:
    """Where conditions are named."""
    at = 0
    while at < len(words):
        conditions, places = known.named(words, at)
        if conditions:
            yield _Span(places, conditions)
        at = places[-1] + 1 if places else at + 1


def _denied(words: Sequence[str], start: int) -> bool:
    """Whether a "no" or "not" stands right before, words such as "known" left out of account."""
    at = start - 1
    while at >= 0 and words[at] in LITTLE | PASSED_OVER:
        at -= 1
    return at >= 0 and words[at] in NEGATIONS


def _details(words: Sequence[str], condition: Condition) -> _Details:
    """The details of a condition anywhere in the text; a denied one is read, but not found."""
    found: list[str] = []
    places: set[int] = set()
    phrases = [(tokens(words_), d.id) for d in condition.details for words_ in d.words]
    for phrase, detail in sorted(phrases, key=lambda each: -len(each[0])):
        for at in range(len(words)):
            here = set(range(at, phrase_at(words, phrase, at)))
            if here - places:  # "spine fracture" is no other "fracture"
                places |= here
                if not _denied(words, at) and detail not in found:
                    found.append(detail)
    ordered = (d.id for d in condition.details if d.id in found)
    return _Details(tuple(ordered), frozenset(places))


def _kept(sure: list[_Span], details: dict[int, _Details]) -> list[_Span]:
    """The spans without those whose words only say more about another; each condition once."""
    first = {_id(span): span for span in reversed(sure)}
    sure = [span for span in sure if first[_id(span)] is span]
    timed = [s for s in sure if s.conditions[0].timed is Timed.AFTER and _id(s) != OPERATION]
    return [
        span
        for span in sure
        if not (_id(span) == OPERATION and timed)
        and not (
            _id(span) in WEAK
            and any(details[o.start].places.issuperset(span.places) for o in sure if o is not span)
        )
    ]


def _id(span: _Span) -> str:
    return span.conditions[0].id


def _parts(words: Sequence[str], spans: Sequence[_Span]) -> list[range]:
    """For each span the words that belong to it: up to the last join before the next."""
    if not spans:
        return []
    starts = [0]
    for before, span in pairwise(spans):
        joins = [at for at in range(before.end, span.start) if words[at] in JOINS]
        start = joins[-1] + 1 if joins else span.start
        while not joins and start > before.end and words[start - 1] in SIDES | SEVERITIES:
            start -= 1
        starts.append(start)
    return [range(a, b) for a, b in zip(starts, [*starts[1:], len(words)], strict=True)]


def _read(text: str, condition: Condition, details: tuple[str, ...], said: Fields) -> Read:
    all_details = tuple(dict.fromkeys((*details, *said.details)))
    missing: list[str] = []
    if condition.needs_side and said.side is Side.NONE:
        missing.append("side")
    if said.severity is None and condition.id != UNKNOWN:
        missing.append("severity")
    if condition.timed is Timed.PREGNANCY and said.due is None:
        missing.append("weeks")
    if condition.timed is Timed.AFTER and said.event is None:
        missing.append("event")
    named = {d.group for d in condition.details if d.id in all_details}
    groups = dict.fromkeys(d.group for d in condition.details if d.group)
    missing += [group for group in groups if group not in named]
    bare = Flag(
        condition=condition.id,
        side=said.side,
        severity=said.severity or Severity.MARKED,
        said_by=said.said_by,
        words=text.strip(),
        details=all_details,
    )
    try:
        flag = replace(
            bare,
            since=said.since,
            review=said.review,
            due=said.due,
            event=said.event,
            answered=said.answered,
            answered_by=said.answered_by,
        )
    except ClientError:
        flag = bare
        missing.append("dates")
    return Read(flag, tuple(missing))


def _side_moved(before: Read, after: Read) -> tuple[Read, Read]:
    """The two reads, a side that only the first needs given to it: "knee surgery left"."""
    side = after.flag.side
    if side is Side.NONE:
        return before, after
    rest = tuple(each for each in before.missing if each != "side")
    given = Read(replace(before.flag, side=side), rest)
    return given, replace(after, flag=replace(after.flag, side=Side.NONE))


def _shared(reads: Sequence[Read]) -> tuple[Read, ...]:
    """The reads with the review and speaker of the last where an earlier one has none."""
    if not reads:
        return ()
    last = reads[-1].flag
    shared: list[Read] = []
    for read in reads:
        flag = read.flag
        with suppress(ClientError):  # its own beginning lies after that review
            flag = replace(
                flag, review=flag.review or last.review, said_by=flag.said_by or last.said_by
            )
        shared.append(replace(read, flag=flag))
    return tuple(shared)
