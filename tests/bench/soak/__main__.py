"""`python -m tests.bench.soak`: the whole of it on SQLite; see --help for the rest."""

import argparse
import asyncio
from contextlib import ExitStack
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.bench.environment import environment
from tests.bench.soak.ringing import burst, steady
from tests.bench.soak.run import Plan, soak, throughput
from tests.postgres.shared import running


def main() -> int:
    """Print what was measured; 0 when every bar was kept."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench.soak", description=__doc__)
    parser.add_argument("--short", action="store_true", help="a form that takes seconds")
    parser.add_argument("--updates", type=int, default=0)
    parser.add_argument("--kills", type=int, default=0)
    parser.add_argument("--workers", type=int, default=1)
    parser.add_argument("--sends", type=int, default=0, help="letters under way at once")
    parser.add_argument("--postgresql", action="store_true", help="a server of its own")
    parser.add_argument("--throughput", action="store_true", help="no kills, 50 ms a message")
    parser.add_argument("--reminders", type=int, default=0, help="so many due at once, and kills")
    parser.add_argument("--steady", type=int, default=0, help="so many reminders, five a second")
    args = parser.parse_args()
    print(environment())
    with TemporaryDirectory(ignore_cleanup_errors=True) as place, ExitStack() as stack:
        db, workers = f"sqlite:///{place}/soak.db", args.workers
        if args.postgresql:
            server = running(Path(place) / "postgresql")
            stack.callback(server.held.close)
            db = server.make("soak", upgraded=False)
        if args.reminders:
            kills = args.kills or max(3, args.reminders // 100)
            plan = Plan(args.reminders, kills, workers, args.sends or 1)
            report = asyncio.run(burst(db, Path(place), plan))
        elif args.steady:
            report = asyncio.run(steady(db, Path(place), args.steady, args.steady / 5))
        elif args.throughput:
            report = asyncio.run(throughput(db, Path(place), args.updates or 3000, workers))
        else:
            updates = args.updates or (150 if args.short else 10_000)
            kills = args.kills or (3 if args.short else 50)
            plan = Plan(updates, kills, workers, args.sends or 1)
            report = asyncio.run(soak(db, Path(place), plan))
    print("\n".join(report.lines))
    return 0 if report.kept else 1


if __name__ == "__main__":
    raise SystemExit(main())
