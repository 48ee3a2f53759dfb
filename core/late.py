"""A class that runs late while it is taught: what is left of it, in less time, changed least.

What has been taught and what is being taught stays. The peak gives first, then what is left of the
foundation, then of the warm-up; the cool-down stays whole, and no side is ever left out. Shares of
the parts no longer matter: half of them are past.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import ceil

from core.brief import SHORTEST, ClassBrief
from core.exercise import Phase
from core.plan import ClassPlan, Step, Weight
from core.planner.refit import GONE
from core.planner.request import Request
from core.rules import check
from core.timing import Clock, closing_s, duration_s, opening_s, timeline
from core.wish import EditError

REP = 4  # points for a repetition fewer: taking an exercise out is like six of them (house choice)
MOST_SETS = 5.5  # a set fewer costs as much as so many repetitions at most: less than all of it
# The parts that may be shorter, one more only where the ones before do not give enough.
PARTS = (
    frozenset({Phase.PEAK}),
    frozenset({Phase.PEAK, Phase.FOUNDATION}),
    frozenset({Phase.PEAK, Phase.FOUNDATION, Phase.WARM_UP}),
)
ROUNDS = 24  # ways looked at before it is given up
GRAIN_S = 5  # seconds are saved by so many at a time: fine enough, and quickly reckoned
# What the rules say of a whole class and no longer can of the rest of one; and what may give too,
# where nothing else helps.
PAST = frozenset({"slot", "share", "summit"})
GIVES = PAST | {"direction", "flexion-heavy", "run", "gentle", "phases", "apparatus-unused"}


@dataclass(frozen=True, slots=True)
class _Way:
    """What can become of a place: its step or none, the seconds it saves, the points it costs."""

    step: Step | None
    saves_s: int
    points: float


def shorter(plan: ClassPlan, place: int, minutes: int, request: Request) -> ClassPlan:
    """The class with so many minutes less, everything up to this place as it was.

    Raises:
        EditError: not even with the cool-down alone.
    """
    if plan.brief.minutes - minutes < SHORTEST:
        raise EditError(f"a class lasts at least {SHORTEST} minutes")
    brief = replace(plan.brief, minutes=plan.brief.minutes - minutes)
    ways = {k: list(_ways(plan, k, request)) for k in range(place, len(plan.items))}
    for past in (PAST, GIVES):
        for parts in PARTS:
            open_to = {
                k: each if plan.items[k].step.phase in parts else each[:1]
                for k, each in ways.items()
            }
            found = _fitted(plan, brief, open_to, past, request)
            if found:
                return found
    raise EditError(
        "what is left can't be that much shorter with the cool-down and every side kept"
    )


def most(plan: ClassPlan, place: int, below: int, request: Request) -> int:
    """The most minutes, fewer than these, that what is left can be shorter by; 0 when by none."""
    for minutes in range(below - 1, 0, -1):
        try:
            shorter(plan, place, minutes, request)
        except EditError:
            continue
        return minutes
    return 0


def _fitted(
    plan: ClassPlan,
    brief: ClassBrief,
    ways: Mapping[int, Sequence[_Way]],
    past: frozenset[str],
    request: Request,
) -> ClassPlan | None:
    """The cheapest choice that fits and breaks no rule but these that was not broken before."""
    known = faults(plan, past, request)
    need, stays = plan.total_s - brief.slot_s, set[int]()
    for _ in range(ROUNDS):
        chosen = _cheapest(ways, need, stays)
        if chosen is None:
            return None
        steps = [chosen.get(k, step) for k, step in enumerate(plan.steps)]
        result = timed([step for step in steps if step], replace(plan, brief=brief), request)
        if faults(result, past, request) - known:
            # What was taken out was wanted after all: the hardest of it stays.
            out = [k for k, step in chosen.items() if step is None]
            if not out:
                return None
            stays.add(max(out, key=lambda k: plan.items[k].step.exercise.effort))
        elif result.total_s > brief.slot_s:
            need += max(GRAIN_S, result.total_s - brief.slot_s)
        else:
            return result
    return None


def _ways(plan: ClassPlan, k: int, request: Request) -> Iterator[_Way]:
    """What a place can give, to stay as it is before the rest."""
    item = plan.items[k]
    step = item.step
    yield _Way(step, 0, 0)
    if step.phase not in PARTS[-1] or step.pins:
        return
    clock = Clock.of(plan.brief, request.pace)
    full = duration_s(step.exercise, step.reps, step.sets, clock)
    for sets in range(1, step.sets + 1):
        for reps in range(min(step.exercise.reps.low, step.reps), step.reps + 1):
            if (sets, reps) == (step.sets, step.reps):
                continue
            fewer = REP * min((step.sets - sets) * step.reps, MOST_SETS)
            fewer += REP * (step.reps - reps)
            saved = full - duration_s(step.exercise, reps, sets, clock)
            yield _Way(replace(step, sets=sets, reps=reps), saved, fewer)
    if len(plan.items) > 1:
        rest = [s for at, s in enumerate(plan.steps) if at != k]
        without = timed(rest, plan, request)
        yield _Way(None, max(0, plan.total_s - without.total_s), GONE)


def _cheapest(
    ways: Mapping[int, Sequence[_Way]], need: int, stays: set[int]
) -> dict[int, Step | None] | None:
    """The choice for each place that saves enough for the fewest points; None when none does."""
    wanted = max(0, ceil(need / GRAIN_S))
    best: dict[int, tuple[float, tuple[tuple[int, Step | None], ...]]] = {0: (0.0, ())}
    for k, offered in ways.items():
        grown: dict[int, tuple[float, tuple[tuple[int, Step | None], ...]]] = {}
        for saved, (points, chosen) in best.items():
            for way in offered:
                if way.step is None and k in stays:
                    continue
                total = min(wanted, saved + way.saves_s // GRAIN_S)
                cost = points + way.points
                if total not in grown or cost < grown[total][0]:
                    taken = (*chosen, (k, way.step)) if way.points else chosen
                    grown[total] = (cost, taken)
        best = grown
    return dict(best[wanted][1]) if wanted in best else None


def timed(steps: Sequence[Step], plan: ClassPlan, request: Request) -> ClassPlan:
    """The plan with these steps on the clock, and what is worth noting of it."""
    items = timeline(steps, plan.brief, request.repertoire.apparatus, request.pace)
    made = replace(
        plan,
        items=items,
        opening_s=opening_s(plan.brief),
        closing_s=closing_s(plan.brief),
        findings=(),
    )
    notes = check(made, request.repertoire)
    return replace(made, findings=tuple(f for f in notes if f.weight is Weight.NOTE))


def faults(plan: ClassPlan, past: frozenset[str], request: Request) -> set[str]:
    """The faults that still count, each by what it is about and not by its number."""
    return {
        " ".join((f.rule, *f.facts, plan.items[f.place - 1].step.exercise.id if f.place else ""))
        for f in check(plan, request.repertoire, request.room)
        if f.weight is Weight.FAULT and f.rule not in past
    }
