"""The search against proved optima, in short; `python -m tests.bench.exact` is the full form."""

from functools import lru_cache
from itertools import product
from random import Random

import pytest

from core.planner.problem import NEVER, Problem
from core.planner.search import Budget, Search
from tests.checks.exact import solve
from tests.checks.published import KNAPSACKS, SETS, knapsack, orienteering, score
from tests.checks.small import problems
from tests.problems import arcs, flaws, sequences, shortfall, tiny, worth

SECONDS = 60.0  # never needed; a machine under load must not turn a proof into a doubt
SMALL = Budget(anneals=6, length=6_000, last=18_000, hot=30)
SEEDS = range(12)
POOLS, ITEMS = 4, 14


def best_of_all(p: Problem) -> int | None:
    """What the best of all sequences with all steps is worth; None if none keeps every rule."""
    best: int | None = None
    for seq in sequences(p):
        nodes = [p.nodes[k] for k in seq]
        if not seq or max(arcs(p, seq)) >= NEVER or flaws(p, nodes):
            continue
        for steps in product(*(range(len(n.times)) for n in nodes)):
            if not shortfall(p, seq, steps):
                points = worth(p, seq, steps)
                best = points if best is None else max(best, points)
    return best


@pytest.mark.parametrize("seed", SEEDS)
def test_the_exact_model_and_plain_counting_agree(seed: int) -> None:
    """The model is checked too: against all that can be done with few items."""
    problem = tiny(Random(seed), items=4)
    optimum = best_of_all(problem)
    answer = solve(problem, SECONDS)
    if optimum is None:
        assert answer.status == "impossible"
        assert solve(problem, SECONDS, presolve=False).status == "impossible"
        return
    assert (answer.status, answer.objective) == ("optimal", optimum)
    assert answer.objective == worth(problem, answer.nodes, answer.steps)


def test_the_exact_model_knows_the_published_optima() -> None:
    answer = solve(knapsack(KNAPSACKS[2]), SECONDS)
    assert (answer.status, answer.objective) == ("optimal", KNAPSACKS[2].optimum)
    answer, country = solve(orienteering(SETS[1], 15), SECONDS), SETS[1]
    assert answer.status == "optimal"
    assert score(country, orienteering(country, 15), answer.nodes) == country.optima[15]


@lru_cache(maxsize=1)
def small() -> tuple[Problem, ...]:
    """A few problems of real exercises."""
    return tuple(problems(POOLS, ITEMS))


@pytest.mark.parametrize("number", range(POOLS))
def test_the_search_reaches_the_proved_optimum_of_a_small_pool(number: int) -> None:
    problem = small()[number]
    found = Search(problem, Random(1)).run(SMALL)
    hint = None if found.shortfall else (found.nodes, found.steps)
    answer = solve(problem, SECONDS, hint=hint, presolve=not found.shortfall)
    if found.shortfall:
        assert answer.status == "impossible"
    else:
        assert (answer.status, answer.objective) == ("optimal", found.objective)
