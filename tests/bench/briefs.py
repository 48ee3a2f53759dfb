"""Many random briefs, each answer checked; the full form of tests/property/test_plans.py.

Run as `python -m tests.bench.briefs 10000`, with a first seed after it to go on from there. It
exits with 1 if any answer is unsound, and names the seeds.
"""

import sys
import time
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from random import Random

from core.plan import ClassPlan
from core.planner.compose import compose
from core.planner.request import Request
from core.planner.search import Budget
from core.repertoire import shipped
from tests.bench.environment import environment, spread
from tests.briefs import any_brief, faults

BUDGET = Budget(anneals=1, length=5000, last=2000)


@dataclass(frozen=True, slots=True)
class Answer:
    """What became of one brief."""

    seed: int
    kind: str
    reasons: tuple[str, ...]
    wrong: tuple[str, ...]
    took_ms: float


def answer(seed: int) -> Answer:
    """The answer to the brief of a seed; an exception is one more thing that is wrong."""
    brief = any_brief(Random(seed))
    began = time.perf_counter()
    try:
        result = compose(Request(brief, shipped(), budget=BUDGET))
    except Exception as error:
        return Answer(seed, "raised", (), (repr(error),), 0.0)
    took = 1000 * (time.perf_counter() - began)
    wrong = tuple(faults(result, shipped()))
    if isinstance(result, ClassPlan):
        return Answer(seed, "plan", (), wrong, took)
    kind = "proven impossible" if result.proven else "none found"
    return Answer(seed, kind, tuple(f.rule for f in result.findings), wrong, took)


def answers(first: int, count: int) -> Iterator[Answer]:
    """The answers of so many seeds, on every core."""
    with ProcessPoolExecutor() as pool:
        for done, each in enumerate(pool.map(answer, range(first, first + count), chunksize=20), 1):
            yield each
            if done % 500 == 0:
                sys.stderr.write(f"{done} of {count}\n")


def main(argv: list[str]) -> int:
    """Print what became of the briefs; 1 if an answer is unsound."""
    count = int(argv[0]) if argv else 1000
    first = int(argv[1]) if len(argv) > 1 else 0
    kinds: Counter[str] = Counter()
    reasons: Counter[str] = Counter()
    took: list[float] = []
    wrong: list[Answer] = []
    for each in answers(first, count):
        kinds[each.kind] += 1
        reasons.update(set(each.reasons))
        took.append(each.took_ms)
        if each.wrong:
            wrong.append(each)
    print(environment())
    print(f"{count} briefs from seed {first}, {BUDGET}")
    for kind, number in kinds.most_common():
        print(f"{number:6} {kind}")
    print("reasons for no plan:", ", ".join(f"{rule} {n}" for rule, n in reasons.most_common()))
    print(f"ms a brief: p50, p95, max {spread(took)}")
    for each in wrong:
        print(f"seed {each.seed}: {'; '.join(each.wrong)}")
    print(f"{len(wrong)} unsound")
    return 1 if wrong else 0


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
