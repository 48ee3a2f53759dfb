"""A problem made ready for the search: plain lists, rows made only when they are asked for."""

from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise
from math import log

import numpy as np
from numpy.typing import NDArray

from core.planner.clock import Clock
from core.planner.fill import Filler
from core.planner.problem import MISSING, NEVER, Problem, Table
from core.planner.structure import ABSENT, Rules

Pulls = NDArray[np.int64]

NEAREST = 48  # candidates kept for a place between two nodes
LOPSIDED = 60  # points for each the heavy side of a balance is over
COUNTED = 99  # a quota pays nothing for more nodes than this
FRACTION = 1024  # parts of a point in which prices of seconds are reckoned
DEAR = 4  # a second is worth this much more than on average where seconds are scarce: good choices
LOGS = 8192  # a table of as many logarithms of even numbers between 0 and 1 ...
SCATTER = 5063  # ... in an order that spreads them: odd, near the golden section of LOGS


class Covers(dict[int, tuple[int, ...]]):
    """Mask -> the quotas in it, worked out when first asked for."""

    def __missing__(self, mask: int) -> tuple[int, ...]:
        found = self[mask] = tuple(k for k in range(mask.bit_length()) if mask >> k & 1)
        return found


class Terrain:
    """Everything about a problem that does not change while it is searched.

    Attributes:
        start, end: two more node numbers, before everything and after everything.
        cost, back: points from a node to each other, and to a node from each other. A row is empty
            until `open` is called with its number.
        time, lead: the same in seconds.
        second: what a second before a node adds to the packed clock.
        load: what a node adds to it at its usual step.
        mask: the quotas a node counts for, as bits.
        twins: the nodes of the same item.
    """

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        nodes = problem.nodes
        size = len(nodes)
        self.start, self.end = size, size + 1
        self.value = [node.value for node in nodes]
        self.item = [node.item for node in nodes]
        self.clock = Clock(problem.windows, problem.stages)
        self.stage = [node.stage for node in nodes] + [0, problem.stages - 1]
        self.second = [self.clock.second[stage] for stage in self.stage]
        self.load = [self.second[k] * n.times[n.usual] for k, n in enumerate(nodes)] + [0, 0]
        self.mask = [sum(1 << quota for quota in node.covers) for node in nodes]
        longest = [1] * problem.stages
        for node in nodes:
            steps = (b - a for a, b in pairwise(node.times))
            longest[node.stage] = max(longest[node.stage], *steps, 1)
        # each window: its field, its bounds, the longest step in it, whether it is a single stage
        self.clocks = [
            (*bounds, max(longest[w.first : w.last + 1]), w.first == w.last)
            for bounds, w in zip(self.clock.windows, problem.windows, strict=True)
        ]
        self.filler = Filler(nodes, problem.windows)
        self.rules = Rules(problem, nodes)
        self.gain = [
            [
                (quota.rewards[c] if c < len(quota.rewards) else 0)
                + (MISSING if c < quota.least else 0)
                for c in range(COUNTED)
            ]
            for quota in problem.quotas
        ]
        self.logs = _logs()
        self.covers = Covers()
        by_item: dict[int, list[int]] = {}
        for k, node in enumerate(nodes):
            by_item.setdefault(node.item, []).append(k)
        self.twins = [by_item[node.item] for node in nodes]
        stages = np.array(self.stage[:size], dtype=np.int32)
        bounds = np.searchsorted(stages, np.arange(problem.stages + 1)).tolist()
        self.first, self.beyond = bounds[:-1], bounds[1:]
        self._cost = np.zeros((size + 2, size + 2), dtype=np.int32)
        self._cost[:size, :size] = problem.cost
        self._cost[self.start, :size] = NEVER * stages
        self._cost[:size, self.end] = NEVER * (problem.stages - 1 - stages)
        self._cost[self.start, self.end] = NEVER * problem.stages
        self._time = problem.time
        self.price = _price(problem)
        self._pulls: _Pulls | None = None
        self.cost: list[list[int]] = [[] for _ in range(size + 2)]
        self.time: list[list[int]] = [[] for _ in range(size + 2)]
        self.lead: list[list[int]] = [[] for _ in range(size + 2)]
        self.cost[self.start] = self._cost[self.start].tolist()
        self.time[self.start] = self.lead[self.end] = [0] * (size + 2)
        self.gaps: dict[int, tuple[list[int], list[int]]] = {}

    def open(self, k: int) -> None:
        """Make the rows of a node."""
        self.cost[k] = self._cost[k].tolist()
        self.time[k] = [*self._time[k].tolist(), 0, 0]
        self.lead[k] = [*self._time[:, k].tolist(), 0, 0]

    def between(self, a: int, b: int) -> tuple[list[int], list[int]]:
        """Nodes that may stand between two, the most promising first, and what each adds.

        What a node adds is its value less its two arcs; the arc that it replaces is not counted.
        How promising it is also depends on the seconds it takes, at the going price.
        """
        low, high = self.stage[a], self.stage[b]
        if low > high:
            low, high = high, low
        span = slice(self.first[low], self.beyond[high])
        pulls = self._pulls = self._pulls or _Pulls(self.problem, self._cost, self.price)
        arcs = self._cost[a, span] + pulls.cost_to[b, span]
        if pulls.dear:
            keys = pulls.dear[0][a, span] + pulls.dear[1][b, span]
        else:
            keys = arcs.astype(np.int64) * FRACTION
        keys <<= pulls.shift
        keys += pulls.key[span]
        keys.sort()
        order = (keys[:NEAREST] & pulls.few) - span.start
        added = (pulls.worth[span] - arcs)[order]
        fit = added > -NEVER - self.cost[a][b]
        found = ((order[fit] + span.start).tolist(), added[fit].tolist())
        self.gaps[a * len(self.stage) + b] = found
        return found

    def squares(self) -> tuple[Table, Table]:
        """Points and seconds from each node to each other, start and end among them."""
        size = len(self.problem.nodes)
        time: Table = np.zeros((size + 2, size + 2), dtype=np.int32)
        time[:size, :size] = self._time
        return self._cost, time

    def arc(self, a: int, b: int) -> int:
        """Points from one node to another."""
        return int(self._cost[a, b])

    def unbalanced(self, counts: Sequence[int]) -> int:
        """Points of balances that do not hold."""
        points = 0
        for b in self.problem.balances:
            over = counts[b.heavy] - b.ratio * counts[b.light]
            if over > 0:
                points += LOPSIDED * over
        return points


class _Pulls:
    """How strongly each node is drawn to stand after and before each other.

    Points and number of a node stand in one integer, so that a sort needs no second table and has
    no ties; what must be there comes first.
    """

    def __init__(self, problem: Problem, cost: Table, price: int) -> None:
        nodes, size = problem.nodes, len(problem.nodes)
        self.worth = np.array([n.value for n in nodes], dtype=np.int32)
        self.cost_to = np.ascontiguousarray(cost.T)
        bonus = np.array([ABSENT if n.item in problem.required else 0 for n in nodes], np.int64)
        self.shift = size.bit_length()
        self.few = (1 << self.shift) - 1
        spent = np.array([n.times[n.usual] for n in nodes], dtype=np.int64)
        least = ((self.worth + bonus) * FRACTION - price * spent) << self.shift
        self.key = np.arange(size) - least
        self.dear: tuple[Pulls, Pulls] | None = None  # arcs with their seconds, where those cost
        if price:
            pulls = cost.astype(np.int64) * FRACTION
            pulls[:size, :size] += price * problem.time
            self.dear = pulls, np.ascontiguousarray(pulls.T)


@lru_cache(maxsize=1)
def _logs() -> tuple[float, ...]:
    """Logarithms of even numbers between 0 and 1, scattered."""
    return tuple(log((k * SCATTER % LOGS + 0.5) / LOGS) for k in range(LOGS))


def _price(problem: Problem) -> int:
    """Parts of a point that a second costs, for the order in which candidates are looked at.

    Where time must be filled, seconds are not scarce and cost nothing.
    """
    widest = max(problem.windows, key=lambda w: w.high, default=None)
    if widest is None or widest.low > 0 or widest.high <= 0:
        return 0
    best: dict[int, int] = {}
    for node in problem.nodes:
        if node.item not in problem.required:
            best[node.item] = max(best.get(node.item, 0), node.value)
    return DEAR * sum(best.values()) * FRACTION // widest.high
