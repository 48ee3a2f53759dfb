"""What edits cost and what they leave alone, on plans of the benchmark's requests."""

import time
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from random import Random

from core.edit import apply
from core.plan import ClassPlan
from core.planner.compose import compose
from core.planner.request import NoPlan, Request
from core.wish import Drop, Ease, Edit, EditError, Fit, Late, Move, SetReps, Swap
from tests.bench.environment import share
from tests.edits import faults, ids, seeded

PLANS = 60
KINDS = "drop", "swap", "swap for", "add", "add after", "move", "reps", "ease", "fit", "late"
STAYING = KINDS[:5]  # after these everything else has to be there, in its order


@dataclass(slots=True)
class Edited:
    """Edits of one kind: milliseconds, and how many left all the rest in its order.

    Attributes:
        reps_only: of those that did, how many changed no sets of the rest either.
    """

    took_ms: list[float] = field(default_factory=list)
    kept: int = 0
    reps_only: int = 0
    refused: Counter[str] = field(default_factory=Counter)


def print_edits(every: Sequence[Request]) -> None:
    """Print a line a kind of edit, and one for all of them."""
    plans = [(request, _planned(request)) for request in every[:PLANS]]
    whole, staying = Edited(), 0
    print(f"edits of {PLANS} plans, one of each kind: milliseconds, and what else they changed")
    for kind in KINDS:
        found, random = Edited(), Random(kind)
        for request, plan in plans:
            if plan:
                _edit(found, request, plan, _seeded(plan, random, kind))
        print(_line(kind, found))
        whole.took_ms += found.took_ms
        if kind in STAYING:
            staying += len(found.took_ms)
            whole.kept += found.kept
            whole.reps_only += found.reps_only
    ranked = sorted(whole.took_ms)
    print(
        f"all edits  p50 {share(ranked, 0.5):.1f}  p95 {share(ranked, 0.95):.1f}  "
        f"max {ranked[-1]:.1f}; of {staying} swaps, drops and adds "
        f"{100 * whole.kept / staying:.1f} % kept members and order of the rest, "
        f"{100 * whole.reps_only / staying:.1f} % its sets too"
    )


def _planned(request: Request) -> ClassPlan | None:
    result = compose(request)
    return None if isinstance(result, NoPlan) else result


def _edit(found: Edited, request: Request, plan: ClassPlan, edit: Edit) -> None:
    began = time.perf_counter()
    try:
        result = apply([edit], plan, replace(request, brief=plan.brief))
    except EditError as fault:
        found.refused[str(fault)] += 1
        return
    if isinstance(result, NoPlan):
        found.refused[" ".join(sorted({f.rule for f in result.findings}))] += 1
        return
    found.took_ms.append(1000 * (time.perf_counter() - began))
    assert faults(result) == []
    named = {plan.items[n - 1].step.exercise.id for n in _places(edit)}
    before = [e for e in ids(plan) if e not in named]
    after = [e for e in ids(result) if e in before]
    kept = before == after
    sets = {s.exercise.id: s.sets for s in result.steps}
    found.kept += kept
    found.reps_only += kept and all(
        sets[s.exercise.id] == s.sets for s in plan.steps if s.exercise.id in before
    )


def _places(edit: Edit) -> tuple[int, ...]:
    """Places whose exercise may go or stand elsewhere."""
    match edit:
        case Drop(n=n) | Swap(n=n) | Move(n=n) | Ease(n=n):
            return (n,)
        case _:
            return ()


def _seeded(plan: ClassPlan, random: Random, kind: str) -> Edit:
    """A sensible edit of this kind at a random place."""
    n = random.randint(1, len(plan.items))
    match kind:
        case "reps":
            reps = plan.items[n - 1].step.exercise.reps
            return SetReps(n, random.randint(reps.low, reps.high))
        case "ease":
            return Ease(n, random.random() < 0.5)
        case "fit":
            return Fit(plan.brief.minutes + random.choice((-10, -5, 5)))
        case "late":
            return Late(random.choice((5, 10)))
        case _:
            return seeded(plan, random, kind)


def _line(kind: str, found: Edited) -> str:
    ranked, made = sorted(found.took_ms), len(found.took_ms)
    said = ", ".join(f"{code} {count}" for code, count in found.refused.most_common(3))
    return (
        f"{kind:<10} {made:3} made, {found.refused.total():2} refused   "
        f"p50 {share(ranked, 0.5):6.1f}  p95 {share(ranked, 0.95):6.1f}  "
        f"max {ranked[-1]:6.1f}   kept the rest {found.kept:3}, "
        f"its sets {found.reps_only:3}   {said}"
    )
