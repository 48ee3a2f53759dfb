"""Simulated annealing on the true objective, with delta evaluation and exact time inside the move.

Every state of the search is a complete sequence; its objective is value + quotas - change-overs -
steps away from the usual, less a penalty for what is still broken, so that any state without a
penalty is a plan. Repetitions are filled while a move is judged, so no state is better on paper
than on the clock.

Randomness is handed in and the budget is a number of proposals: same seed, same solution.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import reduce
from random import Random

from core.planner.anneal import Found, Mix, Schedule, anneal, better
from core.planner.native import native
from core.planner.parts import together
from core.planner.problem import Problem, Solution
from core.planner.state import State
from core.planner.terrain import Terrain


@dataclass(frozen=True, slots=True)
class Budget:
    """How much to search.

    `anneals` runs of `length` proposals each start from nothing. Then the best stages of all are
    put together and annealed once more, `rounds` times, with `last` proposals in all.

    Temperatures are points: what a change may cost and still be taken now and then. Below `cold`
    hardly anything is taken; from `hot` on a sequence forgets where it came from.
    """

    anneals: int = 4
    length: int = 6_000
    last: int = 18_000
    hot: float = 12.0
    cold: float = 1.0
    again: float = 4.0  # where the later runs start
    rounds: int = 3


class Search:
    """One problem, one source of randomness; `run` gives the best solution found."""

    def __init__(self, problem: Problem, random: Random) -> None:
        self.problem = problem
        self.random = random
        self.terrain = Terrain(problem)
        self._native = native(self.terrain)
        self.iterations = 0

    def run(self, budget: Budget, first: Sequence[int] = ()) -> Solution:
        """The best solution of several anneals; `first` is where the first one starts.

        Without anneals only the last, cooler one is run, from `first`: that is how edits stay near
        what was there.
        """
        found = [
            self._anneal(first if k == 0 else (), budget.length, budget.hot, budget.cold)
            for k in range(budget.anneals)
        ]
        if not found:
            best = self._anneal(first, budget.last, budget.again, budget.cold)
            return self.settle(best.seq)
        best = reduce(better, found)
        for part in _parts(budget.last, budget.rounds):
            start = together(self.terrain, best.seq, [each.seq for each in found])
            found.append(self._anneal(start, part, budget.again, budget.cold))
            best = better(best, found[-1])
        return self.settle(best.seq)

    def first(self, budget: Budget) -> Solution | None:
        """A plan as soon as there is one, or None if the budget's first anneal meets with none."""
        schedule = Schedule(budget.length, budget.hot, budget.cold)
        self.iterations += budget.length
        found = self._run((), schedule, stop=True)
        return self.settle(found.seq) if found.whole else None

    def settle(self, seq: Sequence[int]) -> Solution:
        """The solution a sequence of nodes makes, with its exact steps and objective."""
        state = State(self.terrain, seq)
        filler = self.terrain.filler
        _, _, moved = filler.fill(seq, self.terrain.clock.totals(state.seconds))
        steps = [moved.get(k, filler.usual[k]) for k in seq]
        short = state.shortfall(self.terrain)
        return Solution(tuple(seq), tuple(steps), state.objective, short, self.iterations)

    def _anneal(self, start: Sequence[int], proposals: int, hot: float, cold: float) -> Found:
        self.iterations += proposals
        return self._run(start, Schedule(proposals, hot, cold))

    def _run(self, start: Sequence[int], schedule: Schedule, *, stop: bool = False) -> Found:
        """In C where that was compiled; the answer is the same."""
        if self._native:
            return self._native.anneal(start, self.random, schedule, Mix(), stop=stop)
        return anneal(self.terrain, start, self.random, schedule, Mix(), stop=stop)


def _parts(whole: int, count: int) -> list[int]:
    """A number in nearly equal parts."""
    return [whole * (k + 1) // count - whole * k // count for k in range(count)]
