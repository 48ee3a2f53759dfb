"""A class for each of several weeks, each going on from the one before.

From week to week a third to a half of the exercises stay, with repetitions that rise by one where
their range allows; the rest is new. So every class is known and none is a repeat.
"""

from collections.abc import Iterator
from dataclasses import replace

from core.exercise import ExerciseId
from core.plan import ClassPlan, Item
from core.planner.compose import compose
from core.planner.request import NoPlan, Request

STAY = 0.42  # of the exercises, in the middle of a third to a half (common practice, no source)
LEAST_STAY, MOST_STAY = 1 / 3, 1 / 2
TRIES = 3


def weeks(request: Request, number: int) -> Iterator[ClassPlan | NoPlan]:
    """The plans of so many weeks, in order; ends with a NoPlan when a week can't be planned."""
    last: ClassPlan | None = None
    for week in range(number):
        result = _next(request, week, last)
        yield result
        if isinstance(result, NoPlan):
            return
        last = result


def _next(request: Request, week: int, last: ClassPlan | None) -> ClassPlan | NoPlan:
    if last is None:
        return compose(replace(request, turn=week))
    result: ClassPlan | NoPlan | None = None
    for attempt in range(TRIES):
        staying = _staying(last, attempt)
        leaving = [i.step.exercise.id for i in last.items if i.step.exercise.id not in staying]
        brief = replace(
            request.brief,
            must=tuple(dict.fromkeys((*request.brief.must, *sorted(staying)))),
            dropped=tuple(dict.fromkeys((*request.brief.dropped, *leaving))),
        )
        result = compose(replace(request, brief=brief, turn=week * TRIES + attempt))
        if isinstance(result, ClassPlan):
            # What was asked stays the brief: next week's may have other exercises again.
            return replace(result, brief=replace(request.brief, must=request.brief.must))
    assert result is not None
    return result


def _staying(last: ClassPlan, attempt: int) -> frozenset[ExerciseId]:
    """Exercises of the last class that stay: whole series or none of it, spread over the class."""
    blocks: list[list[Item]] = []
    for item in last.items:
        series = item.step.exercise.series
        old = blocks[-1][-1].step.exercise.series if blocks else None
        if series and old and series.name == old.name:
            blocks[-1].append(item)
        else:
            blocks.append([item])
    wanted = round(STAY * len(last.items))
    # Blocks that were there for the summit and the focus are worth repeating; then every other one.
    order = sorted(
        range(len(blocks)),
        key=lambda k: ((k + attempt) % 2, -max(i.step.exercise.effort for i in blocks[k]), k),
    )
    chosen: list[ExerciseId] = []
    for k in order:
        ids = [item.step.exercise.id for item in blocks[k]]
        if len(chosen) + len(ids) <= max(wanted, 1) or not chosen:
            chosen += ids
    return frozenset(chosen[: int(MOST_STAY * len(last.items))])
