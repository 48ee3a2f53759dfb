"""The abstract problem: optional items with values, flexible durations and change-over costs.

Nothing here knows the trade. A node is an item in a stage; a solution is a sequence of nodes whose
stages never go back. All numbers are integers: points for worth, seconds for time.
"""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

Table = NDArray[np.int32]

NEVER = (
    255  # the price of an arc that must not be taken; a sum of points never reaches it by chance
)
BROKEN = 160  # points of one broken rule, unless a problem says otherwise
BACK = 3000  # the price of going back a stage: a flat price makes "later, earlier" a local optimum


@dataclass(frozen=True, slots=True)
class Node:
    """An item in a stage.

    Attributes:
        times: seconds at the lowest, next, ... highest number of steps.
        usual: index into `times` that costs nothing to take.
        covers: the quotas it counts for.
        family: at most one of a family, unless both belong to one series.
        series, place: a block taken in rising places without a break; series -1 is none.
        run: no more than `Problem.longest_run` neighbours share it.
        track: a solution may change tracks only `Problem.track_changes` times.
        gives, needs: bit masks; something it needs, if anything, was given by an earlier node.
        peak: the last node before `Problem.summit` must have the highest of the solution.
    """

    item: int
    stage: int
    value: int
    times: tuple[int, ...]
    usual: int
    covers: tuple[int, ...]
    family: int
    series: int
    place: int
    run: int
    track: int
    gives: int
    needs: int
    peak: int
    step: float = field(init=False)  # seconds of one more step, on average

    def __post_init__(self) -> None:
        steps = len(self.times) - 1
        step = (self.times[-1] - self.times[0]) / steps if steps else 0.0
        object.__setattr__(self, "step", step)


@dataclass(frozen=True, slots=True)
class Window:
    """Bounds in seconds on the stages from `first` to `last`, both included."""

    first: int
    last: int
    low: int
    high: int


@dataclass(frozen=True, slots=True)
class Quota:
    """What the n-th node of a kind is worth; at least `least` are wanted, each missing costs."""

    name: str
    rewards: tuple[int, ...]
    least: int = 0

    def worth(self, count: int) -> int:
        """Total points of `count` nodes of the kind."""
        return sum(self.rewards[:count]) - MISSING * max(0, self.least - count)


@dataclass(frozen=True, slots=True)
class Balance:
    """Quota `heavy` may be at most `ratio` times quota `light`."""

    heavy: int
    light: int
    ratio: int


MISSING = 150


@dataclass(frozen=True, slots=True)
class Problem:
    """Everything the search may know.

    Attributes:
        nodes: sorted by stage.
        cost, time: square tables over nodes, from row to column: points and seconds of the change.
        windows: single stages first, then growing groups, the whole last: each nested in the next.
        required: items that must be in.
        summit: the last stage of the ascent.
        broken: points of a broken rule: where plans are rare, a broken one must pay still less.
    """

    nodes: tuple[Node, ...]
    stages: int
    cost: Table
    time: Table
    windows: tuple[Window, ...]
    quotas: tuple[Quota, ...]
    balances: tuple[Balance, ...]
    required: frozenset[int]
    longest_run: int
    track_changes: int
    summit: int
    broken: int = BROKEN


@dataclass(frozen=True, slots=True)
class Solution:
    """A sequence of node numbers with the step index of each, and what it is worth.

    `shortfall` is 0 when every hard rule holds; otherwise the points of what is broken.
    """

    nodes: tuple[int, ...]
    steps: tuple[int, ...]
    objective: int
    shortfall: int
    iterations: int


def with_sentinels(problem: Problem) -> tuple[list[list[int]], list[list[int]]]:
    """Cost and time as lists with two more rows and columns: before everything, after everything.

    A solution that skips the first or the last stages pays NEVER for each.
    """
    size = len(problem.nodes)
    cost: NDArray[np.int32] = np.zeros((size + 2, size + 2), dtype=np.int32)
    time = cost.copy()
    cost[:size, :size], time[:size, :size] = problem.cost, problem.time
    stage = np.array([node.stage for node in problem.nodes], dtype=np.int32)
    cost[size, :size] = NEVER * stage
    cost[:size, size + 1] = NEVER * (problem.stages - 1 - stage)
    cost[size, size + 1] = NEVER * problem.stages
    return cost.tolist(), time.tolist()
