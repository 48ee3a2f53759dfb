"""The full form of the check against an exact solver.

Run as `python -m tests.bench.exact`, with the number of requests and the size of pools after it.
It exits with 1 where the search misses the bar: the proved optimum on nine requests of ten, within
one per cent of gross reward on all of them, "impossible" never contradicted.
"""

import sys
import time
from dataclasses import dataclass
from random import Random

from core.planner.problem import Problem
from core.planner.search import Search, usual
from tests.bench.environment import environment
from tests.checks.exact import Answer, solve
from tests.checks.small import gross, problems

SECONDS = 120.0
BUDGET = usual()
ITEMS = 20  # of 30 the solver proves few within its time
EQUAL, NEAR = 0.9, 0.01


@dataclass(frozen=True, slots=True)
class Compared:
    """One problem: what the search found, what is proved, and seconds of both."""

    found: int | None
    answer: Answer
    gross: int
    took_s: float
    exact_s: float

    @property
    def proved(self) -> bool:
        """Whether there is something to compare with."""
        return self.answer.status in ("optimal", "impossible")

    @property
    def equal(self) -> bool:
        """Whether the search says what is proved."""
        if self.answer.status == "impossible":
            return self.found is None
        return self.found is not None and self.found >= self.answer.objective

    @property
    def near(self) -> bool:
        """Whether the search is within the bar of what is proved."""
        if self.found is None or self.answer.status == "impossible":
            return self.equal
        return self.answer.objective - self.found <= NEAR * self.gross


def compared(problem: Problem) -> Compared:
    """A problem searched and solved."""
    began = time.process_time()
    found = Search(problem, Random(1)).run(BUDGET)
    took = time.process_time() - began
    hint = None if found.shortfall else (found.nodes, found.steps)
    began = time.perf_counter()
    answer = solve(problem, SECONDS, hint=hint, presolve=not found.shortfall)
    exact = time.perf_counter() - began
    points = None if found.shortfall else found.objective
    return Compared(points, answer, gross(problem, answer.nodes), took, exact)


def main(argv: list[str]) -> int:
    """Print a line a request and the shares."""
    count = int(argv[0]) if argv else 40
    items = int(argv[1]) if len(argv) > 1 else ITEMS
    print(environment())
    every: list[Compared] = []
    for number, problem in enumerate(problems(count, items)):
        each = compared(problem)
        every.append(each)
        print(
            f"{number:3} nodes {len(problem.nodes):3}  search {each.found} in {each.took_s:.2f} s  "
            f"exact {each.answer.status} {each.answer.objective} (bound {each.answer.bound}) "
            f"in {each.exact_s:.1f} s",
            flush=True,
        )
    proved = [each for each in every if each.proved]
    equal = sum(each.equal for each in proved)
    near = sum(each.near for each in proved)
    beaten = sum(
        each.found is not None and not each.proved and each.found < each.answer.objective
        for each in every
    )
    print(f"proved {len(proved)} of {count}; equal {equal}; within 1 % of gross {near}")
    print(f"not proved in {SECONDS:.0f} s: {count - len(proved)}; better than the search: {beaten}")
    return 0 if equal >= EQUAL * len(proved) and near == len(proved) else 1


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
