"""Exercises of her own: begun, described field by field, retired; cues on any exercise."""

from typing import Any

from bot import open_question
from bot.commands import AddCue, AddExercise, OwnExercises, RetireExercise, SetField
from bot.desk import Desk
from bot.errors import DescribedError, NotHersError
from bot.grammar.library_words import exercise_named
from bot.reply import Button, Part, Reply
from bot.wording import describing
from bot.wording.phrases import wrapped
from core.draft import DraftError, Field, begin, field_named, fill_in, finished, missing
from core.errors import CoreError
from core.fold import fold

Table = dict[str, Any]


def add(command: AddExercise, desk: Desk) -> Reply:
    """A draft, with whatever was said of it; then the first question that is left."""
    like = None
    if command.like:
        like = exercise_named(
            command.like, desk.context, f"exercise add {command.name} like {{name}}"
        )
    if any(fold(own["name"]) == fold(command.name) for own in desk.store.exercises()):
        raise DescribedError(describing.ALREADY.format(name=command.name))
    taken = desk.context.names.find(command.name)
    if taken.sure and fold(taken.sure.name) == fold(command.name):
        raise DescribedError(describing.TAKEN.format(name=command.name))
    try:
        table = begin(command.name, like)
        for name, value in command.fields:
            _fill(table, name, value, desk)
    except DraftError as fault:
        raise DescribedError(str(fault)) from fault
    return _kept(table, desk)


def set_field(command: SetField, desk: Desk) -> Reply:
    """One thing said of a draft or changed on an exercise; then the next question, if any."""
    table = _hers(command.name, desk)
    _fill(table, command.field, command.value, desk)
    return _kept(table, desk)


def retire(command: RetireExercise, desk: Desk) -> Reply:
    """The exercise out of use; plans that have it keep their place in the past."""
    table = _hers(command.name, desk)
    desk.store.retire_exercise(table["id"])
    return Reply(
        (Part(wrapped(describing.RETIRED.format(name=table["name"]))),),
        data={"retired": table["id"]},
    )


def add_cue(command: AddCue, desk: Desk) -> Reply:
    """Her own words kept on an exercise, shown with it from now on."""
    e = exercise_named(command.name, desk.context, f"exercise cue {{name}}: {command.text}")
    desk.store.add_remark(e.id, command.text)
    return Reply(
        (Part(wrapped(describing.CUE_KEPT.format(name=e.name))),),
        ((Button(e.short, f"exercise {e.name}"),),),
        data={"exercise": e.id, "remarks": desk.store.remarks(e.id)},
    )


def own(_: OwnExercises, desk: Desk) -> Reply:
    """Every exercise of her own, and what an unfinished one lacks."""
    tables = desk.store.exercises()
    states = [(t["name"], [f.name for f in missing(t, desk.repertoire)]) for t in tables]
    return Reply(
        (Part(describing.mine(states)),),
        tuple(
            (Button(name, f"exercise {name}" if not gaps else f"exercise set {name}: {gaps[0]}"),)
            for name, gaps in states
            if not gaps
        ),
        data={"own": [{"name": name, "missing": gaps} for name, gaps in states]},
    )


def _kept(table: Table, desk: Desk) -> Reply:
    table = fill_in(table, desk.repertoire)
    desk.store.keep_exercise(table["id"], table)
    gaps = missing(table, desk.repertoire)
    if gaps:
        open_question.ask(f"exercise set {table['name']}: {gaps[0].name}", "exercise", desk)
        return Reply(
            (Part(describing.question(gaps[0].name, len(gaps))),),
            _choices(table, gaps[0]),
            data={"own": {"id": table["id"], "missing": [gap.name for gap in gaps]}},
        )
    try:
        e = finished(table, desk.repertoire)
    except DraftError as fault:
        raise DescribedError(str(fault)) from fault
    return Reply(
        (Part(wrapped(describing.DONE.format(name=e.name))),),
        ((Button(e.short, f"exercise {e.name}"),),),
        data={"own": {"id": e.id, "missing": []}, "exercise": table},
    )


def _choices(table: Table, gap: Field) -> tuple[tuple[Button, ...], ...]:
    buttons = [
        Button(choice, f"exercise set {table['name']}: {gap.name} {choice}")
        for choice in gap.choices
    ]
    return tuple(tuple(buttons[at : at + 3]) for at in range(0, len(buttons), 3))


def _fill(table: Table, name: str, value: str, desk: Desk) -> None:
    field = field_named(name)
    if field is None:
        raise DescribedError(describing.no_field(name))
    if field.name == "springs" and "apparatus" not in table:
        raise DescribedError(describing.APPARATUS_FIRST)
    try:
        field.put(table, value, desk.repertoire)
    except CoreError as fault:
        raise DescribedError(str(fault)) from fault


def _hers(typed: str, desk: Desk) -> Table:
    tables = desk.store.exercises()
    for table in tables:
        if fold(table["name"]) == fold(typed):
            return table
    raise NotHersError(typed, tuple(table["name"] for table in tables))
