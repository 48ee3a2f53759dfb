"""Plan time and worth at several budgets, so that one can be chosen.

Run as `python -m tests.bench.planner`, with the number of briefs after it. Each brief is planned
once at each budget; worth is points below the best that any of the budgets found for the brief.
"""

import sys
import time
from dataclasses import dataclass
from random import Random
from statistics import mean

from core.plan import ClassPlan
from core.planner.anneal import Mix, Schedule, anneal
from core.planner.compose import compose
from core.planner.model import build, pool_of
from core.planner.request import Request
from core.planner.search import Budget
from core.planner.terrain import Terrain
from core.repertoire import shipped
from tests.bench.environment import environment, share, spread
from tests.briefs import usual_brief

FIRST = Schedule(40_000, 20.0, 2.0)  # how long a first plan is looked for
BUDGETS = {
    "a glance": Budget(1, 3000, 1000),
    "tests": Budget(1, 5000, 2000),
    "quick": Budget(2, 10_000, 5000),
    "half": Budget(2, 20_000, 20_000),
    "usual": Budget(),
    "double": Budget(4, 40_000, 40_000),
}


@dataclass(frozen=True, slots=True)
class Made:
    """One plan: milliseconds, and points; None where there was no plan."""

    took_ms: float
    points: int | None


def planned(request: Request) -> Made:
    """A plan, timed."""
    began = time.perf_counter()
    plan = compose(request)
    took = 1000 * (time.perf_counter() - began)
    return Made(took, plan.search.objective if isinstance(plan, ClassPlan) else None)


def first_ms(request: Request) -> float | None:
    """Milliseconds to the first plan, preparation included; None where none was met."""
    began = time.perf_counter()
    random = Random(request.seed)
    terrain = Terrain(build(request, pool_of(request), random).problem)
    found = anneal(terrain, [], random, FIRST, Mix(), stop=True)
    return 1000 * (time.perf_counter() - began) if found.whole else None


def main(argv: list[str]) -> int:
    """Print a line a budget."""
    count = int(argv[0]) if argv else 30
    briefs = [usual_brief(Random(seed)) for seed in range(count)]
    compose(Request(briefs[0], shipped(), budget=BUDGETS["tests"]))  # libraries are loaded
    made = {
        name: [planned(Request(brief, shipped(), budget=budget)) for brief in briefs]
        for name, budget in BUDGETS.items()
    }
    best = [
        max((every[k].points or -10_000 for every in made.values()), default=0)
        for k in range(count)
    ]
    print(environment())
    print(f"{count} usual briefs; points below the best known of each")
    print("budget     proposals   plans |  ms: p50      p95      max |  points: mean   p95")
    for name, every in made.items():
        budget = BUDGETS[name]
        proposals = budget.anneals * budget.length + budget.last
        below = [top - m.points for m, top in zip(every, best, strict=True) if m.points is not None]
        print(
            f"{name:<10} {proposals:>9} {len(below):>4}/{count:<3}| "
            f"{spread([m.took_ms for m in every])} | "
            f"{mean(below):12.1f} {share(sorted(below), 0.95):5.0f}"
        )
    firsts = [first_ms(Request(brief, shipped())) for brief in briefs]
    met = [ms for ms in firsts if ms is not None]
    print(f"first plan in {FIRST.proposals} proposals: {len(met)} of {count}, ms {spread(met)}")
    return 0


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
