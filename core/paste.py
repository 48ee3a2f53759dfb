"""One line of somebody's class as people write it -> the exercise, repetitions, sets and springs.

Read are bullets, numbers and clock times in front, "10x", "x10", "(5)", "5-8 reps", "2x8", "5 each
side", "R/L", springs as "1@3 + 1@2", "3+2", "2 springs on 3", "1 full 1 half", and remarks behind.
What is left is the exercise's name. Lines that are no exercise are told apart: headings, totals.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum

from core.aims import aim
from core.apparatus import Apparatus, ApparatusId, SpringSetting
from core.errors import SpringError
from core.exercise import Phase
from core.fold import fold
from core.names import EXACT, Found, NameIndex

LEAD = re.compile(
    r"^(?:[^\w(@#\"“]+|\[[ xX]?\]|#+\s|\(?\d{1,2}\s*[.):]\s+|\(?\d{1,2}[.)](?=\D)|[a-h]\)\s*"
    r"|\d{1,2}:\d{2}(?:\s*[-–]\s*\d{1,2}:\d{2})?(?:\s*(?:min|h))?\b[\s.:)-]*)+"
)
SIDES = re.compile(
    r"\b(?:r\s*[/+&]\s*l|l\s*[/+&]\s*r|r then l|l then r|right(?:\s*(?:/|and|&|then)\s*)left"
    r"|left(?:\s*(?:/|and|&|then)\s*)right|both (?:sides|legs|arms|ways)|e/s|e/w)(?=\W|$)"
    r"|\b(?:ea(?:ch)?\.?|per|a|every)\s*(?:side|leg|arm|way|direction|foot|hand|position)s?\b",
    re.I,
)
EACH = re.compile(r"\b(?:ea\.?|each)(?=\W|$)|(?<=\d)ea\b\.?", re.I)
SETS = re.compile(
    r"\b(\d)\s*(?:x|×|sets?\s*(?:of|x|×)?)\s*(\d{1,2})\b(?![@:]|\s*\+|\s*springs?)", re.I
)
RANGE = re.compile(
    r"\b(?:x\s*)?(\d{1,2})\s*(?:-|–|to)\s*(\d{1,2})\s*(?:x|×|reps?|times)?(?!\w)", re.I
)
COUNT = re.compile(
    r"\b(\d{1,3})\s*(?:x|×|reps?|repetitions|times|breaths?|counts?|pumps?|pulses|sets)(?!\w)"
    r"|(?:\bx|×)\s*(\d{1,3})\b|\(\s*(\d{1,3})\s*\)|\b(\d{1,2})/(?:\4)\b",
    re.I,
)
BARE = re.compile(r"^\s*(\d{1,3})\b|[\s:,-](\d{1,3})(?=[\s().]*$|\s*[,;/(]|\s+[-–—]\s)")
HELD = re.compile(
    r"\b(?:hold\s*)?(?!100s)\d{1,3}\s*(?:s|secs?|seconds?|mins?|minutes?|['′\"″])(?!\w)", re.I
)
AT_NOTCH = re.compile(
    r"(\d)?\s*(?:springs?\s*)?(?:@|\bat\b|\bon\b)\s*(?:notch\s*|no\.?\s*)?(\d)\b", re.I
)
SAID = re.compile(
    r"(?<!the )(?<!leg )(?<!arm )(?<!bar )\b(?:springs?|sp)\b\s*[:=]?\s*"
    r"((?:\d\s*[+&]\s*)*\d)\b(?!\s*(?:x|reps?))",
    re.I,
)
PLUS = re.compile(r"\b(\d(?:\s*\+\s*\d){1,3})\b")
KINDS = re.compile(
    r"\b((?:\d\s*)?(?:full|half|quarter)s?(?:\s*(?:\+|and|&|,|\s)\s*(?:\d\s*)?(?:full|half|quarter)s?)*)\b",
    re.I,
)
LETTERS = re.compile(r"\b(\d?[FHQ](?:\s*\+?\s*\d?[FHQ])+|\d[FHQ])\b")
NOISE = re.compile(r"\b(?:springs?|no springs?|spring setting|sets? of|sets?|reps?)\b", re.I)
BEHIND = re.compile(r"\s+[-–—]+\s+|\s*(?://|;|:|,|=>|->|→)\s*|\s+w(?:ith|/)\s+|(?=\()")
TOTAL = re.compile(
    r"^\W*(?:(?:total|sum|time|duration|length|ends?|in all|altogether)\b.*\d.*"
    r"|=?\s*\d{1,3}(?::\d\d)?\s*(?:m|min|mins|minutes|')?\s*(?:total|in all|altogether)?)\W*$",
    re.I,
)
AGAIN = re.compile(
    r"^(?:(?:repeat|same|then|now|and|all|switch|change|swap|on|the|to|with|that)\s+)*"
    r"(?:other|second|left|right|sides?|2nd)(?:\s+(?:side|leg|arm|foot))?$"
)
PHASES: Mapping[str, Phase] = {
    **dict.fromkeys(("warm up", "warmup", "warming up", "opening"), Phase.WARM_UP),
    **dict.fromkeys(("foundation", "foundations", "base", "basics"), Phase.FOUNDATION),
    **dict.fromkeys(
        ("peak", "main", "main part", "main set", "main block", "core of class"), Phase.PEAK
    ),
    **dict.fromkeys(
        ("cool down", "cooldown", "cooling down", "closing", "stretches", "finish"), Phase.COOL_DOWN
    ),
}


class Kind(Enum):
    """What a line is."""

    EXERCISE = "exercise"
    HEADING = "heading"
    ASIDE = "aside"  # a total, "other side"
    NOTHING = "nothing"  # no word in it


@dataclass(frozen=True, slots=True)
class Line:
    """One line as read.

    Attributes:
        name: what is left when everything else has been taken out.
        found: what the name may mean.
        reps: repetitions written, the middle of a range; None when none are.
        springs: as written in the terms of the apparatus, or None.
        phase: the phase that a heading names.
        unread: springs as written that the apparatus does not take.
    """

    text: str
    kind: Kind
    name: str
    found: Found
    reps: int | None = None
    sets: int | None = None
    springs: SpringSetting | None = None
    phase: Phase | None = None
    unread: str = ""


NONE = Found(None, ())


def read(
    text: str,
    names: NameIndex,
    apparatus: Mapping[ApparatusId, Apparatus],
    near: Sequence[ApparatusId],
    heading: str = "",
) -> Line:
    """What one line says.

    Args:
        near: the apparatus of the class.
        heading: the heading it stands under, which may be the first part of its name.
    """
    text = text.strip()
    if not fold(text):
        return Line(text, Kind.NOTHING, "", NONE)
    if TOTAL.match(text):
        return Line(text, Kind.ASIDE, "", NONE)
    titled = _title(text)
    phase = PHASES.get(fold(titled))
    if phase:
        return Line(text, Kind.HEADING, titled, NONE, phase=phase)
    if AGAIN.match(fold(titled)):
        return Line(text, Kind.ASIDE, titled, NONE)
    rest = HELD.sub(" ", LEAD.sub("", text))
    rest = EACH.sub(" ", SIDES.sub(" ", rest))
    reps, sets, rest = _reps(rest)
    count, bare = _bare(rest) if reps is None else (reps, rest)
    springs, unread = None, ""
    name, found = _name(bare, names, near, heading)
    if _score(found) < EXACT or name != _tidy(bare):  # "half" and "spring" are in names, too
        springs, unread, rest = _springs(rest, [apparatus[a] for a in near])
        count, bare = _bare(rest) if reps is None else (reps, rest)
        name, found = _name(bare, names, near, heading)
    reps = count
    if found.sure is None:  # "springs" may be part of the name or stand behind it
        name, found = _name(NOISE.sub(" ", bare), names, near, heading)
    plain = reps is None and springs is None and not unread
    if plain and found.sure is None and _is_heading(text, titled):
        return Line(text, Kind.HEADING, titled, found)
    return Line(text, Kind.EXERCISE, name, found, reps, sets, springs, unread=unread)


def _title(text: str) -> str:
    """The text as a heading: without marks, minutes and numbers around it."""
    bare = re.sub(r"\(?\b\d{1,3}\s*(?:-\s*\d{1,3}\s*)?(?:m|mins?|minutes?|'|%)?\)?\W*$", "", text)
    return LEAD.sub("", bare).strip(" \t-–—:.*_#=()[]|")


def _is_heading(text: str, titled: str) -> bool:
    """Whether a line without repetitions, springs or a sure name is written like a heading."""
    marked = re.match(r"^\s*(?:#+\s|[*_=~-]{2,}\s*\w)", text) is not None
    shouted = titled.isupper() and len(titled) > 2
    return text.endswith(":") or marked or shouted or aim(fold(titled)) is not None


def _reps(text: str) -> tuple[int | None, int | None, str]:
    """Repetitions and sets as written, and the text without them."""
    found = SETS.search(text)
    if found and int(found[2]):
        return int(found[2]), int(found[1]), _cut(text, found)
    found = RANGE.search(text)
    if found and int(found[1]) <= int(found[2]):
        return (int(found[1]) + int(found[2])) // 2, None, _cut(text, found)
    found = COUNT.search(text)
    if found:
        return int(next(g for g in found.groups() if g)), None, _cut(text, found)
    return None, None, text


def _bare(text: str) -> tuple[int | None, str]:
    """A number that stands alone before or behind the name, and the text without it."""
    found = BARE.search(text)
    return (int(found[1] or found[2]), _cut(text, found)) if found else (None, text)


def _cut(text: str, found: re.Match[str]) -> str:
    return text[: found.start()] + " " + text[found.end() :]


def _name(
    text: str, names: NameIndex, near: Sequence[ApparatusId], heading: str
) -> tuple[str, Found]:
    """The name and what it may mean; a remark behind it is left out where that makes it sure."""
    whole = _tidy(text)
    first = names.find(whole, near) if whole else NONE
    if first.sure:
        return whole, first
    for part in _parts(text, heading):
        found = names.find(part, near)
        if found.sure:
            return part, found
        if _score(found) > _score(first):
            whole, first = part, found
    return whole, first


def _score(found: Found) -> float:
    return found.matches[0].score if found.matches else 0.0


def _parts(text: str, heading: str) -> Iterator[str]:
    for cut in BEHIND.finditer(text):
        part = _tidy(text[: cut.start()])
        if len(part) > 2:
            yield part
    without = _tidy(re.sub(r"\([^)]*\)", " ", text))
    if without:
        yield without
        if heading:
            yield f"{heading} {without}"


def _tidy(text: str) -> str:
    bare = re.sub(r"^(?:\W|x\b)+|(?:\W|\bx)+$", "", text)
    return " ".join(bare.split())


def _springs(text: str, near: Sequence[Apparatus]) -> tuple[SpringSetting | None, str, str]:
    """The springs written in a line, what no apparatus takes, and the line without them."""
    near = [each for each in near if each.springs]
    if not near:
        return None, "", text
    at = list(AT_NOTCH.finditer(text)) if any(each.hooks for each in near) else []
    if at:
        tokens = [found[2] for found in at for _ in range(int(found[1] or 1))]
        rest = AT_NOTCH.sub(" ", text).replace("+", " ")
        setting = _first_that_takes(" ".join(tokens), near)
        written = "" if setting else " + ".join(found[0].strip() for found in at)
        return setting, written, rest
    for pattern in (SAID, PLUS, KINDS, LETTERS):
        found = pattern.search(text)
        if found:
            setting = _first_that_takes(_spread(found[1]), near)
            if setting is not None:
                return setting, "", _cut(text, found)
            if pattern is not PLUS:
                return None, found[0].strip(), _cut(text, found)
    return None, "", text


def _spread(text: str) -> str:
    """ "2 full 1 half" as "full full half", "2F+H" as "f f h"."""
    words: list[str] = []
    times = 1
    folded = re.sub(r"(?<=\d)(?=[a-z])|(?<=[a-z])(?=\d)", " ", text.casefold())
    if not re.search("[a-z]", folded):
        return " ".join(re.findall(r"\d", folded))
    for word in re.split(r"[\s+,&]+|\band\b", folded):
        if word.isdigit():
            times = int(word)
        elif word:
            words += [word.rstrip("s") if len(word) > 1 else word] * times
            times = 1
    return " ".join(words)


def _first_that_takes(text: str, near: Sequence[Apparatus]) -> SpringSetting | None:
    for each in near:
        try:
            return each.parse(text)
        except SpringError:
            continue
    return None
