"""The independent checker: each rule a function plan -> findings. It shares no code with the
search.

A FAULT is a broken hard rule: a plan with one is never shown. A NOTE is worth saying. Shares, level
steps, sides and directions are common practice without a published source.
"""

from collections.abc import Callable, Iterator
from itertools import groupby, pairwise
from statistics import median

from core.exercise import Direction, Phase
from core.plan import ClassPlan, Finding, Item, Pin, Weight
from core.repertoire import Repertoire
from core.room import Room

Rule = Callable[[ClassPlan, Repertoire], Iterator[Finding]]

LAST_S = 60  # a class ends within its last minute
ORDER = tuple(Phase)
BAND = {  # parts of the slot, a little wider than the trade's shares so that classes can breathe
    Phase.WARM_UP: (0.06, 0.19),
    Phase.FOUNDATION: (0.16, 0.34),
    Phase.PEAK: (0.31, 0.49),
    Phase.COOL_DOWN: (0.04, 0.16),
}
SUMMIT = (0.60, 0.75)
MOST_IN_A_ROW = 3
FLEXION_TO_EXTENSION = 2
GENTLE = 4
ABOUT_PEOPLE = frozenset({"waits", "must-avoid", "insisted"})  # findings that name somebody
HURRIED = 0.7  # of the usual pace of the class (house choice); half of it is a side left out


def check(plan: ClassPlan, repertoire: Repertoire, room: Room | None = None) -> tuple[Finding, ...]:
    """Every finding of every rule, faults first; with a room, what its people must avoid too."""
    found = [finding for rule in RULES for finding in rule(plan, repertoire)]
    if room:
        found += nobody_harmed(plan, room)
    return tuple(sorted(found, key=lambda finding: finding.weight is not Weight.FAULT))


def fits_slot(plan: ClassPlan, _: Repertoire) -> Iterator[Finding]:
    """Ends within the last minute of the slot, never past it. Facts: planned, slot in seconds."""
    slot = plan.brief.minutes * 60
    if not slot - LAST_S <= plan.total_s <= slot:
        yield Finding("slot", Weight.FAULT, (str(plan.total_s), str(slot)))


def clock_runs(plan: ClassPlan, _: Repertoire) -> Iterator[Finding]:
    """Each item starts where the one before ended and the change was made."""
    at = plan.opening_s
    for item in plan.items:
        if item.start_s != at + item.transition_s:
            yield Finding("clock", Weight.FAULT, (str(item.start_s),), item.n)
        at = item.start_s + item.setup_s + item.duration_s


def phases_in_order(plan: ClassPlan, _: Repertoire) -> Iterator[Finding]:
    """Warm-up first, then foundation, peak, cool-down last; each there, each where it may stand."""
    seen = [phase for phase, _ in groupby(item.step.phase for item in plan.items)]
    if seen != list(ORDER):
        yield Finding("phases", Weight.FAULT, tuple(seen))
    for item in plan.items:
        if item.step.phase not in item.step.exercise.phases:
            yield Finding("phase-allowed", Weight.FAULT, (item.step.phase,), item.n)


def shares_held(plan: ClassPlan, _: Repertoire) -> Iterator[Finding]:
    """Each phase has its part of the slot. Facts: phase, per cent."""
    slot = plan.brief.minutes * 60
    for phase, items in plan.sections():
        seconds = sum(i.transition_s + i.setup_s + i.duration_s for i in items)
        low, high = BAND[phase]
        if not low <= seconds / slot <= high:
            yield Finding("share", Weight.FAULT, (phase, str(round(100 * seconds / slot))))


def levels_step(plan: ClassPlan, _: Repertoire) -> Iterator[Finding]:
    """Level steps by at most one between neighbours, and none is above the class's own."""
    for before, after in pairwise(plan.items):
        if abs(after.step.exercise.level - before.step.exercise.level) > 1:
            yield Finding("level-step", Weight.FAULT, (), after.n)
    for item in plan.items:
        e = item.step.exercise
        if e.level > plan.brief.top_level and e.id not in plan.brief.must:
            yield Finding("level-top", Weight.FAULT, (str(int(e.level)),), item.n)


def prepared(plan: ClassPlan, repertoire: Repertoire) -> Iterator[Finding]:
    """What has a preparation comes after it, where the class's apparatus offer one."""
    before: set[str] = set()
    usable = {
        name
        for e in repertoire.exercises.values()
        if e.apparatus in plan.brief.apparatus
        and e.level <= plan.brief.top_level
        and not _without(plan, e.id, repertoire)
        for name in (e.id, e.family)
    }
    for item in plan.items:
        e = item.step.exercise
        offered = set(e.needs) & usable
        if offered and not set(e.needs) & before:
            yield Finding("preparation", Weight.FAULT, tuple(sorted(offered)), item.n)
        before |= {e.id, e.family}


def families_once(plan: ClassPlan, _: Repertoire) -> Iterator[Finding]:
    """No movement twice under two names, unless both belong to one series."""
    first: dict[str, str | None] = {}
    for item in plan.items:
        e = item.step.exercise
        series = e.series.name if e.series else None
        if e.family in first and (series is None or first[e.family] != series):
            yield Finding("family", Weight.FAULT, (e.family,), item.n)
        first.setdefault(e.family, series)
    ids = [item.step.exercise.id for item in plan.items]
    for item in plan.items:
        if ids.index(item.step.exercise.id) != item.n - 1:
            yield Finding("twice", Weight.FAULT, (item.step.exercise.name,), item.n)


def series_whole(plan: ClassPlan, _: Repertoire) -> Iterator[Finding]:
    """A series stands together and in its order."""
    left: set[str] = set()
    for before, after in pairwise(plan.items):
        old, new = before.step.exercise.series, after.step.exercise.series
        if old and (not new or new.name != old.name):
            left.add(old.name)
        if new and new.name in left:
            yield Finding("series-broken", Weight.FAULT, (new.name,), after.n)
        if old and new and old.name == new.name and new.place <= old.place:
            yield Finding("series-order", Weight.FAULT, (new.name,), after.n)


def sides_and_reps(plan: ClassPlan, _: Repertoire) -> Iterator[Finding]:
    """Both sides and all sets are timed; repetitions stay in their range.

    How fast a class goes is not known here, so an item is held against the others: one that counts
    only one of its sides takes half the time for each repetition.
    """
    paces = [item.duration_s / _plain_s(item) for item in plan.items]
    usual = median(paces) if paces else 0.0
    for item, pace in zip(plan.items, paces, strict=True):
        step = item.step
        reps = step.exercise.reps
        if not reps.low <= step.reps <= reps.high or step.sets not in (1, 2):
            yield Finding("reps", Weight.FAULT, (str(step.reps),), item.n)
        if pace < HURRIED * usual or pace < HURRIED * HURRIED:
            yield Finding("sides", Weight.FAULT, (str(item.duration_s),), item.n)


def _plain_s(item: Item) -> float:
    """Seconds of its repetitions on both sides at an ordinary pace, a breath being six."""
    tempo = item.step.exercise.tempo
    each = tempo.seconds or 6 * (tempo.breaths or 0)
    return item.step.exercise.sides * item.step.sets * item.step.reps * each


def wishes_kept(plan: ClassPlan, repertoire: Repertoire) -> Iterator[Finding]:
    """Everything that must be there is; nothing the class does without; every focus is met."""
    there = {item.step.exercise.id for item in plan.items}
    for wanted in plan.brief.must:
        if wanted not in there:
            yield Finding("must", Weight.FAULT, (wanted,))
    for item in plan.items:
        for bar in _without(plan, item.step.exercise.id, repertoire):
            yield Finding("without", Weight.FAULT, (bar,), item.n)
        if item.step.exercise.apparatus not in plan.brief.apparatus:
            yield Finding("apparatus", Weight.FAULT, (item.step.exercise.apparatus,), item.n)
    for name in plan.brief.apparatus:
        if not any(item.step.exercise.apparatus == name for item in plan.items):
            yield Finding("apparatus-unused", Weight.FAULT, (name,))
    for aim in plan.brief.focus:
        met = [
            item
            for item in plan.items
            if aim.themes & set(item.step.exercise.themes)
            or aim.muscles & {item.step.exercise.primary, *item.step.exercise.also}
            or aim.directions & item.step.exercise.directions
        ]
        if not met:
            yield Finding("focus-unmet", Weight.NOTE, (aim.name,))


def muscles_alternate(plan: ClassPlan, _: Repertoire) -> Iterator[Finding]:
    """No more than three in a row on the same primary muscle."""
    for muscle, group in groupby(plan.items, key=lambda item: item.step.exercise.primary):
        items = list(group)
        if len(items) > MOST_IN_A_ROW:
            yield Finding("run", Weight.FAULT, (muscle, str(len(items))), items[-1].n)


def directions_visited(plan: ClassPlan, repertoire: Repertoire) -> Iterator[Finding]:
    """All four directions of the spine, as far as the apparatus offer them; flexion at most 2:1."""
    counts = dict.fromkeys(Direction, 0)
    for item in plan.items:
        for direction in item.step.exercise.directions:
            counts[direction] += 1
    for direction, count in counts.items():
        if count:
            continue
        offered = any(
            direction in e.directions
            for e in repertoire.exercises.values()
            if e.apparatus in plan.brief.apparatus
            and e.level <= plan.brief.top_level
            and not _without(plan, e.id, repertoire)
        )
        yield Finding("direction", Weight.FAULT if offered else Weight.NOTE, (direction,))
    flexion, extension = counts[Direction.FLEXION], counts[Direction.EXTENSION]
    if extension and flexion > FLEXION_TO_EXTENSION * extension:
        yield Finding("flexion-heavy", Weight.FAULT, (str(flexion), str(extension)))


def effort_rises_and_falls(plan: ClassPlan, _: Repertoire) -> Iterator[Finding]:
    """The hardest work lies at 60-75 % of the class; warm-up and cool-down are gentle."""
    if not plan.items:
        return
    slot = plan.brief.minutes * 60
    highest = max(item.step.exercise.effort for item in plan.items)
    low, high = SUMMIT[0] * slot, SUMMIT[1] * slot
    tops = [item for item in plan.items if item.step.exercise.effort == highest]
    if not any(item.start_s <= high and item.end_s >= low for item in tops):
        where = ", ".join(str(round(100 * item.end_s / slot)) for item in tops)
        yield Finding("summit", Weight.FAULT, (where,), tops[0].n)
    for item in plan.items:
        ends = (Phase.WARM_UP, Phase.COOL_DOWN)
        if item.step.phase in ends and item.step.exercise.effort > GENTLE:
            yield Finding("gentle", Weight.FAULT, (item.step.phase,), item.n)


def nobody_harmed(plan: ClassPlan, room: Room) -> Iterator[Finding]:
    """Nobody is given what they must avoid; what she insisted on is marked. Facts: who, what."""
    for client in room.waiting():
        yield Finding("waits", Weight.NOTE, (client.name,))
    for item in plan.items:
        for client, verdict in room.barred_for(item.step.exercise):
            facts = (client.name, item.step.exercise.name, verdict.kind.value)
            if Pin.INSISTED in item.step.pins:
                yield Finding("insisted", Weight.NOTE, facts, item.n)
            else:
                yield Finding("must-avoid", Weight.FAULT, facts, item.n)


def _without(plan: ClassPlan, exercise_id: str, repertoire: Repertoire) -> list[str]:
    e = repertoire[exercise_id]
    found = []
    for bar in plan.brief.without:
        main = e.themes[0] in bar.themes or e.primary in bar.muscles
        named = e.id in bar.movements or e.family in bar.movements
        if main or named or e.position in bar.positions or e.demands & bar.demands:
            found.append(bar.name)
    return found


RULES: tuple[Rule, ...] = (
    fits_slot,
    clock_runs,
    phases_in_order,
    shares_held,
    levels_step,
    prepared,
    families_once,
    series_whole,
    sides_and_reps,
    wishes_kept,
    muscles_alternate,
    directions_visited,
    effort_rises_and_falls,
)
