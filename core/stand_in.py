"""What could stand in for an exercise of a class when no other is named."""

from collections.abc import Sequence

from core.brief import ClassBrief
from core.lookup import likeness
from core.plan import Step
from core.planner.mending import as_usual
from core.planner.model import barred
from core.planner.request import Request
from core.wish import EditError

IDEAS = 14  # stand-ins tried (house choice)


def stand_ins(old: Step, steps: Sequence[Step], brief: ClassBrief, request: Request) -> list[Step]:
    """What the class could have in place of a step, the most like it first.

    Raises:
        EditError: there is nothing.
    """
    used = {s.exercise.id for s in steps}
    families = {s.exercise.family for s in steps if s.exercise.id != old.exercise.id}
    fit = [
        o
        for a in brief.apparatus
        for o in request.repertoire.by_apparatus.get(a, ())
        if o.id not in used
        and o.family not in families
        and o.id not in brief.dropped
        and old.phase in o.phases
        and o.level <= brief.top_level
        and not barred(o, brief)
        and not (request.room and request.room.barred_for(o))
    ]
    fit.sort(key=lambda o: (-likeness(old.exercise, o), o.id))
    if not fit:
        raise EditError(f"nothing else in the library could stand in for {old.exercise.name}")
    return [as_usual(o, old.phase) for o in fit[:IDEAS]]
