"""The words of the library: looking things up, and exercises of her own."""

import re

from bot.commands import (
    AddCue,
    AddExercise,
    Command,
    Find,
    LookUp,
    OwnExercises,
    RetireExercise,
    SetField,
    ShowLadder,
    SwapIdeas,
)
from bot.errors import Guess, MissingWordError, NoMatchError, UnknownWordError
from bot.grammar.context import Context
from bot.grammar.scanner import Scanner, nearest
from core.aims import AIM_WORDS, AIMS, BAR_WORDS, BARS, aim, bar
from core.brief import Aim, Bar
from core.exercise import Exercise, Level, Position
from core.fold import fold
from core.lookup import Wanted

POSITIONS: dict[str, Position] = {
    **{fold(position): position for position in Position},
    "lying": Position.SUPINE,
    "on back": Position.SUPINE,
    "face down": Position.PRONE,
    "side": Position.SIDE_LYING,
    "all fours": Position.QUADRUPED,
    "hands and knees": Position.QUADRUPED,
    "kneel": Position.KNEELING,
    "seated": Position.SEATED_APPARATUS,
    "sitting": Position.SEATED_APPARATUS,
}
PROPS = ("ring", "band", "ball", "roller", "hand weights", "pole", "cushion", "wedge", "block")
SMALL = ("and", "with", "on", "the", "in", "for", "or", "exercises", "exercise")
AIM_NAMES = [each.name for each in AIMS] + list(AIM_WORDS)
BAR_NAMES = [each.name for each in BARS] + AIM_NAMES + list(BAR_WORDS)


def find(scanner: Scanner, context: Context) -> Find:
    """What is looked for, every word of it understood.

    Raises:
        UserError: a word that means nothing, or no word at all.
    """
    if scanner.done:
        raise MissingWordError("find", "find kneeling rotation chair")
    apparatus, positions, props = [], [], []
    aims: list[Aim] = []
    levels: list[Level] = []
    without: list[Bar] = []
    while not scanner.done:
        word = scanner.peek()
        level = re.fullmatch(r"l(?:vl|evel)?([123])", word)
        if word in ("level", "lvl") and scanner.peek(1) in ("1", "2", "3"):
            scanner.take()
            levels.append(Level(int(scanner.take())))
        elif level:
            scanner.take()
            levels.append(Level(int(level[1])))
        elif word in ("no", "without"):
            scanner.take()
            without += bars(scanner, word)
        elif found := scanner.phrase(context.apparatus_words):
            apparatus.append(context.apparatus_words[found[0]])
            scanner.take(found[1])
        elif found := scanner.phrase(POSITIONS):
            positions.append(POSITIONS[found[0]])
            scanner.take(found[1])
        elif found := scanner.phrase(PROPS):
            props.append(found[0])
            scanner.take(found[1])
        elif found := scanner.phrase(AIM_NAMES):
            meaning = aim(found[0])
            aims += [meaning] if meaning else []
            scanner.take(found[1])
        elif word in SMALL or not word:
            scanner.take()
        else:
            known = [*context.apparatus_words, *POSITIONS, *AIM_NAMES, *PROPS]
            raise UnknownWordError(scanner.raw[scanner.at], nearest(scanner, scanner.at, known))
    return Find(
        Wanted(
            tuple(dict.fromkeys(apparatus)),
            tuple(dict.fromkeys(positions)),
            tuple(dict.fromkeys(aims)),
            tuple(dict.fromkeys(levels)),
            tuple(dict.fromkeys(without)),
            tuple(dict.fromkeys(props)),
        )
    )


def bars(scanner: Scanner, after: str) -> list[Bar]:
    """One or more things to do without.

    Raises:
        UserError: none, or one that means nothing.
    """
    found: list[Bar] = []
    while not scanner.done:
        phrase = scanner.phrase(BAR_NAMES)
        if phrase is None and found and scanner.peek() in ("and", "or"):
            scanner.take()
            continue
        if phrase is None:
            break
        meaning = bar(phrase[0])
        found += [meaning] if meaning else []
        scanner.take(phrase[1])
    if not found and scanner.done:
        raise MissingWordError(after, f"{after} wrists")
    if not found:
        guesses = nearest(scanner, scanner.at, BAR_NAMES)
        raise UnknownWordError(scanner.raw[scanner.at], guesses)
    return found


def ladder(scanner: Scanner, _: Context) -> ShowLadder:
    """The exercise whose ladder is wanted."""
    typed = scanner.take(len(scanner.words))
    if not fold(typed):
        raise MissingWordError("ladder", "ladder teaser")
    return ShowLadder(typed)


def swap(scanner: Scanner, context: Context) -> SwapIdeas:
    """The exercise to stand in for, and what the stand-in must lack.

    Raises:
        UserError: no exercise, or a word that means nothing.
    """
    if fold(scanner.peek()) == "ideas":
        scanner.take()
    if fold(scanner.peek()) == "for":
        scanner.take()
    words: list[str] = []
    while not scanner.done and scanner.peek() not in ("no", "without"):
        words.append(scanner.take())
    if not words:
        raise MissingWordError("swap ideas", "swap ideas pike no wrists")
    e = exercise_named(" ".join(words), context, "swap ideas {name} " + scanner.rest())
    without: list[Bar] = []
    while not scanner.done:
        after = scanner.take()
        without += bars(scanner, after)
    return SwapIdeas(e.id, tuple(without))


def exercise_named(typed: str, context: Context, line: str) -> Exercise:
    """The one exercise of that name; `line` is what a button for a rival says, with {name}.

    Raises:
        NoMatchError, UnknownWordError: none, or several that are close.
    """
    found = context.names.find(typed, context.usual_apparatus)
    if found.sure:
        return found.sure
    if not found.matches:
        raise NoMatchError(typed)
    guesses = tuple(
        Guess(m.exercise.name, line.format(name=m.exercise.name).strip()) for m in found.matches
    )
    raise UnknownWordError(typed, guesses)


def exercise(scanner: Scanner, context: Context) -> Command:
    """Look one up, or something about an exercise of her own.

    Raises:
        UserError: a part is missing.
    """
    verb = fold(scanner.peek())
    if verb in ("add", "new"):
        scanner.take()
        return _add(scanner.rest())
    if verb in ("set", "retire", "cue", "note"):
        scanner.take()
        name, _, said = scanner.rest().partition(":")
        if not fold(name):
            raise MissingWordError(f"exercise {verb}", EXAMPLES[verb])
        if verb == "retire":
            return RetireExercise(name.strip())
        if not said.strip():
            raise MissingWordError(f"{name.strip()}:", EXAMPLES[verb])
        if verb == "set":
            field, _, value = said.strip().partition(" ")
            if not value:
                raise MissingWordError(field, EXAMPLES["set"])
            return SetField(name.strip(), field, value.strip())
        return AddCue(name.strip(), said.strip())
    if verb in ("mine", "own") and len(scanner.words) == scanner.at + 1:
        return OwnExercises()
    typed = scanner.rest()
    if not fold(typed):
        raise MissingWordError("exercise", "exercise mermaid")
    return LookUp(typed)


def long_exercise(text: str) -> AddExercise:
    """An exercise of her own in one longer message: its name, then a field and its value a line.

    Raises:
        UserError: a line that is no field and value.
    """
    first, *lines = [line.strip() for line in text.splitlines() if line.strip()]
    head = _add(re.sub(r"^/?exercise\s+(add|new)\s*", "", first, flags=re.IGNORECASE))
    fields: list[tuple[str, str]] = []
    for line in lines:
        field, colon, value = line.partition(":")
        if not colon or not value.strip():
            raise MissingWordError(line, "level: 2")
        fields.append((field.strip(), value.strip()))
    return AddExercise(head.name, head.like, tuple(fields))


def _add(text: str) -> AddExercise:
    name, _, like = text.partition(" like ")
    if not fold(name):
        raise MissingWordError("exercise add", EXAMPLES["add"])
    return AddExercise(name.strip(" :"), like.strip())


EXAMPLES = {
    "add": "exercise add harbour reach like mermaid chair",
    "set": "exercise set harbour reach: level 2",
    "retire": "exercise retire harbour reach",
    "cue": "exercise cue mermaid chair: reach past the window",
    "note": "exercise note mermaid chair: check the handles",
}
