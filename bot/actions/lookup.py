"""Look exercises up: by name, by what they are, up and down a ladder, instead of another."""

from bot.commands import Find, LookUp, ShowLadder, SwapIdeas
from bot.desk import Desk
from bot.errors import NoMatchError
from bot.reply import Button, Part, Reply
from bot.wording import exercises, finding
from core.brief import Bar
from core.codec import options
from core.exercise import Exercise
from core.lookup import find as find_all
from core.lookup import ladder, stand_ins
from core.record import exercise_to_table

SHOWN = 8  # exercises listed at once


def look_up(command: LookUp, desk: Desk) -> Reply:
    """The exercise of that name, or buttons for the ones it may be."""
    e = _named(command.typed, "exercise", desk)
    if isinstance(e, Reply):
        return e
    rungs = [(kind, rung) for kind, rung in (("Easier", e.easier), ("Harder", e.harder)) if rung]
    rows = [
        (
            Button(
                f"{kind}: {desk.repertoire[rung].short}", f"exercise {desk.repertoire[rung].name}"
            ),
        )
        for kind, rung in rungs
        if rung in desk.repertoire.exercises
    ]
    said = desk.store.remarks(e.id)
    return Reply(
        exercises.alone(e, desk.repertoire, said),
        tuple(rows),
        data={
            "exercise": exercise_to_table(e),
            "options": options(e, desk.repertoire),
            "remarks": said,
        },
    )


def find(command: Find, desk: Desk) -> Reply:
    """The exercises that are all of what was asked."""
    found = find_all(command.wanted, desk.repertoire)
    shown = found[:SHOWN]
    return Reply(
        (Part(finding.found(shown, len(found), desk.repertoire)),),
        _buttons(shown),
        data={"exercises": [_brief(e) for e in found]},
    )


def show_ladder(command: ShowLadder, desk: Desk) -> Reply:
    """The ladder an exercise stands on, rung by rung."""
    e = _named(command.typed, "ladder", desk)
    if isinstance(e, Reply):
        return e
    rungs = ladder(e, desk.repertoire)
    return Reply(
        (Part(finding.rungs(rungs, e)),),
        _buttons([rung for rung in rungs if rung is not e]),
        data={"ladder": [_brief(rung) for rung in rungs], "exercise": e.id},
    )


def swap_ideas(command: SwapIdeas, desk: Desk) -> Reply:
    """What keeps the aim of an exercise and lacks what is barred."""
    e = desk.repertoire[command.exercise]
    ideas = stand_ins(e, command.without, desk.repertoire)
    asked = {demand for bar in command.without for demand in bar.demands} & e.demands
    changes = [
        m
        for m in e.modifications
        if asked and asked <= m.removes and not _adds(m.adds, command.without)
    ]
    return Reply(
        tuple(Part(text) for text in finding.ideas(e, ideas, changes, command.without)),
        _buttons(ideas),
        data={
            "exercise": e.id,
            "ideas": [_brief(o) for o in ideas],
            "modifications": [m.do for m in changes],
        },
    )


def _adds(adds: frozenset[str], without: tuple[Bar, ...]) -> bool:
    return any(adds & bar.demands for bar in without)


def _named(typed: str, word: str, desk: Desk) -> Exercise | Reply:
    """The exercise meant, or the question which one."""
    found = desk.context.names.find(typed, desk.context.usual_apparatus)
    if found.sure:
        return found.sure
    if not found.matches:
        raise NoMatchError(typed)
    close = [match.exercise for match in found.matches]
    return Reply(
        (Part(exercises.candidates(close, typed)),),
        tuple((Button(e.name, f"{word} {e.name}"),) for e in close),
        data={
            "candidates": [
                {"exercise": m.exercise.id, "name": m.exercise.name, "score": round(m.score, 1)}
                for m in found.matches
            ]
        },
    )


def _buttons(found: list[Exercise] | tuple[Exercise, ...]) -> tuple[tuple[Button, ...], ...]:
    return tuple((Button(e.name, f"exercise {e.name}"),) for e in found)


def _brief(e: Exercise) -> dict[str, object]:
    return {
        "exercise": e.id,
        "name": e.name,
        "apparatus": e.apparatus,
        "level": int(e.level),
        "effort": e.effort,
    }
