"""The search: its objective is the true one, its seed decides, and small problems are solved."""

from random import Random
from statistics import mean

import pytest

from core.apparatus import ApparatusId
from core.brief import ClassBrief
from core.planner.anneal import Mix, Schedule, anneal
from core.planner.fill import fill
from core.planner.model import Model, build, pool_of
from core.planner.problem import MISSING, NEVER, Problem, Quota, Solution
from core.planner.request import Request
from core.planner.search import Budget, Search
from core.planner.terrain import Terrain
from core.repertoire import shipped
from tests.problems import (
    arcs,
    flaws,
    node,
    problem,
    seconds,
    sequences,
    shortfall,
    tiny,
    unmet,
    worth,
)

SMALL = Budget(anneals=2, length=1500, last=500)
HOTTER = Budget(anneals=16, length=2000, last=6000, hot=80.0)  # few items: each matters more


def solve(p: Problem, seed: int = 1, budget: Budget = SMALL) -> Solution:
    """A solution of a problem."""
    return Search(p, Random(seed)).run(budget)


def steps_of(p: Problem, seq: tuple[int, ...]) -> list[int]:
    """The steps that the fill gives a sequence."""
    spent = seconds(p, seq, [p.nodes[k].usual for k in seq])
    return fill([p.nodes[k] for k in seq], spent, p.windows)[2]


def best_plan(p: Problem) -> int | None:
    """What the best of all sequences without shortfall is worth; None where there is none."""
    found = []
    for seq in sequences(p):
        if max(arcs(p, seq)) < NEVER and not flaws(p, [p.nodes[k] for k in seq]):
            steps = steps_of(p, seq)
            if not shortfall(p, seq, steps):
                found.append(worth(p, seq, steps))
    return max(found, default=None)


def model(minutes: int, apparatus: str) -> Model:
    """The problem of a class from the shipped library."""
    request = Request(ClassBrief(minutes, (ApparatusId(apparatus),)), shipped())
    return build(request, pool_of(request), Random(1))


MODELS = [model(30, "chair"), model(45, "mat"), model(60, "reformer")]


@pytest.mark.parametrize("seed", range(60))
def test_the_objective_of_a_tiny_problem_is_what_a_slow_count_says(seed: int) -> None:
    p = tiny(Random(seed))
    found = solve(p, seed)
    assert found.objective == worth(p, found.nodes, found.steps)
    assert found.shortfall == shortfall(p, found.nodes, found.steps)


@pytest.mark.parametrize("known", MODELS)
def test_the_objective_of_a_class_is_what_a_slow_count_says(known: Model) -> None:
    found = Search(known.problem, Random(3)).run(Budget(1, 5000, 1000))
    assert found.shortfall == 0
    assert found.objective == worth(known.problem, found.nodes, found.steps)


def test_any_sequence_is_settled_at_its_slow_count() -> None:
    random = Random(5)
    for seed in range(40):
        p = tiny(Random(seed))
        search = Search(p, Random(1))
        for seq in random.sample(list(sequences(p, 3)), 10):
            found = search.settle(seq)
            assert found.objective == worth(p, seq, found.steps)
            assert found.shortfall == shortfall(p, seq, found.steps)


@pytest.mark.parametrize("known", MODELS)
def test_what_an_anneal_believes_after_many_moves_is_true(known: Model) -> None:
    terrain = Terrain(known.problem)
    found = anneal(terrain, [], Random(2), Schedule(4000, 20.0, 2.0), Mix())
    settled = Search(known.problem, Random(1)).settle(found.seq)
    assert (found.objective, found.whole) == (settled.objective, settled.shortfall == 0)


def test_tiny_problems_are_solved_to_the_optimum() -> None:
    solvable = solved = 0
    for seed in range(36):
        p = tiny(Random(1000 + seed), items=5 + seed % 2)
        optimum = best_plan(p)
        found = solve(p, seed, HOTTER)
        if optimum is None:
            assert found.shortfall > 0
            continue
        solvable += 1
        solved += found.shortfall == 0 and found.objective == optimum
        assert found.shortfall or found.objective <= optimum
    assert solvable >= 12
    assert solved == solvable


def test_seven_items_are_solved_to_the_optimum() -> None:
    p = tiny(Random(77), items=7, stages=2)
    optimum = best_plan(p)
    assert optimum is not None
    assert solve(p, 1, HOTTER).objective == optimum


def test_one_seed_gives_one_solution() -> None:
    p = MODELS[0].problem
    first, again, other = (solve(p, seed, Budget(1, 3000, 500)) for seed in (4, 4, 5))
    assert first == again
    assert first.nodes != other.nodes


def test_more_budget_is_better_on_average() -> None:
    def average(budget: Budget) -> float:
        return mean(solve(m.problem, s, budget).objective for m in MODELS for s in range(3))

    little, more = average(Budget(1, 1000, 0)), average(Budget(1, 7000, 0))
    assert more > little


def test_iterations_are_counted_in_proposals() -> None:
    assert solve(tiny(Random(1)), budget=Budget(3, 200, 60)).iterations == 660


def test_a_start_is_never_left_for_something_worse() -> None:
    p = MODELS[0].problem
    good = solve(p, 1, Budget(1, 4000, 0))
    again = Search(p, Random(9)).run(Budget(1, 50, 0), good.nodes)
    assert again.objective >= good.objective


def test_a_problem_without_nodes_has_an_empty_solution() -> None:
    found = solve(problem(()), budget=Budget(1, 20, 5))
    assert (found.nodes, found.steps) == ((), ())


def test_shortfall_names_what_no_solution_can_have() -> None:
    p = problem([node(0)], quotas=(Quota("never", (), 2),))
    found = solve(p)
    assert found.objective == 10 - 2 * MISSING
    assert found.shortfall == 2 * NEVER


def test_a_solution_without_shortfall_holds_every_window_and_quota() -> None:
    for known in MODELS:
        p = known.problem
        found = solve(p, 2, Budget(1, 6000, 1000))
        assert found.shortfall == 0
        assert unmet(p.windows, seconds(p, found.nodes, found.steps)) == 0
        for k, quota in enumerate(p.quotas):
            assert sum(k in p.nodes[n].covers for n in found.nodes) >= quota.least
