"""The search on published instances of two classical problems: it must find their optima."""

from random import Random

import pytest

from core.planner.search import Budget, Search
from tests.checks.published import (
    KNAPSACKS,
    SETS,
    Country,
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


CASES = [(country, *case) for country in SETS for case in country.optima.items()]


@pytest.mark.parametrize(
    ("country", "limit", "optimum"), CASES, ids=[f"set {c.number} within {n}" for c, n, _ in CASES]
)
def test_a_route_collects_the_best_score_within_its_limit(
    country: Country, limit: int, optimum: int
) -> None:
    problem = orienteering(country, limit)
    found = Search(problem, Random(1)).run(ROUTES)
    assert found.shortfall == 0
    assert length(country, problem, found.nodes) <= limit + FLOAT
    assert score(country, problem, found.nodes) == optimum


@pytest.mark.parametrize("sack", KNAPSACKS, ids=lambda sack: sack.name)
def test_a_sack_is_filled_to_its_best_value(sack: Knapsack) -> None:
    found = Search(knapsack(sack), Random(1)).run(SACKS)
    assert found.shortfall == 0
    assert sum(sack.weights[k] for k in found.nodes) <= sack.capacity
    assert found.objective == sack.optimum
