"""Simulated annealing on the true objective, with delta evaluation and exact time inside the move.

Every state of the search is a complete sequence; its objective is value + quotas - change-overs -
steps away from the usual, less a penalty for what is still broken, so that any state without a
penalty is a plan. Repetitions are filled while a move is judged, so no state is better on paper
than on the clock.

Randomness is handed in and the budget is a number of proposals: same seed, same solution.
"""

from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from functools import reduce
from random import Random

from core.planner.anneal import Found, Mix, Schedule, anneal, better
from core.planner.native import available, native
from core.planner.parts import together
from core.planner.problem import Problem, Solution
from core.planner.state import State
from core.planner.terrain import Terrain

WIDTH = 2  # anneals that go on at once, where the hot loop is compiled: on two cores


@dataclass(frozen=True, slots=True)
class Budget:
    """How much to search.

    `anneals` runs of `length` proposals each start from nothing. Then, `rounds` times, the best
    stages of all are put together and annealed once more, in two ways; with `last` proposals in
    all. A problem of no more than `FEW` nodes has deep valleys and little that leads from one to
    another: all of this is done `small` times, each from nothing.

    Temperatures are points: what a change may cost and still be taken now and then. Below `cold`
    hardly anything is taken; from `hot` on a sequence forgets where it came from.
    """

    anneals: int = 8
    length: int = 50_000
    last: int = 300_000
    hot: float = 12.0
    cold: float = 1.0
    again: float = 3.0  # where the later runs start
    rounds: int = 6
    small: int = 1


FEW = 120  # nodes; a request on one apparatus with the shipped library has three times as many
IN_PYTHON = Budget(anneals=4, length=6_000, last=18_000)  # about as long on the clock


def usual() -> Budget:
    """How much to search for one plan, on this machine."""
    return Budget(small=4) if available() else IN_PYTHON


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
        if not budget.anneals:
            cool = Schedule(budget.last, budget.again, budget.cold)
            return self.settle(self._anneals([first], cool)[0].seq)
        times = budget.small if len(self.problem.nodes) <= FEW else 1
        return self.settle(reduce(better, (self._best(budget, first) for _ in range(times))).seq)

    def _best(self, budget: Budget, first: Sequence[int]) -> Found:
        """What anneals from nothing find, put together and annealed again."""
        hot = Schedule(budget.length, budget.hot, budget.cold)
        found = self._anneals([first, *[()] * (budget.anneals - 1)], hot)
        best = reduce(better, found)
        cool = Schedule(budget.last // (WIDTH * budget.rounds), budget.again, budget.cold)
        for _ in range(budget.rounds):
            start = together(self.terrain, best.seq, [each.seq for each in found], self._judge)
            found += self._anneals([start] * WIDTH, cool)
            best = reduce(better, found[-WIDTH:], best)
        return best

    def first(self, budget: Budget) -> Solution | None:
        """A plan as soon as there is one, or None if the budget's first anneal meets with none."""
        schedule = Schedule(budget.length, budget.hot, budget.cold)
        found = self._anneals([()], schedule, stop=True)[0]
        return self.settle(found.seq) if found.whole else None

    def settle(self, seq: Sequence[int]) -> Solution:
        """The solution a sequence of nodes makes, with its exact steps and objective."""
        state = State(self.terrain, seq)
        filler = self.terrain.filler
        _, _, moved = filler.fill(seq, self.terrain.clock.totals(state.seconds))
        steps = [moved.get(k, filler.usual[k]) for k in seq]
        short = state.shortfall(self.terrain)
        return Solution(tuple(seq), tuple(steps), state.objective, short, self.iterations)

    def _anneals(
        self, starts: Sequence[Sequence[int]], schedule: Schedule, *, stop: bool = False
    ) -> list[Found]:
        """What an anneal from each start finds.

        Each has randomness of its own, so what they find does not depend on how many go on at once.
        """
        self.iterations += schedule.proposals * len(starts)
        randoms = [Random(self.random.getrandbits(64)) for _ in starts]
        found: dict[int, Found] = {}

        def lane(number: int) -> None:
            for k in range(number, len(starts), WIDTH):
                if self._native:
                    run = self._native.lane(number).anneal
                    found[k] = run(starts[k], randoms[k], schedule, Mix(), stop=stop)
                else:
                    found[k] = anneal(
                        self.terrain, starts[k], randoms[k], schedule, Mix(), stop=stop
                    )

        if self._native and len(starts) > 1:
            with ThreadPoolExecutor(WIDTH) as pool:
                list(pool.map(lane, range(WIDTH)))
        else:
            for number in range(WIDTH):
                lane(number)
        return [found[k] for k in range(len(starts))]

    def _judge(self, seq: Sequence[int]) -> tuple[bool, int]:
        """Whether a sequence is a plan, and its objective."""
        if self._native:
            return self._native.lane(0).judge(seq)
        state = State(self.terrain, seq)
        return state.shortfall(self.terrain) == 0, state.objective
