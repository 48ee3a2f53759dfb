"""Published instances of two classical problems, each as a case of the abstract one.

Orienteering: T. Tsiligirides, J Oper Res Soc 1984;35(9):797-809, sets 1 to 3; optima by exact label
setting over what was visited, for the limits that it can settle. Knapsack: the "knapsack_01"
collection; optima by dynamic programming.
"""

from dataclasses import dataclass
from itertools import pairwise
from math import floor, hypot

import numpy as np

from core.planner.problem import BACK, NEVER, Node, Problem, Window

Point = tuple[float, float, int]  # x, y, score


@dataclass(frozen=True, slots=True)
class Country:
    """Two ends, the points between them as "x y score", and the best score by limit."""

    number: int
    start: tuple[float, float]
    end: tuple[float, float]
    listed: str
    optima: dict[int, int]

    @property
    def points(self) -> tuple[Point, ...]:
        """The ends, which score nothing, around everything else."""
        read = [line.split() for line in self.listed.split(", ")]
        between = [(float(x), float(y), int(score)) for x, y, score in read]
        return ((*self.start, 0), *between, (*self.end, 0))


SETS = (
    Country(
        1,
        (10.5, 14.4),
        (11.2, 14.1),
        "18 15.9 10, 18.3 13.3 10, 16.5 9.3 10, 15.4 11 10, 14.9 13.2 5, 16.3 13.3 5, 16.4 17.8 "
        "5, 15 17.9 5, 16.1 19.6 10, 15.7 20.6 10, 13.2 20.1 10, 14.3 15.3 5, 14 5.1 10, 11.4 6.7 "
        "15, 8.3 5 15, 7.9 9.8 10, 11.4 12 5, 11.2 17.6 5, 10.1 18.7 5, 11.7 20.3 10, 10.2 22.1 "
        "10, 9.7 23.8 10, 10.1 26.4 15, 7.4 24 15, 8.2 19.9 15, 8.7 17.7 10, 8.9 13.6 10, 5.6 "
        "11.1 10, 4.9 18.9 10, 7.3 18.8 10",
        {5: 10, 10: 15, 15: 45, 20: 65, 25: 90, 30: 110, 35: 135},
    ),
    Country(
        2,
        (4.6, 7.1),
        (5.0, 5.6),
        "5.7 11.4 20, 4.4 12.3 20, 2.8 14.3 30, 3.2 10.3 15, 3.5 9.8 15, 4.4 8.4 10, 7.8 11.0 20, "
        "8.8 9.8 20, 7.7 8.2 20, 6.3 7.9 15, 5.4 8.2 10, 5.8 6.8 10, 6.7 5.8 25, 13.8 13.1 40, "
        "14.1 14.2 40, 11.2 13.6 30, 9.7 16.4 30, 9.5 18.8 50, 4.7 16.8 30",
        {15: 120, 20: 200, 23: 210, 25: 230, 27: 230, 30: 265}
        | {32: 300, 35: 320, 38: 360, 40: 395, 45: 450},
    ),
    Country(
        3,
        (19.1, 24.3),
        (18.2, 24.0),
        "12.6 24.9 20, 14.4 28.0 20, 16.9 28.1 20, 20.7 28.2 20, 12.5 26.6 20, 21.8 27.3 20, 12.5 "
        "22.6 20, 22.5 17.0 30, 19.9 15.0 30, 14.9 15.1 30, 11.5 18.6 30, 12.4 29.8 30, 17.8 28.1 "
        "30, 9.1 29.8 40, 10.0 32.6 40, 13.9 33.1 40, 19.95 10.3 40, 15.2 8.0 40, 14.7 31.2 50, "
        "7.4 36.5 50, 21.0 25.5 50, 18.0 25.3 10, 19.5 24.7 10, 21.4 21.8 10, 16.0 21.4 10, 18.65 "
        "26.2 10, 17.9 28.9 10, 14.3 19.9 20, 17.0 19.0 20, 10.8 21.0 20, 15.7 23.7 10",
        {15: 170, 20: 200, 25: 260, 30: 320, 35: 390},
    ),
)


@dataclass(frozen=True, slots=True)
class Knapsack:
    """A sack, what might go in, and the best value."""

    name: str
    capacity: int
    weights: tuple[int, ...]
    values: tuple[int, ...]
    optimum: int


KNAPSACKS = (
    Knapsack(
        "P01",
        165,
        (23, 31, 29, 44, 53, 38, 63, 85, 89, 82),
        (92, 57, 49, 68, 60, 43, 67, 84, 87, 72),
        309,
    ),
    Knapsack("P02", 26, (12, 7, 11, 8, 9), (24, 13, 23, 15, 16), 51),
    Knapsack(
        "P06",
        170,
        (41, 50, 49, 59, 55, 57, 60),
        (442, 525, 511, 593, 546, 564, 617),
        1735,
    ),
    Knapsack(
        "P07",
        750,
        (70, 73, 77, 80, 82, 87, 90, 94, 98, 106, 110, 113, 115, 118, 120),
        (135, 139, 149, 150, 156, 163, 173, 184, 192, 201, 210, 214, 221, 229, 240),
        1458,
    ),
)

FINE = 200  # whole units of time in one unit of distance; distances are rounded up, limits down
# Points of a score and of a unit of distance: of two routes with one score the shorter is better,
# and no route within a limit of 45 is so long that it costs as much as the least score, 5.
SCORE, DISTANCE = 20, 2
END_WORTH = 10_000  # the ends are worth more than everything between them
HEAVY = 100  # units of time in one unit of weight, so that no value outweighs an overrun


def orienteering(country: Country, limit: float) -> Problem:
    """The problem of collecting scores between two fixed ends within a limit of length.

    The ends are the only nodes of the first and the last stage, so they must be in.
    """
    places = country.points
    stage = [0, *(1 for _ in places[1:-1]), 2]
    away = np.array([[hypot(a[0] - b[0], a[1] - b[1]) for b in places] for a in places])
    time = np.ceil(away * FINE).astype(np.int32)
    near = (away * DISTANCE).astype(np.int32)
    ahead = np.array(stage)[None, :] - np.array(stage)[:, None]
    cost = np.where(ahead < 0, BACK, np.where(ahead > 1, NEVER, near)).astype(np.int32)
    window = Window(0, 2, 0, floor(limit * FINE))
    nodes = tuple(
        _node(k, stage[k], SCORE * place[2] if stage[k] == 1 else END_WORTH, 0)
        for k, place in enumerate(places)
    )
    return _problem(nodes, 3, cost, time, window, required=frozenset({0, len(places) - 1}))


def score(country: Country, problem: Problem, nodes: tuple[int, ...]) -> int:
    """What a route collects."""
    return sum(country.points[problem.nodes[k].item][2] for k in nodes)


def length(country: Country, problem: Problem, nodes: tuple[int, ...]) -> float:
    """The true length of a route."""
    way = [country.points[problem.nodes[k].item] for k in nodes]
    return sum(hypot(a[0] - b[0], a[1] - b[1]) for a, b in pairwise(way))


def knapsack(sack: Knapsack) -> Problem:
    """The problem of filling a sack: items with a time and no change-over."""
    size = len(sack.weights)
    nodes = tuple(
        _node(k, 0, value, weight * HEAVY)
        for k, (value, weight) in enumerate(zip(sack.values, sack.weights, strict=True))
    )
    nothing = np.zeros((size, size), dtype=np.int32)
    return _problem(nodes, 1, nothing, nothing, Window(0, 0, 0, sack.capacity * HEAVY))


def _node(item: int, stage: int, value: int, time: int) -> Node:
    return Node(
        item=item,
        stage=stage,
        value=value,
        times=(time,),
        usual=0,
        covers=(),
        family=item,
        series=-1,
        place=0,
        run=item,
        track=0,
        gives=0,
        needs=0,
        peak=0,
    )


def _problem(
    nodes: tuple[Node, ...],
    stages: int,
    cost: np.typing.NDArray[np.int32],
    time: np.typing.NDArray[np.int32],
    window: Window,
    required: frozenset[int] = frozenset(),
) -> Problem:
    return Problem(
        nodes=nodes,
        stages=stages,
        cost=cost,
        time=time,
        windows=(window,),
        quotas=(),
        balances=(),
        required=required,
        longest_run=len(nodes),
        track_changes=0,
        summit=stages - 1,
    )
