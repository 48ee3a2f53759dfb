"""Look exercises up."""

from bot.actions.desk import Desk
from bot.commands import LookUp
from bot.errors import NoMatchError
from bot.reply import Button, Part, Reply
from bot.wording import exercises
from core.record import exercise_to_table


def look_up(command: LookUp, desk: Desk) -> Reply:
    """The exercise of that name, or buttons for the ones it may be."""
    found = desk.context.names.find(command.typed, desk.context.usual_apparatus)
    if found.sure:
        e = found.sure
        rows = tuple(
            (
                Button(
                    f"{kind}: {desk.repertoire[rung].name}",
                    f"exercise {desk.repertoire[rung].name}",
                ),
            )
            for kind, rung in (("Easier", e.easier), ("Harder", e.harder))
            if rung
        )
        return Reply(
            exercises.alone(e, desk.repertoire),
            rows,
            data={"exercise": exercise_to_table(e)},
        )
    if not found.matches:
        raise NoMatchError(command.typed)
    close = [match.exercise for match in found.matches]
    return Reply(
        (Part(exercises.candidates([e.name for e in close], command.typed)),),
        rows=tuple((Button(e.name, f"exercise {e.name}"),) for e in close),
        data={
            "candidates": [
                {"exercise": m.exercise.id, "name": m.exercise.name, "score": round(m.score, 1)}
                for m in found.matches
            ]
        },
    )
