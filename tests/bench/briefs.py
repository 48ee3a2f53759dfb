"""Many random briefs, each answer checked; the full form of tests/property/test_plans.py.

Run as `python -m tests.bench.briefs 10000`, with a first seed after it to go on from there, and
`--confirm 200` to have so many refusals looked at by an exact solver. It exits with 1 if any answer
is unsound or the solver finds a plan where none was said to be possible, and names the seeds.
"""

import argparse
import sys
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from random import Random

from core.plan import ClassPlan
from core.planner.compose import compose
from core.planner.model import build, pool_of
from core.planner.request import Request
from core.planner.search import Budget
from core.repertoire import shipped
from tests.bench.environment import environment, spread
from tests.briefs import any_brief, faults

BUDGET = Budget(anneals=2, length=12_000, last=12_000)
SOLVING_S = 60.0


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


def confirmed(seed: int) -> str:
    """What an exact solver says of the brief of a seed."""
    from tests.checks.exact import solve  # noqa: PLC0415 - large, and only for this

    request = Request(any_brief(Random(seed)), shipped())
    pool = pool_of(request)
    if not pool or any(m not in {e.id for e in pool} for m in request.brief.must):
        return "impossible"  # there is nothing to choose, or not what has to be there
    problem = build(request, pool, Random(request.seed)).problem
    return solve(problem, SOLVING_S, presolve=False).status


def confirm(refused: Sequence[Answer], count: int) -> list[Answer]:
    """Print what the solver says of so many refusals; those it contradicts."""
    sample = sorted(refused, key=lambda each: Random(each.seed).random())[:count]
    with ProcessPoolExecutor() as pool:
        said = list(pool.map(confirmed, [each.seed for each in sample]))
    pairs = Counter((each.kind, status) for each, status in zip(sample, said, strict=True))
    for (kind, status), number in pairs.most_common():
        print(f"{number:6} {kind}: an exact solver says {status}")
    return [
        each
        for each, status in zip(sample, said, strict=True)
        if each.kind == "proven impossible" and status in ("optimal", "feasible")
    ]


def main(argv: list[str]) -> int:
    """Print what became of the briefs; 1 if an answer is unsound."""
    asked = argparse.ArgumentParser(description="Random briefs, each answer checked.")
    asked.add_argument("count", type=int, nargs="?", default=1000)
    asked.add_argument("first", type=int, nargs="?", default=0)
    asked.add_argument("--confirm", type=int, default=0)
    options = asked.parse_args(argv)
    count, first = options.count, options.first
    kinds: Counter[str] = Counter()
    reasons: Counter[str] = Counter()
    took: list[float] = []
    wrong: list[Answer] = []
    refused: list[Answer] = []
    for each in answers(first, count):
        kinds[each.kind] += 1
        reasons.update(set(each.reasons))
        took.append(each.took_ms)
        if each.wrong:
            wrong.append(each)
        if each.reasons:
            refused.append(each)
    print(environment())
    print(f"{count} briefs from seed {first}, {BUDGET}")
    for kind, number in kinds.most_common():
        print(f"{number:6} {kind}")
    print("reasons for no plan:", ", ".join(f"{rule} {n}" for rule, n in reasons.most_common()))
    print(f"ms a brief: p50, p95, max {spread(took)}")
    for each in wrong:
        print(f"seed {each.seed}: {'; '.join(each.wrong)}")
    print(f"{len(wrong)} unsound")
    contradicted = confirm(refused, options.confirm) if options.confirm else []
    for each in contradicted:
        print(f"seed {each.seed}: said to be impossible, and is not")
    return 1 if wrong or contradicted else 0


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
