"""Brief and library in, plan out; or the reasons why there is none."""

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from random import Random

from core.brief import ClassBrief
from core.exercise import ExerciseId
from core.plan import ClassPlan, Finding, Search, Step, Weight
from core.planner import weights as w
from core.planner.fill import fill
from core.planner.model import Model, barred, build, pool_of
from core.planner.problem import Solution
from core.planner.search import Budget
from core.planner.search import Search as Searcher
from core.planner.springs import choose
from core.repertoire import Repertoire
from core.rules import check
from core.timing import Pace, closing_s, opening_s, timeline

TRIES = 3  # seeds tried before "none found"


@dataclass(frozen=True, slots=True)
class NoPlan:
    """No plan: `proven` when it can't exist, else none was found.

    Findings carry the cause, or the shortfalls of the nearest plan.
    """

    findings: tuple[Finding, ...]
    proven: bool


@dataclass(frozen=True, slots=True)
class Request:
    """A brief with all that shapes its plan."""

    brief: ClassBrief
    repertoire: Repertoire
    turn: int = 0  # how often "another" was asked
    recent: frozenset[ExerciseId] = frozenset()
    pace: Pace = Pace()
    budget: Budget = Budget()

    @property
    def seed(self) -> int:
        """A number that depends on the brief and the turn alone."""
        text = repr((self.brief, self.turn))
        return int.from_bytes(hashlib.sha256(text.encode()).digest()[:6], "big")


def compose(request: Request) -> ClassPlan | NoPlan:
    """The plan for a request; every plan given back has passed the independent rules."""
    pool = pool_of(tuple(request.repertoire.exercises.values()), request.brief)
    cause = _static(request, {e.id for e in pool})
    if cause:
        return NoPlan(cause, proven=True)
    nearest: NoPlan | None = None
    for attempt in range(TRIES):
        random = Random(request.seed + attempt)
        model = build(
            pool,
            request.brief,
            request.repertoire.apparatus,
            request.pace,
            request.recent,
            random,
        )
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


def finish(request: Request, model: Model, solution: Solution) -> ClassPlan:
    """The solution as a plan: springs chosen, repetitions fitted to the real changes, checked."""
    brief, apparatus = request.brief, request.repertoire.apparatus
    chosen = [model.choices[k] for k in solution.nodes]
    nodes = [model.problem.nodes[k] for k in solution.nodes]
    springs = choose([e for e, _ in chosen], apparatus)

    def steps(index: Mapping[int, int]) -> tuple[Step, ...]:
        return tuple(
            Step(e, w.PHASE_OF_STAGE[node.stage], setting, e.reps.low + index[k], sets)
            for k, ((e, sets), node, setting) in enumerate(zip(chosen, nodes, springs, strict=True))
        )

    usual = {k: node.usual for k, node in enumerate(nodes)}
    durations = [0] * model.problem.stages
    for item, node in zip(
        timeline(steps(usual), brief, apparatus, request.pace), nodes, strict=True
    ):
        durations[node.stage] += item.transition_s + node.times[node.usual]
    _, _, index = fill(nodes, durations, model.problem.windows)
    plan = ClassPlan(
        brief=brief,
        items=timeline(steps(dict(enumerate(index))), brief, apparatus, request.pace),
        opening_s=opening_s(brief),
        closing_s=closing_s(brief),
        findings=(),
        search=Search(request.seed, solution.iterations, solution.objective, 0),
    )
    return replace(plan, findings=check(plan, request.repertoire))


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
    for window in model.problem.windows:
        most: dict[int, int] = {}
        for k, node in enumerate(nodes):
            if window.first <= node.stage <= window.last:
                change = int(model.problem.time[:, k].max())
                most[node.item] = max(most.get(node.item, 0), node.times[-1] + change)
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
