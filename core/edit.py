"""Edits of a plan: each a wish about one place or the whole, applied together or not at all.

Places are numbered as she sees them in the plan she edits, however many edits come in one message.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

from core.exercise import Phase
from core.lookup import likeness
from core.plan import ClassPlan, Pin, Step, Weight
from core.planner import weights as w
from core.planner.choice import settings_of
from core.planner.mend import key_of
from core.planner.refit import FAR, Edited, Variant, refit
from core.planner.request import NoPlan, Request
from core.rules import check
from core.wish import Drop, Edit, Fit, Keep, Late, Swap
from core.work import Numbered, Work

MOST_VARIANTS = 40  # sequences that would all be what she asked for (house choice)
ALIKE = 4  # points for each point of likeness a stand-in has (house choice)
ENDS = (Phase.WARM_UP, Phase.COOL_DOWN)
MIDDLE = (frozenset({Phase.PEAK}), frozenset({Phase.PEAK, Phase.FOUNDATION}))


def apply(
    edits: Sequence[Edit], plan: ClassPlan, request: Request, *, insist: bool = False
) -> ClassPlan | NoPlan:
    """The plan with all edits made and everything else as it was as far as the rules allow.

    What was wrong with the class before may stay so: it is hers.

    Args:
        request: its repertoire, room and pace; the brief is taken from the plan.
        insist: what she names is wanted even against somebody's caution.

    Raises:
        EditError: an edit makes no sense for this plan; nothing is changed.
    """
    work = Work(plan, request, insist=insist)
    for edit in edits:
        work.make(edit)
    work.tell_apart()
    timed = any(isinstance(edit, Fit | Late) for edit in edits)
    open_ended = timed or any(
        isinstance(edit, Drop) or (isinstance(edit, Swap) and edit.exercise is None)
        for edit in edits
    )
    faults = [
        key_of(f)
        for f in check(plan, request.repertoire, request.room)
        if f.weight is Weight.FAULT and not (timed and f.rule == "slot")
    ]
    edited = Edited(
        variants=_variants(work, plan),
        named=frozenset(work.named),
        old=frozenset(step.exercise.id for step in plan.steps),
        before=tuple(faults),
        thin=frozenset(Phase) if work.brief.minutes < plan.brief.minutes else frozenset(),
        far=FAR if open_ended else (),
        afresh=timed,
        hers=bool(faults) and not timed,
    )
    asked = replace(request, brief=work.brief)
    if all(isinstance(edit, Keep) for edit in edits):
        items = zip(plan.items, edited.variants[0].steps, strict=True)
        return replace(plan, items=tuple(replace(item, step=step) for item, step in items))
    if any(isinstance(edit, Late) for edit in edits):
        return _late(asked, edited)
    return refit(asked, edited)


def _late(asked: Request, edited: Edited) -> ClassPlan | NoPlan:
    """The class in less time: shorter in the middle, its ends as they are while that can be."""
    variant = edited.variants[0]
    fast = tuple(
        replace(s, pins=s.pins | {Pin.PLACE}) if s.phase in ENDS else s for s in variant.steps
    )
    ends = {s.exercise.id for s in variant.steps if s.phase in ENDS}
    tries = [(steps, ends, thin) for steps in (fast, variant.steps) for thin in MIDDLE]
    tries.append((variant.steps, set(), frozenset(Phase)))
    for steps, stay, thin in tries:
        near = replace(
            edited,
            variants=[replace(variant, steps=steps)],
            named=edited.named | stay,
            thin=thin,
            near_only=True,
        )
        result = refit(asked, near)
        if isinstance(result, ClassPlan):
            return _as_pinned(result, variant.steps)
    return refit(asked, edited)


def _as_pinned(plan: ClassPlan, steps: Sequence[Step]) -> ClassPlan:
    """The plan with the pins these steps have."""
    pins = {s.exercise.id: s.pins for s in steps}
    items = (
        replace(i, step=replace(i.step, pins=pins.get(i.step.exercise.id, frozenset())))
        for i in plan.items
    )
    return replace(plan, items=tuple(items))


def _variants(work: Work, plan: ClassPlan) -> list[Variant]:
    """Every sequence that would be what she asked for, the one that flows best first."""
    found: list[list[Numbered]] = [work.steps]
    for n, options in work.options.items():
        found = [
            [(number, option if number == n else step) for number, step in steps]
            for option in options
            for steps in found
        ][:MOST_VARIANTS]
    for number, e in work.loose:
        placed = [
            [*steps[:k], (number, work.new_step(e, phase)), *steps[k:]]
            for steps in found[: 1 + MOST_VARIANTS // 20]
            for k, phase in _gaps(steps)
            if phase in e.phases
        ]
        found = sorted(placed, key=_roughness)[:MOST_VARIANTS]
    old = {item.n: item.step for item in plan.items}
    found += [other for steps in found[:MOST_VARIANTS] for other in _beside_series(steps, old)]

    def price(steps: list[Numbered]) -> int:
        alike = sum(likeness(old[n].exercise, s.exercise) for n, s in steps if n in work.options)
        return _roughness(steps) - round(ALIKE * alike)

    return [
        Variant(
            tuple(step for _, step in steps),
            tuple((k, work.placed[n]) for k, (n, _) in enumerate(steps) if n in work.placed),
        )
        for steps in sorted(found, key=price)
    ]


def _beside_series(steps: list[Numbered], old: Mapping[int, Step]) -> Iterator[list[Numbered]]:
    """What was swapped into the middle of a series, before or after the whole of it instead."""
    for k, (n, step) in enumerate(steps):
        was = old[n].exercise.series if n in old else None
        if was is None or step.exercise.id == old[n].exercise.id:
            continue
        block = [k]
        for way in (-1, 1):
            at = k + way
            while 0 <= at < len(steps) and _series(steps[at][1]) == was.name:
                block.append(at)
                at += way
        first, last = min(block), max(block)
        if first < k < last:
            rest = [*steps[:k], *steps[k + 1 :]]
            yield [*rest[:last], (n, step), *rest[last:]]
            yield [*rest[:first], (n, step), *rest[first:]]


def _series(step: Step) -> str:
    return step.exercise.series.name if step.exercise.series else ""


def _gaps(steps: Sequence[Numbered]) -> Iterator[tuple[int, Phase]]:
    """Every place where something could come in, with each phase it could come into."""
    for k in range(len(steps) + 1):
        beside = [steps[at][1].phase for at in (k - 1, k) if 0 <= at < len(steps)]
        for phase in dict.fromkeys(beside):
            yield k, phase


def _roughness(steps: Sequence[Numbered]) -> int:
    """Points of what a class is stopped by between its exercises; less flows better."""
    points = 0
    for (_, a), (_, b) in pairwise(steps):
        one, two = a.exercise, b.exercise
        if one.apparatus != two.apparatus:
            points += w.APPARATUS_CHANGE
            continue
        points += w.POSITION_CHANGE * (one.position is not two.position)
        points += w.SPRING_CHANGE * (a.springs != b.springs and b.springs not in settings_of(one))
        rig = dict(one.rig)
        points += w.RIG_CHANGE * sum(rig.get(part, state) != state for part, state in two.rig)
        points += w.SAME_MUSCLE * (one.primary is two.primary)
        points += w.EFFORT_OFF * max(0, abs(one.effort - two.effort) - w.DIP)
    return points
