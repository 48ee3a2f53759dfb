"""Somebody's class as free text, one exercise a line -> steps, and the words not understood.

Read are the ways people write: bullets and numbers in front, "10x", "x10", "(5)", "5-8 reps",
"ea.", "R/L", springs as "1@3 + 1@2", "3+2", "2 springs on 3". What is left is the exercise's name.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from core.apparatus import Apparatus, ApparatusId, SpringSetting
from core.errors import SpringError
from core.exercise import Exercise, ExerciseId, Phase
from core.names import Found, NameIndex
from core.plan import Pin, Step
from core.planner.choice import settings_of

ORDER = tuple(Phase)
LEAD = re.compile(r"^\s*(?:[-*•·–>]+|\d{1,2}\s*[.):]\s*|\d{1,2}:\d{2}\s*)\s*")
SIDES = re.compile(r"\b(?:R/L|L/R|R\+L|R&L|each side|both sides|per side|e/s|ea\.?\s*side)", re.I)
EACH = re.compile(r"\b(?:ea\.?|each)(?=\s|$|,)", re.I)
REPS = re.compile(
    r"(?:\b(\d{1,2})\s*(?:-|–|to)\s*(\d{1,2})\s*(?:x|×|reps?|times)?\b"
    r"|\b(\d{1,3})\s*(?:x|×|reps?\b|times\b)|(?:\bx|×)\s*(\d{1,3})\b|\((\d{1,3})\))",
    re.I,
)
AT_NOTCH = re.compile(r"(\d)\s*(?:springs?\s*)?(?:@|at|on)\s*(\d)\b", re.I)
PLUS = re.compile(r"\b(\d(?:\s*\+\s*\d){1,3})\b")
KINDS = re.compile(
    r"\b((?:\d\s*)?(?:full|half|quarter)s?(?:\s*(?:\+|and|,|\s)\s*(?:\d\s*)?(?:full|half|quarter)s?)*)\b",
    re.I,
)
NOISE = re.compile(r"\b(?:springs?|spring setting|sets?)\b", re.I)
SHARE = (0.14, 0.42, 0.88)  # where the phases end, as parts of the exercises (house choice)


@dataclass(frozen=True, slots=True)
class Line:
    """One line as read.

    Attributes:
        name: what is left when everything else has been taken out.
        found: what the name may mean.
        reps: repetitions written, the middle of a range; None when none are.
        springs: as written in the terms of the apparatus, or None.
    """

    text: str
    name: str
    found: Found
    reps: int | None
    springs: SpringSetting | None


def read(
    text: str,
    names: NameIndex,
    apparatus: Mapping[ApparatusId, Apparatus],
    near: Sequence[ApparatusId],
) -> Line:
    """What one line says; `near` are the apparatus of the class."""
    rest = LEAD.sub("", text)
    rest = SIDES.sub(" ", rest)
    springs, rest = _springs(rest, [apparatus[a] for a in near])
    reps = REPS.search(rest)
    number = None
    if reps:
        rest = rest[: reps.start()] + " " + rest[reps.end() :]
        low, high = reps[1], reps[2]
        single = reps[3] or reps[4] or reps[5]
        number = (int(low) + int(high)) // 2 if low else int(single)
    rest = NOISE.sub(" ", EACH.sub(" ", rest))
    name = " ".join(rest.strip(" -–:;,.()@+×x").split())
    return Line(text.strip(), name, names.find(name, near), number, springs)


def steps(
    chosen: Sequence[tuple[Exercise, Line]], apparatus: Mapping[ApparatusId, Apparatus]
) -> tuple[Step, ...]:
    """The steps of a class read whole, phases given by the order and by what each may stand in."""
    phases = _phases([e for e, _ in chosen])
    made: list[Step] = []
    for (e, line), phase in zip(chosen, phases, strict=True):
        springs = settings_of(e)[0]
        pins: set[Pin] = set()
        if line.springs is not None and e.springs:
            try:
                springs = apparatus[e.apparatus].set(line.springs.tokens)
                pins.add(Pin.SPRINGS)
            except SpringError:
                pass  # written for another apparatus of the class: the usual setting stands
        reps = e.reps.usual
        if line.reps is not None:
            reps = min(max(line.reps, e.reps.low), e.reps.high)
        made.append(Step(e, phase, springs, reps, 1, frozenset(pins)))
    return tuple(made)


def outside(chosen: Sequence[tuple[Exercise, Line]]) -> tuple[tuple[ExerciseId, int], ...]:
    """Exercises whose written repetitions lie outside their range, and what was written."""
    return tuple(
        (e.id, line.reps)
        for e, line in chosen
        if line.reps is not None and not e.reps.low <= line.reps <= e.reps.high
    )


def _springs(text: str, near: Sequence[Apparatus]) -> tuple[SpringSetting | None, str]:
    """The springs written in a line, and the line without them."""
    at = list(AT_NOTCH.finditer(text))
    if at:
        tokens = [found[2] for found in at for _ in range(int(found[1]))]
        rest = AT_NOTCH.sub(" ", text).replace("+", " ")
        return _first_that_takes(" ".join(tokens), near), rest
    for pattern in (PLUS, KINDS):
        found = pattern.search(text)
        if found:
            setting = _first_that_takes(_spread(found[1]), near)
            if setting is not None:
                return setting, text[: found.start()] + " " + text[found.end() :]
    return None, text


def _spread(text: str) -> str:
    """ "2 full 1 half" as "full full half"."""
    words: list[str] = []
    times = 1
    for word in re.split(r"[\s+,]+|\band\b", text.casefold()):
        if word.isdigit() and not words and not re.search("[a-z]", text.casefold()):
            return text
        if word.isdigit():
            times = int(word)
        elif word:
            words += [word.rstrip("s") if word != "s" else word] * times
            times = 1
    return " ".join(words)


def _first_that_takes(text: str, near: Sequence[Apparatus]) -> SpringSetting | None:
    for each in near:
        try:
            return each.parse(text)
        except SpringError:
            continue
    return None


def _phases(exercises: Sequence[Exercise]) -> list[Phase]:
    """A phase for each, never going back, near to the usual shares and to what each may be in."""
    count = len(exercises)
    wanted = [
        next((k for k, part in enumerate(SHARE) if (i + 0.5) / count <= part), len(SHARE))
        for i in range(count)
    ]
    worth: list[list[float]] = []
    came: list[list[int]] = []
    for i, e in enumerate(exercises):
        row: list[float] = []
        back: list[int] = []
        for k, phase in enumerate(ORDER):
            price = abs(k - wanted[i]) + (0 if phase in e.phases else 4)
            if i == 0:
                row.append(price + 3 * k)
                back.append(0)
                continue
            before = min(range(k + 1), key=lambda j: (worth[-1][j], j))
            row.append(worth[-1][before] + price)
            back.append(before)
        worth.append(row)
        came.append(back)
    if not exercises:
        return []
    at = min(range(len(ORDER)), key=lambda k: (worth[-1][k] + 3 * (len(ORDER) - 1 - k), k))
    picked = [at]
    for back in reversed(came[1:]):
        at = back[at]
        picked.append(at)
    return [ORDER[k] for k in reversed(picked)]
