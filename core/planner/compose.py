"""Brief and library in, plan out; or the reasons why there is none."""

from random import Random

from core.exercise import ExerciseId
from core.plan import ClassPlan, Finding, Weight
from core.planner import weights as w
from core.planner.finish import finish
from core.planner.model import Model, barred, build, pool_of
from core.planner.request import NoPlan, Request
from core.planner.search import Search as Searcher

TRIES = 3  # seeds tried before "none found"


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
        solution = Searcher(model.problem, random).run(request.budget)
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
    if not pool:
        found.append(Finding("pool-empty", Weight.FAULT))
    return tuple(found)


def _unreachable(model: Model) -> tuple[Finding, ...]:
    """Stages that all their exercises together, at most repetitions, can't fill."""
    found: list[Finding] = []
    nodes = model.problem.nodes
    changes = model.problem.time.max(axis=0, initial=0).tolist()
    for window in model.problem.windows:
        most: dict[int, int] = {}
        for k, node in enumerate(nodes):
            if window.first <= node.stage <= window.last:
                most[node.item] = max(most.get(node.item, 0), node.times[-1] + changes[k])
        reach = sum(most.values())
        if reach < window.low:
            phase = w.PHASE_OF_STAGE[window.first] if window.first == window.last else "class"
            found.append(
                Finding(
                    "too-little",
                    Weight.FAULT,
                    (str(phase), str(reach // 60), str(window.low // 60)),
                )
            )
            break
    return tuple(found)
