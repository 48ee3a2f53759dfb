"""A class for each of several weeks, each going on from the one before.

From week to week a third to a half of the exercises stay, with one repetition more where their
range and the time allow it; the rest is new. So every class is known and none is a repeat.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import ceil

from core.exercise import ExerciseId
from core.plan import ClassPlan, Item, Pin, Step
from core.planner.compose import compose
from core.planner.refit import Edited, Variant, refit
from core.planner.request import NoPlan, Request

STAY = 0.42  # of the exercises, in the middle of a third to a half (common practice, no source)
LEAST_STAY, MOST_STAY = 1 / 3, 1 / 2
TRIES = 6


def weeks(request: Request, number: int) -> Iterator[ClassPlan | NoPlan]:
    """The plans of so many weeks, in order; ends with a NoPlan when a week can't be planned."""
    plans: list[ClassPlan] = []
    for _ in range(number):
        result = _next(request, plans)
        yield result
        if isinstance(result, NoPlan):
            return
        plans.append(result)


def _next(request: Request, plans: Sequence[ClassPlan]) -> ClassPlan | NoPlan:
    if not plans:
        return compose(request)
    last = plans[-1]
    brief = request.brief
    earlier = frozenset(_ids(plan) for plan in plans)
    result: ClassPlan | NoPlan | None = None
    for attempt in range(TRIES):
        staying = _staying(last, frozenset(brief.must), attempt)
        leaving = [e for e in sorted(_ids(last)) if e not in staying and e not in brief.must]
        asked = replace(
            request,
            brief=replace(
                brief,
                must=tuple(dict.fromkeys((*brief.must, *sorted(staying)))),
                dropped=tuple(dict.fromkeys((*brief.dropped, *leaving))),
            ),
            turn=request.turn + len(plans) * TRIES + attempt,
            recent=request.recent.union(*earlier) - staying,
        )
        result = compose(asked)
        if isinstance(result, ClassPlan):
            result = _further(asked, last, result)
        if isinstance(result, ClassPlan) and _ids(result) not in earlier:
            # What was asked stays the brief: next week's may have other exercises again.
            return replace(result, brief=brief)
    assert result is not None
    return result if isinstance(result, NoPlan) else NoPlan((), proven=False)


def _further(asked: Request, last: ClassPlan, plan: ClassPlan) -> ClassPlan | NoPlan:
    """The plan with one repetition more of what stays, else as many as last week."""
    before = {s.exercise.id: s for s in last.steps}
    variants = [
        Variant(tuple(_rising(step, before.get(step.exercise.id), more) for step in plan.steps))
        for more in (1, 0)
    ]
    result = refit(
        asked,
        Edited(variants, named=frozenset(before) & _ids(plan), old=_ids(plan)),
    )
    if isinstance(result, NoPlan):
        return result
    steps = {s.exercise.id: s.pins for s in plan.steps}
    items = (
        replace(i, step=replace(i.step, pins=steps.get(i.step.exercise.id, frozenset())))
        for i in result.items
    )
    return replace(result, items=tuple(items))


def _rising(step: Step, before: Step | None, more: int) -> Step:
    """The step with so many repetitions more than before, fixed while the rest is fitted to it."""
    if before is None:
        return step
    reps = min(before.reps + more, step.exercise.reps.high)
    return replace(step, reps=reps, sets=before.sets, pins=step.pins | {Pin.REPS})


def _ids(plan: ClassPlan) -> frozenset[ExerciseId]:
    return frozenset(item.step.exercise.id for item in plan.items)


def _staying(last: ClassPlan, must: frozenset[ExerciseId], attempt: int) -> frozenset[ExerciseId]:
    """Exercises of the last class that stay: whole series or none of it, spread over the class."""
    blocks: list[list[Item]] = []
    for item in last.items:
        series = item.step.exercise.series
        old = blocks[-1][-1].step.exercise.series if blocks else None
        if series and old and series.name == old.name:
            blocks[-1].append(item)
        else:
            blocks.append([item])
    count = len(last.items)
    wanted, least, most = round(STAY * count), ceil(LEAST_STAY * count), int(MOST_STAY * count)
    # What must be there stays anyway; then every other block, the hardest work first, so that the
    # summit returns.
    order = sorted(
        range(len(blocks)),
        key=lambda k: (
            not any(i.step.exercise.id in must for i in blocks[k]),
            (k + attempt) % 2,
            -max(i.step.exercise.effort for i in blocks[k]),
            k,
        ),
    )
    chosen: list[ExerciseId] = []
    for goal, room in ((wanted, wanted), (least, most)):
        for k in order:
            ids = [item.step.exercise.id for item in blocks[k]]
            if len(chosen) < goal and len(chosen) + len(ids) <= room and ids[0] not in chosen:
                chosen += ids
    return frozenset(chosen)
