"""Brief and library in, plan out; or the reasons why there is none."""

from dataclasses import replace
from itertools import combinations
from random import Random

from core.exercise import Exercise, ExerciseId
from core.plan import ClassPlan, Finding, Weight
from core.planner import weights as w
from core.planner.finish import finish
from core.planner.model import Model, barred, build, pool_of
from core.planner.problem import BROKEN, Node
from core.planner.request import NoPlan, Request
from core.planner.search import Search as Searcher

TRIES = 3  # seeds tried before "none found" ...
STRICTER = 4  # ... each with broken rules so many times as dear as before


def compose(request: Request) -> ClassPlan | NoPlan:
    """The plan for a request; every plan given back has passed the independent rules."""
    pool = pool_of(request)
    cause = _static(request, {e.id for e in pool})
    if cause:
        return NoPlan(cause, proven=True)
    nearest: NoPlan | None = None
    for attempt in range(TRIES):
        random = Random(request.seed + attempt)
        model = build(request, pool, random)
        reach = _unreachable(model)
        if reach:
            return NoPlan(reach, proven=True)
        problem = replace(model.problem, broken=BROKEN * STRICTER**attempt)
        solution = Searcher(problem, random).run(request.budget)
        plan = finish(request, model, solution)
        faults = tuple(f for f in plan.findings if f.weight is Weight.FAULT)
        if not faults:
            return plan
        nearest = nearest or NoPlan(faults, proven=False)
    assert nearest is not None
    return nearest


def _static(request: Request, pool: set[ExerciseId]) -> tuple[Finding, ...]:
    """Causes that need no search: wishes that contradict each other, nothing left to choose."""
    found: list[Finding] = []
    for wanted in request.brief.must:
        e = request.repertoire.exercises.get(wanted)
        if e is None or wanted in pool:
            continue
        if e.apparatus not in request.brief.apparatus:
            found.append(Finding("must-apparatus", Weight.FAULT, (e.name, e.apparatus)))
        elif barred(e, request.brief):
            bars = [bar.name for bar in request.brief.without if bar.rules_out(e)]
            found.append(Finding("must-barred", Weight.FAULT, (e.name, *bars)))
    there = [request.repertoire.exercises[m] for m in request.brief.must if m in pool]
    found += [
        Finding("must-twice", Weight.FAULT, (one.name, other.name))
        for one, other in combinations(there, 2)
        if one.family == other.family and _series(one) != _series(other)
    ]
    if not pool:
        found.append(Finding("pool-empty", Weight.FAULT))
    return tuple(found)


def _series(e: Exercise) -> str:
    """The series it belongs to; one that is in none is a series of its own."""
    return e.series.name if e.series else e.id


def _unreachable(model: Model) -> tuple[Finding, ...]:
    """Stages that all they can hold, at most repetitions, can't fill."""
    nodes = model.problem.nodes
    changes = model.problem.time.max(axis=0, initial=0).tolist()
    for window in model.problem.windows:
        most: dict[int, int] = {}
        of: dict[int, Node] = {}
        for k, node in enumerate(nodes):
            if window.first <= node.stage <= window.last:
                most[node.item] = max(most.get(node.item, 0), node.times[-1] + changes[k])
                of[node.item] = node
        # one of a family, or what it has of one series
        families: dict[int, dict[int, int]] = {}
        for item, seconds in most.items():
            node = of[item]
            choices = families.setdefault(node.family, {})
            series = node.series if node.series >= 0 else -1 - item
            choices[series] = choices.get(series, 0) + seconds
        reach = sum(max(choices.values()) for choices in families.values())
        if reach < window.low:
            phase = w.PHASE_OF_STAGE[window.first] if window.first == window.last else "class"
            facts = (str(phase), str(reach // 60), str(window.low // 60))
            return (Finding("too-little", Weight.FAULT, facts),)
    return ()
