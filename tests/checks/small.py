"""Seeded requests on small pools, where an exact solver can prove the optimum."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from random import Random

from core.exercise import Exercise, Phase
from core.planner.model import build, pool_of
from core.planner.problem import Problem
from core.planner.request import Request
from core.planner.weights import EXTRA_ITEM
from core.repertoire import shipped
from tests.bench.requests import requests

MINUTES = (20, 25, 30)
SHARES = {Phase.WARM_UP: 0.2, Phase.FOUNDATION: 0.25, Phase.PEAK: 0.35, Phase.COOL_DOWN: 0.2}


def problems(count: int, items: int, seed: int = 7) -> Iterator[Problem]:
    """As many problems of at most `items` exercises, drawn from seeded requests."""
    random = Random(seed)
    for asked in requests(shipped(), count, seed):
        brief = replace(asked.brief, minutes=random.choice(MINUTES), must=asked.brief.must[:1])
        request = replace(asked, brief=brief)
        yield build(request, _few(request, items, random), random).problem


def _few(request: Request, items: int, random: Random) -> list[Exercise]:
    """A part of the pool with something for every phase, and what has to be there."""
    pool = list(pool_of(request))
    random.shuffle(pool)
    few = {e.id: e for e in pool if e.id in request.brief.must}
    for phase, share in SHARES.items():
        fit = [e for e in pool if phase in e.phases and e.id not in few]
        few |= {e.id: e for e in fit[: int(items * share)]}
    chosen = set(list(few)[:items])
    return [e for e in pool if e.id in chosen]


def gross(problem: Problem, nodes: Sequence[int]) -> int:
    """What a solution is worth before anything is taken off: work and quotas.

    Each exercise's own charge is a cost, too; a problem does not know the trade, so here the
    charge is added back for every node.
    """
    counts = Counter(quota for k in nodes for quota in problem.nodes[k].covers)
    paid = sum(sum(quota.rewards[: counts[n]]) for n, quota in enumerate(problem.quotas))
    return paid + sum(problem.nodes[k].value + EXTRA_ITEM for k in nodes)
