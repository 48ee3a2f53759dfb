"""How long an instructor waits: the real terminal door on a database file, seeded messages.

Run as `python -m tests.bench.console`, with the number of messages and a seed after it. A reply is
ready when it has been written out; planning, storing and wording are part of the time.
"""

import io
import json
import sys
import tempfile
import time
from collections import defaultdict
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from random import Random

from bot.console import Console, HandClock
from bot.dispatch import Dispatch
from bot.main import open_vault
from core.repertoire import shipped
from tests.bench.environment import environment, spread

ZONE = "Europe/Lisbon"
NOW = datetime(2026, 12, 1, 18, 0, tzinfo=UTC)
MINUTES = (25, 30, 45, 50, 55, 60)
APPARATUS = ("chair", "mat", "reformer", "tower", "chair mat")
WISHES = (
    "focus glutes no wrists",
    "level 1 for dawn",
    "level 2 focus back 6 people",
    "no prone no jumping",
    "focus balance private",
    "mixed focus arms 8 people",
)
NAMES = ("mermaid chair", "pike", "saw", "short spine", "hundred mat", "tendn stretch", "elefant")
EDITS = ("swap 5", "drop 6", "easier 4", "late 5", "reps 3 6")
SEARCHES = ("find kneeling rotation chair", "ladder teaser mat", "swap ideas pike chair no wrists")
ELSE = ("help", "help plan", "usual 50 chair", "undo", "knee pain tomorrow", "plan 50 chiar")


def messages(random: Random, count: int) -> list[tuple[str, str]]:
    """Kinds and lines as a week of classes has them; the first is a plan, so there is one."""

    def plan() -> str:
        return f"plan {random.choice(MINUTES)} {random.choice(APPARATUS)}"

    kinds: dict[str, tuple[int, Callable[[], str]]] = {
        "plan": (5, plan),
        "plan with wishes": (5, lambda: f"{plan()} {random.choice(WISHES)}"),
        "another": (3, lambda: "another"),
        "edit": (5, lambda: random.choice(EDITS)),
        "show, why": (5, lambda: random.choice(("show", "show 4", "why", "why 4"))),
        "exercise": (3, lambda: f"exercise {random.choice(NAMES)}"),
        "search": (2, lambda: random.choice(SEARCHES)),
        "else": (3, lambda: random.choice(ELSE)),
    }
    drawn = random.choices(list(kinds), [weight for weight, _ in kinds.values()], k=count)
    drawn[0] = "plan"
    return [(kind, kinds[kind][1]()) for kind in drawn]


def main(argv: list[str]) -> int:
    """Print what each kind of message took."""
    count = int(argv[0]) if argv else 60
    seed = int(argv[1]) if len(argv) > 1 else 1
    took: defaultdict[str, list[float]] = defaultdict(list)
    iterations: set[int] = set()
    errors: defaultdict[str, int] = defaultdict(int)
    with tempfile.TemporaryDirectory() as folder:
        vault = open_vault(f"sqlite:///{Path(folder) / 'bench.db'}")
        clock = HandClock(NOW)
        out = io.StringIO()
        door = Console(Dispatch(vault, clock, shipped()), vault, clock, ZONE, out, as_json=True)
        began = time.perf_counter()
        door.run(())
        started = 1000 * (time.perf_counter() - began)
        for kind, line in messages(Random(seed), count):
            out.seek(0)
            out.truncate()
            began = time.perf_counter()
            door.take(line)
            took[kind].append(1000 * (time.perf_counter() - began))
            for reply in out.getvalue().splitlines():
                data = json.loads(reply)["data"]
                if data.get("plan"):
                    iterations.add(data["plan"]["search"]["iterations"])
                if "error" in data:
                    errors[data["error"]] += 1
        vault.close()
    print(environment())
    print(f"{count} messages, seed {seed}; SQLite file; door open after {started:.0f} ms")
    print(f"{'ms until the reply is ready':<28}   n      p50      p95      max")
    for kind, every in took.items():
        print(f"{kind:<28} {len(every):>3} {spread(every)}")
    print(f"{'all':<28} {count:>3} {spread([ms for each in took.values() for ms in each])}")
    print("iterations of plans:", ", ".join(str(n) for n in sorted(iterations)))
    print("questions back:", ", ".join(f"{k} {n}" for k, n in errors.items()) or "none")
    return 0


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
