"""A class that is ahead of its time: one exercise more, where it disturbs least."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import ceil

from core.brief import LONGEST
from core.exercise import Exercise, ExerciseId, Phase
from core.late import GIVES, PAST, faults, timed
from core.plan import ClassPlan, Step
from core.planner.model import barred
from core.planner.nodes import hits
from core.planner.request import Request
from core.timing import Clock, duration_s, setup_s
from core.wish import EditError

OFFERED = 3
CHANGE_S = 45  # left for the changes before and after it (house choice)
LOOKED_AT = 60  # of the likeliest; the first that break no rule are offered (house choice)
# What a place and an exercise are the dearer for (house choice): another position, other springs,
# another apparatus, nothing for the focus, and the share of the time that stays empty.
TURN, SPRINGS, MOVE, OFF_AIM, EMPTY = 3.0, 2.0, 20.0, 1.0, 4.0


@dataclass(frozen=True, slots=True)
class Idea:
    """One exercise more, its number, and the class with it."""

    exercise: Exercise
    n: int
    plan: ClassPlan


@dataclass(frozen=True, slots=True)
class _Gap:
    """A place where something could come in."""

    at: int
    phase: Phase


def one_more(
    plan: ClassPlan, place: int, minutes: int, request: Request, only: ExerciseId | None = None
) -> tuple[Idea, ...]:
    """What could still come in after this place, the likeliest first; the rest stays as it is.

    Args:
        minutes: how long there is; the class's slot counts as so much longer.
        only: this exercise and no other.

    Raises:
        EditError: the class would be longer than any.
    """
    if plan.brief.minutes + minutes > LONGEST:
        raise EditError(f"a class lasts at most {LONGEST} minutes")
    brief = replace(plan.brief, minutes=plan.brief.minutes + minutes)
    past = GIVES if only else PAST
    known = faults(plan, past, request)
    spare, clock = brief.slot_s - plan.total_s, Clock.of(brief, request.pace)
    ways = sorted(
        (
            (_dearness(plan, gap, e, spare, clock), e.id, gap.at, gap, e)
            for e in _pool(plan, request, only)
            for gap in _gaps(plan, place)
            if gap.phase in e.phases
        ),
        key=lambda way: way[:3],
    )
    found: dict[ExerciseId, Idea] = {}
    for _, name, at, gap, e in ways[:LOOKED_AT]:
        if name in found:
            continue
        step = _step(plan, gap, e, spare, clock)
        steps = [*plan.steps[:at], step, *plan.steps[at:]]
        result = timed(steps, replace(plan, brief=brief), request)
        if result.total_s <= brief.slot_s and not faults(result, past, request) - known:
            found[name] = Idea(e, at + 1, result)
        if len(found) == OFFERED:
            break
    return tuple(found.values())


def _pool(plan: ClassPlan, request: Request, only: ExerciseId | None) -> Iterator[Exercise]:
    """What the class could have beside what it has."""
    families = {step.exercise.family for step in plan.steps}
    for on in plan.brief.apparatus:
        for e in request.repertoire.by_apparatus.get(on, ()):
            if only:
                if e.id == only:
                    yield e
            elif (
                e.family not in families
                and not e.series
                and e.level <= plan.brief.top_level
                and e.id not in plan.brief.dropped
                and not barred(e, plan.brief)
                and not (request.room and request.room.barred_for(e))
            ):
                yield e


def _gaps(plan: ClassPlan, place: int) -> Iterator[_Gap]:
    """Before the cool-down as long as it has not begun; in it, when it has."""
    cool = next(
        (k for k, step in enumerate(plan.steps) if step.phase is Phase.COOL_DOWN), len(plan.steps)
    )
    if place > cool:
        yield from (_Gap(at, Phase.COOL_DOWN) for at in range(place, len(plan.steps) + 1))
        return
    for at in range(max(1, place), cool + 1):
        if plan.steps[at - 1].phase is Phase.PEAK:
            yield _Gap(at, Phase.PEAK)


def _step(plan: ClassPlan, gap: _Gap, e: Exercise, spare_s: int, clock: Clock) -> Step:
    """The exercise as it would come in: on the springs in use, filling the time."""
    before = plan.steps[gap.at - 1]
    springs = e.springs.usual if e.springs else replace(before.springs, tokens=())
    if e.springs and e.apparatus == before.exercise.apparatus:
        settings = (e.springs.usual, e.springs.easier, e.springs.harder)
        springs = next((s for s in settings if s == before.springs), springs)
    room = spare_s - setup_s(e, clock) - CHANGE_S
    twice = gap.phase is Phase.PEAK and duration_s(e, e.reps.usual, 2, clock) <= room
    return Step(e, gap.phase, springs, e.reps.usual, 2 if twice else 1)


def _dearness(plan: ClassPlan, gap: _Gap, e: Exercise, spare_s: int, clock: Clock) -> float:
    """How much it would disturb there, and how little it would fill."""
    step = _step(plan, gap, e, spare_s, clock)
    beside = plan.steps[max(0, gap.at - 1) : gap.at + 1]
    dear = sum(
        TURN * (other.exercise.position is not e.position)
        + SPRINGS * (other.springs != step.springs)
        + MOVE * (other.exercise.apparatus != e.apparatus)
        for other in beside
    ) / max(1, len(beside))
    used = ceil(setup_s(e, clock)) + duration_s(e, step.reps, step.sets, clock)
    if plan.brief.focus and not any(hits(aim, e) for aim in plan.brief.focus):
        dear += OFF_AIM
    return dear + EMPTY * abs(spare_s - used) / max(1, spare_s)
