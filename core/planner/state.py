"""A sequence under search, with the parts of its objective."""

from collections.abc import Sequence
from itertools import pairwise

from core.planner.problem import NEVER
from core.planner.terrain import Terrain


class State:
    """A sequence between two sentinels.

    Attributes:
        worth: value + quotas - change-overs, as far as single nodes, neighbours and counts tell.
        penalty: points of steps away from the usual, of unmet time and of broken rules.
        seconds: of each window at usual steps, packed.
        counts: how many nodes count for each quota.
    """

    __slots__ = ("counts", "filled", "flaws", "seconds", "seq", "unmet", "worth")

    def __init__(self, terrain: Terrain, inner: Sequence[int]) -> None:
        t = terrain
        self.seq = [t.start, *inner, t.end]
        for k in inner:
            if not t.cost[k]:
                t.open(k)
        problem = t.problem
        self.seconds = 0
        self.worth = 0
        for a, b in pairwise(self.seq):
            self.worth -= t.cost[a][b]
            self.seconds += t.time[a][b] * t.second[b] + t.load[b]
        self.counts = [0] * len(problem.quotas)
        for k in inner:
            self.worth += t.value[k]
            for covered in problem.nodes[k].covers:
                self.counts[covered] += 1
        for quota, count in zip(problem.quotas, self.counts, strict=True):
            self.worth += quota.worth(count)
        self.worth -= t.unbalanced(self.counts)
        changed, self.unmet, _ = t.filler.fill(inner, t.clock.totals(self.seconds))
        self.filled = changed + self.unmet
        self.flaws = t.rules.broken(inner)

    @property
    def penalty(self) -> int:
        """Points of what is filled in, of unmet time and of broken rules."""
        return self.filled + self.flaws

    @property
    def objective(self) -> int:
        """What the sequence is worth in all."""
        return self.worth - self.penalty

    def shortfall(self, terrain: Terrain) -> int:
        """Points of everything a solution may not have; 0 for a plan."""
        return self.unmet + self.flaws + impossible(terrain, self.seq, self.counts)


def impossible(t: Terrain, seq: Sequence[int], counts: Sequence[int]) -> int:
    """Points of arcs that must not be taken, quotas that are missed, balances that do not hold."""
    arcs = sum(t.cost[a][b] >= NEVER for a, b in pairwise(seq))
    wanting = sum(max(0, q.least - c) for q, c in zip(t.problem.quotas, counts, strict=True))
    return NEVER * (arcs + wanting) + t.unbalanced(counts)
