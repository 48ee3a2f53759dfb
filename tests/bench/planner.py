"""What planning costs and how good it is, on seeded requests over the shipped library.

Run as `python -m tests.bench.planner`: time to a plan and to the first plan, and memory.

    --count N      so many requests instead of 200
    --gap SECONDS  also the gap to the best of six searches of so many seconds, on 24 of them
    --exact        also how often an exact solver does better in equal time, on the same 24
    --edits        also what edits cost, and what they leave alone
    --grow         also with the library grown by synthetic records
    --budgets      also time and worth at several budgets
"""

import argparse
import gc
import resource
import sys
import time
from dataclasses import dataclass, replace
from random import Random

from core.plan import ClassPlan
from core.planner.compose import compose
from core.planner.model import build, pool_of
from core.planner.request import Request
from core.planner.search import Budget, Search
from core.repertoire import shipped
from tests.bench.edits import print_edits
from tests.bench.environment import environment, share, spread
from tests.bench.gap import print_budgets, print_equal_time, print_gap
from tests.bench.growth import print_growth
from tests.bench.requests import requests

COUNT = 200
FIRST = Budget(length=40_000)  # how long a first plan is looked for


@dataclass(frozen=True, slots=True)
class Made:
    """One request planned: milliseconds on the wall and of the processor, and whether it worked."""

    wall_ms: float
    cpu_ms: float
    planned: bool


def planned(request: Request) -> Made:
    """A plan, timed, everything included."""
    began, spent = time.perf_counter(), time.process_time()
    plan = compose(request)
    wall, cpu = time.perf_counter() - began, time.process_time() - spent
    return Made(1000 * wall, 1000 * cpu, isinstance(plan, ClassPlan))


def first(request: Request) -> Made:
    """The first plan of the search, timed, preparation included."""
    began, spent = time.perf_counter(), time.process_time()
    random = Random(request.seed)
    found = Search(build(request, pool_of(request), random).problem, random).first(FIRST)
    wall, cpu = time.perf_counter() - began, time.process_time() - spent
    return Made(1000 * wall, 1000 * cpu, found is not None)


def line(name: str, every: list[Made]) -> str:
    """Times of those that were planned."""
    good = [made for made in every if made.planned]
    wall, cpu = [made.wall_ms for made in good], [made.cpu_ms for made in good]
    return f"{name:<12} {len(good):4} of {len(every):<4} wall {spread(wall)}   cpu {spread(cpu)}"


def main(argv: list[str]) -> int:
    """Print the figures."""
    asked = argparse.ArgumentParser(description="Figures of the planner.")
    asked.add_argument("--count", type=int, default=COUNT)
    asked.add_argument("--gap", type=float, default=0)
    asked.add_argument("--exact", action="store_true")
    asked.add_argument("--edits", action="store_true")
    asked.add_argument("--grow", action="store_true")
    asked.add_argument("--budgets", action="store_true")
    options = asked.parse_args(argv)
    print(environment())
    every = requests(shipped(), options.count)
    compose(replace(every[0], budget=Budget(1, 1000, 100)))  # what is read and cached once
    gc.freeze()  # as the program does
    plans = [planned(request) for request in every]
    print(
        "milliseconds          of           p50      p95      max            p50      p95      max"
    )
    print(line("plan ready", plans))
    refused = sorted(made.wall_ms for made in plans if not made.planned)
    if refused:
        print(f"{'refused':<12} {len(refused):4}         p95 {share(refused, 0.95):.0f}")
    print(line("first plan", [first(request) for request in every]))
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"memory of this process at its highest: {most:.0f} MB")
    if options.gap:
        print_gap(every, options.gap)
    if options.exact:
        print_equal_time(every)
    if options.budgets:
        print_budgets(every)
    if options.edits:
        print_edits(every)
    if options.grow:
        print_growth()
    return 0


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
