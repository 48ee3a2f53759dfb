"""A message -> a typed command. The one place where text becomes meaning."""

import re
from collections.abc import Callable

from bot.commands import (
    BUTTON_WORDS,
    NAMES,
    WORDS,
    Another,
    Command,
    Hello,
    Help,
    MakePlan,
    Refit,
    Screen,
    SetHabit,
    SetZone,
    Show,
    Undo,
    Why,
)
from bot.errors import (
    Guess,
    MissingWordError,
    NotText,
    UnknownCommandError,
    UnknownWordError,
    UserError,
)
from bot.grammar import (
    client_words,
    diary_readers,
    diary_words,
    edit_words,
    library_words,
    log_words,
    people_words,
    privacy_words,
    setting_words,
    shelf_words,
    spring_words,
    teach_words,
)
from bot.grammar.context import Context
from bot.grammar.plan_words import PlanWords
from bot.grammar.scanner import Scanner, clean, mistyped, nearest
from bot.grammar.vocabulary import only_signs
from core.fold import fold

Reader = Callable[[Scanner, Context], Command]

PLAN_NUMBER = re.compile(r"#(\d{1,9})")
IMPORTED = re.compile(r"\s*/?import\b", re.IGNORECASE)
PASTED = re.compile(r"\s*/?paste\b", re.IGNORECASE)
LONGEST_PASTE = 6000  # characters; sixty lines of a hundred
NEW_EXERCISE = re.compile(r"\s*/?exercise\s+(add|new)\b", re.IGNORECASE)
PLACE = re.compile(r"-?\d{1,9}")
LIKELY = 80.0  # an exercise is offered for a line without a command from this score on


def parse(text: str, context: Context, pending: str = "") -> Command:
    """The command a message spells.

    Args:
        pending: a line that lacked something; a message that is no command may complete it.

    Raises:
        UserError: nothing is understood, or not all of it; nothing has been done.
    """
    if "\n" in text and NEW_EXERCISE.match(text):
        clean(text)
        return library_words.long_exercise(text)
    if "\n" in text and PASTED.match(text):
        clean(text, LONGEST_PASTE)
        return shelf_words.long_paste(text, context)
    if "\n" in text and IMPORTED.match(text):
        return diary_readers.pasted_calendar(text)
    line = clean(text)
    if line.startswith("/"):
        head, _, rest = line[1:].partition(" ")
        line = f"{head.partition('@')[0]} {rest}".strip()
        if not fold(line):
            raise NotText
    scanner = Scanner(line)
    word = fold(scanner.peek())
    name = WORDS.get(word) or WORDS.get(mistyped(word, WORDS) or "")
    if word == "edit":
        return Help("edit")
    if name == "edit" and fold(word) == "move" and diary_words.is_move(scanner, context):
        scanner.take()
        return diary_words.move(scanner, context)
    if name == "edit" or (name in ("swap", "springs") and _places(scanner)):
        return edit_words.edit(line)
    if name:
        scanner.take()
        return READERS[name](scanner, context)
    if pending:
        try:
            completed = parse(f"{pending} {line}", context)
        except UserError:
            pass  # not an answer to the question: read it for itself
        else:
            # After a name anything could be more of the name, but no answer.
            if not isinstance(completed, Screen) or people_words.is_answer(line):
                return completed
    return _bare(line, context)


def _places(scanner: Scanner) -> bool:
    """Whether a number follows that is a place: "swap 7", "springs 7 3+2", but not "springs 3"."""
    swapping = fold(scanner.peek()) != "springs"
    return bool(PLACE.fullmatch(scanner.peek(1))) and (swapping or bool(scanner.peek(2)))


def _bare(line: str, context: Context) -> Command:
    """A line without a command word: a class if all its words say so ("50 chair")."""
    scanner = Scanner(line)
    says_plan = any(fold(word) in ("plan", "class") for word in scanner.words)
    try:
        command = PlanWords(Scanner(line), context).read()
    except UserError as error:
        if says_plan or _begins_a_class(scanner, context):
            raise
        raise _no_command(scanner, context) from error
    if says_plan or command.minutes or command.apparatus:
        return command
    raise _no_command(scanner, context)


def _begins_a_class(scanner: Scanner, context: Context) -> bool:
    head = scanner.words[0]
    return bool(re.match(r"-?\d", head)) or fold(head) in context.apparatus_words


def _no_command(scanner: Scanner, context: Context) -> UnknownCommandError:
    guesses = list(nearest(scanner, 0, [n for n in NAMES if n != "start"]))
    found = context.names.find(scanner.line, context.usual_apparatus)
    named = [
        Guess(m.exercise.name, f"exercise {m.exercise.name}")
        for m in found.matches[:2]
        if m.score >= LIKELY
    ]
    return UnknownCommandError(scanner.raw[0], (*named, *guesses[: 3 - len(named)]))


def _plan(scanner: Scanner, context: Context) -> MakePlan:
    return PlanWords(scanner, context).read()


def _numbers(scanner: Scanner, *, place: bool) -> tuple[int | None, int | None]:
    """A place and a plan number, in either order.

    Raises:
        UnknownWordError: anything else.
    """
    found_place = found_plan = None
    while not scanner.done:
        word = scanner.peek()
        plan = PLAN_NUMBER.fullmatch(word)
        if plan and found_plan is None:
            found_plan = int(plan[1])
        elif place and found_place is None and PLACE.fullmatch(word):
            found_place = int(word)
        elif fold(word) not in ("plan", "the", "number", "no", "it", "me", "one", ""):
            raise UnknownWordError(scanner.raw[scanner.at], ())
        scanner.take()
    return found_place, found_plan


def _another(scanner: Scanner, _: Context) -> Another:
    return Another(plan=_numbers(scanner, place=False)[1])


def _show(scanner: Scanner, context: Context) -> Command:
    words = scanner.words[scanner.at :]
    if words and not re.fullmatch(r"#?-?\d+|plan|the|it|number", words[0]):
        return library_words.exercise(scanner, context)
    place, plan = _numbers(scanner, place=True)
    return Show(place, plan)


def _why(scanner: Scanner, _: Context) -> Why:
    place, plan = _numbers(scanner, place=True)
    return Why(place, plan)


def _refit(scanner: Scanner, _: Context) -> Refit:
    return Refit(_numbers(scanner, place=False)[1])


def _undo(scanner: Scanner, _: Context) -> Undo:
    return edit_words.undo(scanner, forward=fold(scanner.words[0]).startswith("r"))


def _help(scanner: Scanner, _: Context) -> Help:
    if scanner.done:
        return Help()
    word = fold(scanner.peek())
    name = WORDS.get(word) or WORDS.get(mistyped(word, WORDS) or "")
    if name is None or name in BUTTON_WORDS:
        raise UnknownWordError(
            scanner.raw[scanner.at],
            nearest(scanner, scanner.at, [n for n in NAMES if n != "start"]),
        )
    scanner.take()
    _nothing_more(scanner)
    return Help(name)


def _start(scanner: Scanner, _: Context) -> Hello:
    said = fold(scanner.words[0])
    code = scanner.take() if said == "start" and not scanner.done else ""
    _nothing_more(scanner)
    return Hello(code)


def _nothing_more(scanner: Scanner) -> None:
    """Check that every word was read.

    Raises:
        UnknownWordError: one was not.
    """
    while not scanner.done and only_signs(scanner.peek()):
        scanner.take()
    if not scanner.done:
        raise UnknownWordError(scanner.raw[scanner.at])


def _zone(scanner: Scanner, _: Context) -> SetZone:
    if scanner.done:
        raise MissingWordError("zone", "zone Europe/Lisbon")
    words = scanner.raw[scanner.at :]
    first = len(words) > 1 and words[-1] == "then"
    move = len(words) > 1 and words[-1] == "move"
    return SetZone("_".join(words[:-1] if first or move else words), first, move)


def _usual(scanner: Scanner, context: Context) -> SetHabit:
    if scanner.done:
        raise MissingWordError("usual", "usual 50 chair")
    wanted = PlanWords(scanner, context).read_usual()
    return SetHabit(wanted.minutes, wanted.apparatus)


READERS: dict[str, Reader] = {
    "plan": _plan,
    "another": _another,
    **diary_readers.READERS,
    "show": _show,
    "why": _why,
    "refit": _refit,
    "undo": _undo,
    "save": shelf_words.save,
    "open": shelf_words.open_class,
    "retire": shelf_words.retire,
    "plans": shelf_words.plans,
    "compare": shelf_words.compare,
    "series": shelf_words.series,
    "paste": shelf_words.paste,
    "line": shelf_words.pasted_line,
    "exercise": library_words.exercise,
    "find": library_words.find,
    "ladder": library_words.ladder,
    "swap": library_words.swap,
    "apparatus": spring_words.apparatus,
    "measure": spring_words.measure,
    "same": spring_words.same,
    "springs": spring_words.springs,
    "client": client_words.client,
    "note": people_words.note,
    "flag": people_words.flag,
    "unflag": people_words.unflag,
    "answered": people_words.answered,
    "consent": people_words.consent,
    "group": people_words.group,
    "mods": people_words.mods,
    "screen": people_words.screen,
    "export": privacy_words.export,
    "erase": privacy_words.erase,
    "retention": privacy_words.retention,
    "access": privacy_words.access,
    "problems": privacy_words.problems,
    "sheet": teach_words.sheet,
    "handover": teach_words.handover,
    "teach": teach_words.teach,
    "early": teach_words.early,
    "taught": log_words.taught,
    "last": log_words.last,
    "history": log_words.history,
    "load": log_words.load,
    "pace": log_words.pace,
    "taste": log_words.taste,
    "next": log_words.next_step,
    "help": _help,
    "start": _start,
    "zone": _zone,
    "dates": setting_words.dates,
    "usual": _usual,
}
