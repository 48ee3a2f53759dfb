"""What must follow when a problem is changed in a known way."""

from dataclasses import replace
from functools import lru_cache
from random import Random

import numpy as np
import pytest

from core.planner.problem import Problem
from core.planner.search import Budget, Search
from tests.checks.exact import Answer, solve
from tests.checks.published import KNAPSACKS, knapsack
from tests.checks.small import problems
from tests.problems import node, problem

SECONDS = 60.0
BUDGET = Budget(anneals=4, length=4_000, last=8_000, hot=30)
POOLS, ITEMS = 2, 12


@lru_cache(maxsize=1)
def small() -> tuple[Problem, ...]:
    """Problems of real exercises that have a plan."""
    found = (p for p in problems(12, ITEMS) if not Search(p, Random(1)).run(BUDGET).shortfall)
    return tuple(p for p, _ in zip(found, range(POOLS), strict=False))


@lru_cache(maxsize=POOLS)
def proved(number: int) -> Answer:
    """The optimum of a small problem."""
    answer = solve(small()[number], SECONDS)
    assert answer.status == "optimal"
    return answer


def searched(p: Problem) -> int:
    """What the search finds."""
    found = Search(p, Random(1)).run(BUDGET)
    assert found.shortfall == 0
    return found.objective


@pytest.mark.parametrize("number", range(POOLS))
def test_a_later_end_never_lowers_the_worth(number: int) -> None:
    p, best = small()[number], proved(number)
    longer = tuple(replace(w, high=w.high + 120) for w in p.windows)
    search = Search(replace(p, windows=longer), Random(1))
    kept = search.settle(best.nodes)
    assert (kept.objective, kept.shortfall) == (best.objective, 0)
    assert search.run(BUDGET, best.nodes).objective >= best.objective


@pytest.mark.parametrize("number", range(POOLS))
def test_leaving_an_exercise_out_never_raises_the_worth(number: int) -> None:
    """A caution takes exercises away; what is left can't be worth more than all."""
    p, best = small()[number], proved(number)
    for gone in {p.nodes[k].item for k in best.nodes[::3]} - p.required:
        stay = [k for k, n in enumerate(p.nodes) if n.item != gone]
        less = replace(
            p,
            nodes=tuple(p.nodes[k] for k in stay),
            cost=np.ascontiguousarray(p.cost[np.ix_(stay, stay)]),
            time=np.ascontiguousarray(p.time[np.ix_(stay, stay)]),
        )
        found = Search(less, Random(1)).run(BUDGET)
        assert found.shortfall or found.objective <= best.objective


@pytest.mark.parametrize("number", range(POOLS))
def test_a_slower_clock_with_a_longer_slot_changes_no_choice(number: int) -> None:
    """Everything three times as slow, and three times the time for it."""
    p = small()[number]
    nodes = tuple(replace(n, times=tuple(3 * t for t in n.times)) for n in p.nodes)
    windows = tuple(replace(w, low=3 * w.low, high=3 * w.high) for w in p.windows)
    slow = replace(p, nodes=nodes, windows=windows, time=3 * p.time)
    answer = solve(slow, SECONDS, hint=(proved(number).nodes, proved(number).steps))
    assert (answer.status, answer.objective) == ("optimal", proved(number).objective)
    kept = Search(p, Random(1)).settle(proved(number).nodes)
    slowed = Search(slow, Random(1)).settle(proved(number).nodes)
    assert (slowed.objective, slowed.steps, slowed.shortfall) == (kept.objective, kept.steps, 0)


@pytest.mark.parametrize("number", range(POOLS))
def test_one_seed_gives_one_solution(number: int) -> None:
    p = small()[number]
    first, again = (Search(p, Random(5)).run(Budget(1, 3000, 1000)) for _ in range(2))
    assert first == again


def test_without_change_over_the_order_is_worth_nothing() -> None:
    nodes = [node(k, value=10 + k, times=(10 + k, 12 + k), family=k, run=k) for k in range(6)]
    search = Search(problem(nodes), Random(1))
    orders = [Random(seed).sample(range(6), 6) for seed in range(20)]
    assert len({search.settle(order).objective for order in orders}) == 1


def test_a_bigger_sack_never_holds_less() -> None:
    sacks = [replace(KNAPSACKS[0], capacity=capacity) for capacity in range(100, 180, 10)]
    worths = [searched(knapsack(sack)) for sack in sacks]
    assert worths == sorted(worths)
