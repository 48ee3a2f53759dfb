"""A class that has been changed by hand, made whole again with the least further change."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from random import Random

from core.exercise import Phase
from core.plan import ClassPlan, Finding, Step, Weight
from core.planner import weights as w
from core.planner.finish import finish
from core.planner.kept import Kept
from core.planner.model import Model, build, pool_of
from core.planner.request import NoPlan, Request
from core.planner.search import Budget
from core.planner.search import Search as Searcher

# First near by, then further: an edit that fits at once searches for nothing.
NEAR = (Budget(0, 0, 3_000), Budget(0, 0, 12_000), Budget(3, 14_000, 14_000))
TIME_RULES = frozenset({"slot", "share", "summit"})  # what more or less of something else can mend


@dataclass(frozen=True, slots=True)
class _Start:
    """A sequence to begin from, and how far it is from a plan."""

    nodes: tuple[int, ...]
    shortfall: int
    objective: int


def refit(
    request: Request,
    variants: Sequence[Sequence[Step]],
    *,
    stay: bool = False,
    budgets: Sequence[Budget] = NEAR,
) -> ClassPlan | NoPlan:
    """The plan nearest to the best of these variants that keeps every rule.

    Args:
        variants: edited sequences, any of which is what she asked for; items, order, sets and
            repetitions of the result stay as they are there as far as the rules allow.
        stay: search only for time; a variant that breaks another rule is refused with its faults.
    """
    kept = Kept(tuple(variants[0]))
    pool = pool_of(request, Kept(tuple(step for steps in variants for step in steps)))
    random = Random(request.seed)
    model = build(request, pool, random, kept)
    searcher = Searcher(model.problem, random)
    starts = sorted(
        (
            _Start(nodes, solution.shortfall, solution.objective)
            for steps in variants
            for nodes in _sequences(model, steps)
            for solution in [searcher.settle(nodes)]
        ),
        key=lambda start: (start.shortfall, -start.objective),
    )
    if not starts:
        return NoPlan((Finding("phase-allowed", Weight.FAULT, (variants[0][0].phase,)),), False)
    nearest: tuple[Finding, ...] = ()
    for start in starts[:4]:
        plan = finish(request, model, searcher.settle(start.nodes))
        faults = _faults(plan)
        if not faults:
            return plan
        nearest = nearest or faults
    if stay and any(fault.rule not in TIME_RULES for fault in nearest):
        return NoPlan(nearest, proven=False)
    for budget in budgets:
        solution = searcher.run(budget, () if budget.anneals else starts[0].nodes)
        if solution.shortfall:
            continue
        plan = finish(request, model, solution)
        if not _faults(plan):
            return plan
    return NoPlan(nearest, proven=False)


def _faults(plan: ClassPlan) -> tuple[Finding, ...]:
    return tuple(f for f in plan.findings if f.weight is Weight.FAULT)


def _sequences(model: Model, steps: Sequence[Step]) -> Iterable[tuple[int, ...]]:
    """Node sequences that mean these steps; the peak may turn from climbing at several places."""
    peak = [k for k, step in enumerate(steps) if step.phase is Phase.PEAK]
    for turn in _turns(steps, peak):
        nodes: list[int] = []
        for k, step in enumerate(steps):
            stage = w.STAGES_OF_PHASE[step.phase][0]
            if step.phase is Phase.PEAK and k >= turn:
                stage = w.EASE
            node = _node(model, step, stage)
            if node is None:
                break
            nodes.append(node)
        else:
            yield tuple(nodes)


def _turns(steps: Sequence[Step], peak: Sequence[int]) -> list[int]:
    """Places where the way down may begin, the one after the hardest work first."""
    if not peak:
        return [len(steps)]
    hardest = max(peak, key=lambda k: (steps[k].exercise.effort, k))
    turns = sorted(range(peak[0] + 1, peak[-1] + 2), key=lambda k: abs(k - hardest - 1))
    return turns


def _node(model: Model, step: Step, stage: int) -> int | None:
    """The node of a step in a stage, with its sets if there is one."""
    nodes = [k for k in model.nodes_of(step.exercise.id) if model.problem.nodes[k].stage == stage]
    same = [k for k in nodes if model.choices[k].sets == step.sets]
    return next(iter(same or nodes), None)
