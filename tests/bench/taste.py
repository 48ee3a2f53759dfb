"""Simulated instructors with fixed likes: how many edits a class needs as their taste is learned.

Each dislikes a quarter of the library and swaps out whatever of it a plan has. Recent classes are
varied as they are in use. `python -m tests.bench.taste [instructors]`.
"""

import sys
from random import Random

from core.apparatus import ApparatusId
from core.brief import ClassBrief
from core.exercise import ExerciseId
from core.plan import ClassPlan, Weight
from core.planner.compose import compose
from core.planner.request import Request
from core.planner.search import Budget
from core.repertoire import Repertoire, shipped
from core.rules import check
from core.taste import Act, Taste

CLASSES = 14
DISLIKED = 0.25
SMALL = Budget(anneals=1, length=4_000, last=1_000, rounds=1)


def edits(random: Random, library: Repertoire, *, learning: bool = True) -> list[int]:
    """How many places of each class she swaps out, class by class."""
    on = random.choice(("chair", "mat", "reformer"))
    brief = ClassBrief(50, (ApparatusId(on),))
    disliked = {e for e in library.exercises if random.random() < DISLIKED}
    taste = Taste()
    recent: frozenset[ExerciseId] = frozenset()
    found: list[int] = []
    for turn in range(CLASSES):
        plan = compose(Request(brief, library, turn, recent, budget=SMALL, taste=taste))
        assert isinstance(plan, ClassPlan)
        assert not [f for f in check(plan, library) if f.weight is Weight.FAULT]
        there = [item.step.exercise.id for item in plan.items]
        out = [e for e in there if e in disliked]
        found.append(len(out))
        recent = frozenset(there)
        if learning:
            for e in out:
                taste = taste.after(Act.SWAPPED, e)
    return found


def main() -> None:
    """Print edits class by class, with and without learning."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 20
    library = shipped()
    for learning in (True, False):
        runs = [edits(Random(seed), library, learning=learning) for seed in range(count)]
        means = [sum(run[k] for run in runs) / count for k in range(CLASSES)]
        first, last = sum(means[:2]) / 2, sum(means[-2:]) / 2
        print("learning" if learning else "not learning", " ".join(f"{m:.1f}" for m in means))
        print(f"  first two {first:.2f}, after twelve {last:.2f}: {100 * (1 - last / first):.0f} %")


if __name__ == "__main__":
    main()
