"""A solution of the abstract problem as a plan: springs chosen, time fitted, rules checked."""

from collections.abc import Sequence
from dataclasses import replace

from core.plan import ClassPlan, Search, Step
from core.planner import weights as w
from core.planner.fill import fill
from core.planner.model import Model
from core.planner.problem import Solution
from core.planner.request import Request
from core.planner.springs import choose
from core.rules import check
from core.timing import closing_s, opening_s, timeline


def finish(request: Request, model: Model, solution: Solution) -> ClassPlan:
    """The plan a solution means, its repetitions fitted to the real change-overs.

    The search counts a change between neighbours only; on the clock a part of the rig that was set
    three exercises ago counts too, and better springs save time. So time is filled once more here.
    """
    brief, apparatus = request.brief, request.repertoire.apparatus
    chosen = [model.choices[k] for k in solution.nodes]
    nodes = [model.problem.nodes[k] for k in solution.nodes]
    springs = choose(chosen, apparatus)

    def steps(index: Sequence[int]) -> tuple[Step, ...]:
        return tuple(
            Step(
                exercise=choice.exercise,
                phase=w.PHASE_OF_STAGE[node.stage],
                springs=setting,
                reps=choice.low + at,
                sets=choice.sets,
                pins=choice.pins,
            )
            for choice, node, setting, at in zip(chosen, nodes, springs, index, strict=True)
        )

    usual = [node.usual for node in nodes]
    durations = [0] * model.problem.stages
    for item, node in zip(
        timeline(steps(usual), brief, apparatus, request.pace), nodes, strict=True
    ):
        durations[node.stage] += item.transition_s + node.times[node.usual]
    _, _, index = fill(nodes, durations, model.problem.windows)
    search = Search(request.seed, solution.iterations, solution.objective, 0)
    return checked(request, steps(index), search)


def checked(request: Request, steps: Sequence[Step], search: Search) -> ClassPlan:
    """The steps on the clock, with the findings of the independent rules."""
    brief = request.brief
    plan = ClassPlan(
        brief=brief,
        items=timeline(steps, brief, request.repertoire.apparatus, request.pace),
        opening_s=opening_s(brief),
        closing_s=closing_s(brief),
        findings=(),
        search=search,
    )
    return replace(plan, findings=check(plan, request.repertoire, request.room))
