"""Simulated instructors of a known pace: how near the planned end is after five logged classes.

Plans are real ones on the real clock; each exercise and change takes its planned seconds times the
instructor's pace, spread by 15 %. `python -m tests.bench.pace [classes]`.
"""

import sys
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from math import exp, log
from random import Random

from core.exercise import Level
from core.pace import Learned, learned, pieces_of
from core.plan import ClassPlan, Step
from core.planner.compose import compose
from core.planner.request import Request
from core.planner.search import Budget
from core.repertoire import Repertoire, shipped
from core.taught import TaughtClass, TaughtItem, taught_items
from core.timing import Pace, timeline
from tests.briefs import usual_brief

NOISE = 0.15
LOGGED = 5
MONDAY = datetime(2026, 11, 23, 9, tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class Ways:
    """How a simulated instructor differs from the clock.

    Attributes:
        tapped: whether each exercise is timed, or only the class as a whole.
        kinds: spread of her pace between kinds of exercise.
        days: spread of her pace between days.
        broken: how often something breaks into an exercise, for one to five minutes.
    """

    tapped: bool = True
    kinds: float = 0.0
    days: float = 0.0
    broken: float = 0.0


@dataclass(frozen=True, slots=True)
class Result:
    """What a run has shown, in shares.

    Attributes:
        off: mean distance of the actual end from the planned one.
        centre: mean distance of the planned end from what she takes on average.
        least: what `off` is with her pace known exactly.
        bias: mean of actual end over planned end, less one.
        untaught: what `off` is without anything learned.
        covered: how many ends lie in the interval.
    """

    off: float
    centre: float
    least: float
    bias: float
    untaught: float
    covered: float


Made = list[tuple[ClassPlan, tuple[TaughtItem, ...]]]


def plans(count: int, library: Repertoire, seed: int = 1) -> Made:
    """Plans of the usual kind, each with its places on the default clock."""
    random = Random(seed)
    made: Made = []
    # Small budgets do: how good a plan is does not matter here, only how it is made up.
    while len(made) < count:
        asked = replace(usual_brief(random), without=(), level=random.choice((None, *Level)))
        result = compose(
            Request(asked, library, budget=Budget(anneals=1, length=4_000, last=1_000, rounds=1))
        )
        if isinstance(result, ClassPlan):
            made.append((result, taught_items(result, library.apparatus)))
    return made


def run(classes: int, ways: Ways, library: Repertoire, made: Made) -> Result:
    """The end of one class each of so many instructors, five of whose classes are logged."""
    random = Random(7)
    off = centre = least = bias = untaught = covered = 0.0
    for _ in range(classes):
        pace = exp(random.uniform(log(0.75), log(1.4)))
        kinds: dict[str, float] = {}
        logs = []
        for day in range(LOGGED):
            logs.append(_taught(*random.choice(made), pace, kinds, ways, random, day))
        known = learned(logs)
        plan, items = random.choice(made)
        planned = _planned(plan, known, library)
        actual = _taught(plan, items, pace, kinds, replace(ways, broken=0.0), random, LOGGED)
        took = actual.took_s or 0
        end = known.expected(pieces_of(actual.items), actual.people, actual.talk_s)
        mean = actual.talk_s + sum(
            item.change_s * pace + item.work_s * pace * exp(sum(kinds[k] for k in item.kinds))
            for item in actual.items
        )
        off += abs(took / planned - 1)
        centre += abs(planned / mean - 1)
        least += abs(took / mean - 1)
        bias += took / planned - 1
        untaught += abs(took / actual.planned_s - 1)
        covered += end.low is not None and end.high is not None and end.low <= took <= end.high
    return Result(*(each / classes for each in (off, centre, least, bias, untaught, covered)))


def _planned(plan: ClassPlan, known: Learned, library: Repertoire) -> int:
    """The end of a plan on the clock that has her pace."""
    steps: tuple[Step, ...] = plan.steps
    items = timeline(steps, plan.brief, library.apparatus, known.pace)
    return items[-1].end_s + plan.closing_s


def _taught(
    plan: ClassPlan,
    default: tuple[TaughtItem, ...],
    pace: float,
    kinds: dict[str, float],
    ways: Ways,
    random: Random,
    day: int,
) -> TaughtClass:
    today = random.gauss(0, ways.days) if ways.days else 0.0

    def spread() -> float:
        return exp(today + random.gauss(-(NOISE**2) / 2, NOISE))

    items: list[TaughtItem] = []
    total = plan.opening_s + plan.closing_s
    for item in default:
        for kind in item.kinds:
            if kind not in kinds:
                kinds[kind] = random.gauss(0, ways.kinds) if ways.kinds else 0.0
        own = pace * exp(sum(kinds[kind] for kind in item.kinds))
        took = item.change_s * pace * spread() + item.work_s * own * spread()
        if ways.broken and random.random() < ways.broken:
            took += random.uniform(60, 300)
        total += round(took)
        items.append(replace(item, took_s=round(took) if ways.tapped else None))
    return TaughtClass(
        plan=1,
        at=MONDAY + timedelta(days=day),
        people=plan.brief.people,
        talk_s=plan.opening_s + plan.closing_s,
        items=tuple(items),
        took_s=total,
    )


def main() -> None:
    """Print a table."""
    classes = int(sys.argv[1]) if len(sys.argv) > 1 else 2_000
    library = shipped()
    made = plans(60, library)
    assert Learned().pace == Pace()
    print(f"{classes} classes, {len(made)} plans, after {LOGGED} logged classes; in per cent")
    print(f"{'':34} {'off':>6} {'centre':>6} {'least':>6} {'bias':>6} {'before':>6} {'in 80':>6}")
    for name, ways in (
        ("tapped", Ways()),
        ("only the end is known", Ways(tapped=False)),
        ("tapped, kinds differ by 5 %", Ways(kinds=0.05)),
        ("tapped, days differ by 3 %", Ways(days=0.03)),
        ("tapped, 5 % of times interrupted", Ways(broken=0.05)),
    ):
        r = run(classes, ways, library, made)
        row = (r.off, r.centre, r.least, r.bias, r.untaught, r.covered)
        print(f"{name:34} " + " ".join(f"{100 * each:6.2f}" for each in row))


if __name__ == "__main__":
    main()
