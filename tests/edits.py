"""Edits tried on whole classes: what stayed, what came, what stands where."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from random import Random

from core.edit import apply
from core.exercise import Exercise, ExerciseId
from core.plan import ClassPlan, Item, Weight
from core.planner.request import NoPlan, Request
from core.repertoire import shipped
from core.rules import check
from core.wish import Add, Drop, Edit, EditError, Move, Swap
from tests.composed import QUICK


def made(plan: ClassPlan, *edits: Edit) -> ClassPlan:
    """The plan after these edits, which can be made."""
    result = apply(edits, plan, Request(plan.brief, shipped(), budget=QUICK))
    assert not isinstance(result, NoPlan), result
    assert faults(result) == []
    return result


def made_or_refused(plan: ClassPlan, *edits: Edit) -> ClassPlan | None:
    """The plan after these edits, or None where they are refused with a reason."""
    try:
        result = apply(edits, plan, Request(plan.brief, shipped(), budget=QUICK))
    except EditError:
        return None
    if isinstance(result, NoPlan):
        assert result.findings
        return None
    assert faults(result) == []
    return result


def faults(plan: ClassPlan) -> list[str]:
    """What the independent rules say, whatever the plan says of itself."""
    return [f.rule for f in check(plan, shipped()) if f.weight is Weight.FAULT]


def ids(plan: ClassPlan) -> list[ExerciseId]:
    """The exercises in order."""
    return [s.exercise.id for s in plan.steps]


def item(plan: ClassPlan, exercise: ExerciseId) -> Item:
    """Where an exercise of the plan stands."""
    return next(i for i in plan.items if i.step.exercise.id == exercise)


def others(plan: ClassPlan) -> list[Exercise]:
    """What the class could have and has not, no movement of it under another name."""
    families = {s.exercise.family for s in plan.steps}
    return [
        e
        for e in shipped().exercises.values()
        if e.apparatus in plan.brief.apparatus
        and e.level <= plan.brief.top_level
        and e.family not in families
    ]


def suiting(plan: ClassPlan, n: int) -> list[Exercise]:
    """Those of the others that belong in the phase of a place."""
    return [e for e in others(plan) if plan.items[n - 1].step.phase in e.phases]


@dataclass(slots=True)
class Tally:
    """How edits of one kind came out.

    Attributes:
        kept: those that left all other exercises, in their order.
        extra: exercises that came or went beside what was asked.
    """

    made: int = 0
    kept: int = 0
    extra: int = 0
    refused: Counter[str] = field(default_factory=Counter)

    @property
    def share(self) -> float:
        """The part of the edits made that kept everything else."""
        return self.kept / max(1, self.made)


def seeded(plan: ClassPlan, random: Random, kind: str) -> Edit:
    """A sensible edit of this kind at a random place."""
    n = random.randint(1, len(plan.items))
    match kind:
        case "drop":
            return Drop(n)
        case "swap":
            return Swap(n)
        case "swap for":
            return Swap(n, random.choice(suiting(plan, n)).id)
        case "add":
            return Add(random.choice(others(plan)).id)
        case "add after":
            return Add(random.choice(suiting(plan, n)).id, n)
        case _:
            phase = plan.items[n - 1].step.phase
            near = [i.n for i in plan.items if i.step.phase is phase and i.n != n]
            return Move(n, random.choice(near)) if near else Drop(n)


def tally(plans: Sequence[ClassPlan], kind: str, count: int) -> Tally:
    """Seeded edits of one kind on each plan; each result sound and its wish fulfilled."""
    random = Random(kind)
    found = Tally()
    for plan in plans:
        for _ in range(count):
            edit = seeded(plan, random, kind)
            try:
                result = apply([edit], plan, Request(plan.brief, shipped(), budget=QUICK))
            except EditError as fault:
                found.refused[str(fault)] += 1
                continue
            if isinstance(result, NoPlan):
                found.refused[" ".join(f.rule for f in result.findings)] += 1
                continue
            assert faults(result) == []
            fulfilled(edit, plan, result)
            found.made += 1
            touched = _touched(edit, plan)
            before = [e for e in ids(plan) if e not in touched]
            after = [e for e in ids(result) if e in before]
            found.kept += before == after
            wanted = len(ids(plan)) + isinstance(edit, Add) - isinstance(edit, Drop)
            found.extra += abs(len(ids(result)) - wanted)
    return found


def fulfilled(edit: Edit, plan: ClassPlan, result: ClassPlan) -> None:
    """Check that the plan has what was asked, where it was asked."""
    was, now = ids(plan), ids(result)
    match edit:
        case Drop(n):
            assert was[n - 1] not in now
        case Swap(n, wanted):
            assert was[n - 1] not in now
            assert wanted is None or wanted in now
        case Add(e, after):
            assert e in now
            assert after is None or now[now.index(e) - 1] == was[after - 1]
        case Move(n, to):
            assert now[to - 1] == was[n - 1]
        case _:
            raise TypeError(edit)


def _touched(edit: Edit, plan: ClassPlan) -> set[ExerciseId]:
    return {ids(plan)[edit.n - 1]} if isinstance(edit, Drop | Swap | Move) else set()
