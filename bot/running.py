"""A class as it is about to be taught: its sheet with everybody in it."""

from bot.desk import Desk
from bot.minding import class_verdicts, day_of, people_of
from core.caution import advice
from core.plan import ClassPlan
from core.sheet import Minding, RunSheet, run_sheet
from storage.errors import KeyMissingError


def sheet_of(plan: ClassPlan, desk: Desk) -> RunSheet:
    """The sheet of a plan; without anybody where nobody is known, or kept."""
    said = {e.id: desk.store.remarks(e.id) for e in (item.step.exercise for item in plan.items)}
    return run_sheet(plan, desk.repertoire, _minding(plan, desk), said)


def _minding(plan: ClassPlan, desk: Desk) -> list[Minding]:
    try:
        people = people_of(plan.brief.group, desk)
    except KeyMissingError:
        return []  # a store without keys keeps nobody
    day = day_of(plan, desk)
    return [
        Minding(each, class_verdicts(each, plan, desk), advice(each, day, desk.cautions))
        for each in people
    ]
