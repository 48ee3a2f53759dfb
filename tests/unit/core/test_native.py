"""The search in C gives the answers of the search in Python, to the last random number."""

import shutil
from random import Random

import pytest

from core.planner.anneal import Mix, Schedule, anneal
from core.planner.model import build, pool_of
from core.planner.native import available, native
from core.planner.problem import Problem
from core.planner.terrain import Terrain
from core.repertoire import shipped
from tests.bench.requests import requests
from tests.problems import problem, tiny

HAS_COMPILER = shutil.which("cc") or shutil.which("gcc")
compiled = pytest.mark.skipif(not HAS_COMPILER, reason="this machine has no C compiler")
SCHEDULE = Schedule(proposals=3000, hot=20.0, cold=1.0)


@compiled
def test_where_there_is_a_compiler_the_search_runs_in_c() -> None:
    assert available()


@compiled
@pytest.mark.parametrize("seed", range(40))
def test_small_problems_are_searched_alike(seed: int) -> None:
    alike(tiny(Random(seed), items=4 + seed % 9, stages=2 + seed % 3), seed)


@compiled
@pytest.mark.parametrize("number", range(10))
def test_classes_are_searched_alike(number: int) -> None:
    asked = requests(shipped(), 10, seed=77)[number]
    alike(build(asked, pool_of(asked), Random(3)).problem, 3)


@compiled
@pytest.mark.parametrize("seed", range(3))
def test_the_first_plan_is_the_same(seed: int) -> None:
    asked = requests(shipped(), 3, seed=8)[seed]
    alike(build(asked, pool_of(asked), Random(seed)).problem, seed, stop=True)


@compiled
def test_nothing_to_choose_from_is_no_trouble() -> None:
    alike(problem(()), 1)


def alike(p: Problem, seed: int, *, stop: bool = False) -> None:
    """Both give one answer from nothing and from that answer, and leave the same randomness."""
    slow, quick = Random(seed), Random(seed)
    ready = native(Terrain(p))
    assert ready is not None
    fast = ready.lane(0)
    start: list[int] = []
    for _ in range(2):
        in_python = anneal(Terrain(p), start, slow, SCHEDULE, Mix(), stop=stop)
        assert fast.anneal(start, quick, SCHEDULE, Mix(), stop=stop) == in_python
        assert slow.getstate() == quick.getstate()
        start = in_python.seq
