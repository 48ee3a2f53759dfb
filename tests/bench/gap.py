"""How far plans are from the best that long searches find."""

import time
from collections import Counter
from collections.abc import Sequence
from random import Random
from statistics import mean

from core.planner.model import Model, build, pool_of
from core.planner.request import Request
from core.planner.search import IN_PYTHON, Budget, Search, usual
from core.planner.weights import EXTRA_ITEM, SECOND_SET
from tests.bench.environment import share

SAMPLE, SEARCHES = 24, 6
SEEDS = (101, 102)  # not among those of the long searches
LONG = Budget(anneals=10, length=200_000, last=1_500_000, hot=16.0, again=4.0, rounds=6)
BUDGETS = {
    "a glance": Budget(1, 4000, 2000),
    "in Python": IN_PYTHON,
    "usual": usual(),
    "double": Budget(12, 80_000, 500_000, rounds=8),
}


def sample(every: Sequence[Request]) -> list[Model]:
    """The problems of a fixed part of the requests that can be planned."""
    models: list[Model] = []
    for request in every[:: max(1, len(every) // (2 * SAMPLE))]:
        model = build(request, pool_of(request), Random(request.seed))
        search = Search(model.problem, Random(1))
        if len(models) < SAMPLE and not search.run(BUDGETS["double"]).shortfall:
            models.append(model)
    return models


def gross(model: Model, nodes: Sequence[int]) -> int:
    """Work and quotas: what a plan is worth before every exercise's charge and all changes.

    What longer classes charge beyond the usual is not added back: gaps are if anything overstated.
    """
    counts = Counter(quota for k in nodes for quota in model.problem.nodes[k].covers)
    paid = sum(sum(q.rewards[: counts[n]]) for n, q in enumerate(model.problem.quotas))
    charges = sum(EXTRA_ITEM + SECOND_SET * (model.choices[k].sets - 1) for k in nodes)
    return paid + charges + sum(model.problem.nodes[k].value for k in nodes)


def best(model: Model, seconds: float) -> tuple[int, int]:
    """The best objective of several searches of so many processor seconds, and its gross reward."""
    found: tuple[int, int] | None = None
    for seed in range(SEARCHES):
        search, until = Search(model.problem, Random(seed)), time.process_time() + seconds
        while time.process_time() < until:
            solution = search.run(LONG)
            if not solution.shortfall and (found is None or solution.objective > found[0]):
                found = solution.objective, gross(model, solution.nodes)
    assert found is not None
    return found


def print_gap(every: Sequence[Request], seconds: float) -> None:
    """Print the gap of the usual budget, in per cent of gross reward."""
    models = sample(every)
    known = [best(model, seconds) for model in models]
    print(f"gap to the best of {SEARCHES} searches of {seconds:.0f} s, {len(models)} requests:")
    for name in ("in Python", "usual", "double"):
        _line(name, models, known)


def print_equal_time(every: Sequence[Request]) -> None:
    """Print how often an exact solver does better in the time the search takes.

    Only solving counts against it; building its model takes many times as long.
    """
    from tests.checks.exact import solve  # noqa: PLC0415 - its size would count as the planner's

    models = sample(every)
    worse = answered = 0
    for model in models:
        began = time.perf_counter()
        found = Search(model.problem, Random(SEEDS[0])).run(BUDGETS["usual"])
        answer = solve(model.problem, time.perf_counter() - began, workers=2)
        answered += answer.status in ("optimal", "feasible")
        worse += answer.status in ("optimal", "feasible") and answer.objective > found.objective
    print(
        f"in equal time an exact solver has an answer for {answered} of {len(models)}, "
        f"a better one for {worse}"
    )


def print_budgets(every: Sequence[Request]) -> None:
    """Print time and gap of several budgets, against the best that any of them finds."""
    models = sample(every)
    known = [best(model, 0.1) for model in models]
    for name in BUDGETS:
        _line(name, models, known)


def _line(name: str, models: Sequence[Model], known: Sequence[tuple[int, int]]) -> None:
    gaps: list[float] = []
    took: list[float] = []
    none = 0
    for model, (objective, reward) in zip(models, known, strict=True):
        for seed in SEEDS:
            began = time.process_time()
            found = Search(model.problem, Random(seed)).run(BUDGETS[name])
            took.append(1000 * (time.process_time() - began))
            if found.shortfall:
                none += 1
            else:
                gaps.append(max(0.0, 100 * (objective - found.objective) / reward))
    gaps.sort()
    took.sort()
    print(
        f"{name:<10} gap % mean {mean(gaps):.2f} p50 {share(gaps, 0.5):.2f} "
        f"p95 {share(gaps, 0.95):.2f} max {gaps[-1]:.2f}, without a plan {none}; "
        f"search cpu ms p50 {share(took, 0.5):.0f} p95 {share(took, 0.95):.0f}"
    )
