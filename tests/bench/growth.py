"""Planning with a library grown by synthetic records: time and memory of a process each."""

import resource
import subprocess
import sys
import time
from dataclasses import replace

from core.exercise import Exercise, ExerciseId
from core.planner.compose import compose
from core.planner.search import Budget
from core.repertoire import Repertoire, shipped
from tests.bench.environment import spread
from tests.bench.requests import requests

SIZES = (300, 600, 1200, 2400)
COUNT = 24


def grown(library: Repertoire, size: int) -> Repertoire:
    """The library cut or grown to so many exercises; the new ones are variants in new families."""
    every = list(library.exercises.values())
    if size < len(every):
        every = [every[k * len(every) // size] for k in range(size)]
    made: dict[ExerciseId, Exercise] = {e.id: e for e in every}
    copy = 1
    while len(made) < size:
        for e in every[: size - len(made)]:
            effort = min(10, max(1, e.effort + (-1) ** copy)) if e.effort > 4 else e.effort
            variant = replace(
                e,
                id=ExerciseId(f"{e.id}-{copy}"),
                name=f"{e.name} {copy}",
                family=f"{e.family}-{copy}",
                series=replace(e.series, name=f"{e.series.name} {copy}") if e.series else None,
                needs=(),
                effort=effort,
                setup_s=e.setup_s + copy,
            )
            made[variant.id] = variant
        copy += 1
    return Repertoire(made, library.apparatus, library.acts)


def print_growth() -> None:
    """Print a line a size, each from a process of its own."""
    for size in SIZES:
        asked = [sys.executable, "-m", "tests.bench.growth", str(size)]
        done = subprocess.run(asked, capture_output=True, check=True, text=True)
        print(done.stdout, end="")


def main(argv: list[str]) -> int:
    """Print the figures of one size."""
    library = grown(shipped(), int(argv[0]))
    every = requests(library, COUNT)
    compose(replace(every[0], budget=Budget(1, 1000, 100)))
    took: list[float] = []
    for request in every:
        began = time.process_time()
        compose(request)
        took.append(1000 * (time.process_time() - began))
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"{len(library.exercises):5} exercises: cpu ms {spread(took)}  memory {most:.0f} MB")
    return 0


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
