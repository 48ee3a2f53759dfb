"""The search on published instances of two classical problems: it must find their optima."""

from random import Random

import pytest

from core.planner.search import Budget, Search
from tests.checks.published import (
    KNAPSACKS,
    SET_2_OPTIMA,
    Knapsack,
    knapsack,
    length,
    orienteering,
    score,
)

# Temperatures suit the points of the cases: a score of 5 is 100 points, a knapsack item up to 617.
ROUTES = Budget(anneals=24, length=8_000, last=32_000, hot=100, cold=40, again=80, rounds=4)
SACKS = Budget(anneals=12, length=8_000, last=24_000, hot=120, cold=2, again=20)
FLOAT = 1e-9


@pytest.mark.parametrize(("limit", "optimum"), SET_2_OPTIMA.items())
def test_a_route_collects_the_best_score_within_its_limit(limit: int, optimum: int) -> None:
    problem = orienteering(limit)
    found = Search(problem, Random(1)).run(ROUTES)
    assert found.shortfall == 0
    assert length(problem, found.nodes) <= limit + FLOAT
    assert score(problem, found.nodes) == optimum


@pytest.mark.parametrize("sack", KNAPSACKS, ids=lambda sack: sack.name)
def test_a_sack_is_filled_to_its_best_value(sack: Knapsack) -> None:
    found = Search(knapsack(sack), Random(1)).run(SACKS)
    assert found.shortfall == 0
    assert sum(sack.weights[k] for k in found.nodes) <= sack.capacity
    assert found.objective == sack.optimum
