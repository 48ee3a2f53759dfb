"""Edits of a plan: each a wish about one place or the whole, applied together or not at all.

Places are numbered as she sees them in the plan she edits, however many edits come in one message.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from core.apparatus import SpringSetting
from core.brief import ClassBrief
from core.exercise import Exercise, ExerciseId, Load, Phase
from core.lookup import likeness
from core.plan import ClassPlan, Pin, Step
from core.planner.choice import settings_of
from core.planner.compose import compose
from core.planner.model import barred
from core.planner.refit import NEAR, refit
from core.planner.request import NoPlan, Request
from core.repertoire import Repertoire
from core.wish import (
    Add,
    Drop,
    Ease,
    Edit,
    EditError,
    Fit,
    Keep,
    Late,
    Move,
    SetReps,
    SetSprings,
    Swap,
)

IDEAS = 14  # stand-ins tried for a swap without a name
ORDER = tuple(Phase)


@dataclass(slots=True)
class _Work:
    """A plan while it is edited: steps with the numbers they had."""

    brief: ClassBrief
    steps: list[tuple[int, Step]]
    choices: dict[int, list[Step]]  # number -> what may stand there
    stay: bool = False

    def at(self, n: int) -> int:
        """Where the place numbered n is now.

        Raises:
            EditError: it is gone, or never was.
        """
        for k, (number, _) in enumerate(self.steps):
            if number == n:
                return k
        raise EditError(f"number {n} is not there any more")


def apply(edits: Sequence[Edit], plan: ClassPlan, request: Request) -> ClassPlan | NoPlan:
    """The plan with all edits made and everything else as it was as far as the rules allow.

    Args:
        request: its repertoire and pace; the brief is taken from the plan.

    Raises:
        EditError: an edit makes no sense for this plan; nothing is changed.
    """
    work = _Work(plan.brief, [(item.n, item.step) for item in plan.items], {})
    for edit in edits:
        _one(edit, work, request.repertoire, len(plan.items))
    steps = [step for _, step in work.steps]
    variants = [steps]
    for n, options in work.choices.items():
        k = work.at(n)
        variants = [
            [*variant[:k], option, *variant[k + 1 :]] for variant in variants for option in options
        ][: IDEAS * 3]
    asked = replace(request, brief=work.brief)
    if any(isinstance(edit, Late) for edit in edits):
        result = refit(asked, variants, budgets=NEAR[:1])
        if isinstance(result, ClassPlan):
            return _unpinned(result, plan)
        # So little time is left that the cool-down as it was would be too large a part of it.
        variants = [[_as_before(step, plan) for step in variant] for variant in variants]
    result = refit(asked, variants, stay=work.stay)
    if isinstance(result, NoPlan) and any(isinstance(edit, Fit | Late) for edit in edits):
        # So much changes that staying near the old class is in the way: only what is fixed stays.
        must = [s.exercise.id for s in plan.steps if Pin.PLACE in s.pins]
        brief = replace(work.brief, must=tuple(dict.fromkeys((*work.brief.must, *must))))
        return compose(replace(asked, brief=brief))
    return result


def _as_before(step: Step, plan: ClassPlan) -> Step:
    """The step with the pins it had in the plan, and no others."""
    old = next((s for s in plan.steps if s.exercise.id == step.exercise.id), None)
    return replace(step, pins=old.pins) if old else step


def _unpinned(result: ClassPlan, plan: ClassPlan) -> ClassPlan:
    """The plan without the pins that only held its cool-down while it was shortened."""
    items = tuple(replace(item, step=_as_before(item.step, plan)) for item in result.items)
    return replace(result, items=items)


def _one(edit: Edit, work: _Work, repertoire: Repertoire, last: int) -> None:
    match edit:
        case Drop(n):
            k = work.at(n)
            _forget(work, work.steps.pop(k)[1].exercise.id)
        case Swap(n, wanted):
            k = work.at(n)
            old = work.steps[k][1]
            if wanted is None:
                work.choices[n] = _stand_ins(old, work, repertoire)
            else:
                e = _wanted(wanted, work, repertoire)
                _belongs(e, old.phase)
                work.steps[k] = (n, _step(e, old.phase))
            _forget(work, old.exercise.id)
        case Add(exercise, after):
            _add(work, _wanted(exercise, work, repertoire), after, last)
            work.stay = work.stay or after is not None
        case Move(n, to):
            _move(work, n, to)
        case SetReps(n, reps):
            k = work.at(n)
            step = work.steps[k][1]
            low, high = step.exercise.reps.low, step.exercise.reps.high
            if not low <= reps <= high:
                raise EditError(f"{step.exercise.name} takes {low} to {high} repetitions")
            work.steps[k] = (n, replace(step, reps=reps, pins=step.pins | {Pin.REPS}))
        case SetSprings(n, springs):
            k = work.at(n)
            step = work.steps[k][1]
            _allow(step.exercise, springs, repertoire)
            work.steps[k] = (n, replace(step, springs=springs, pins=step.pins | {Pin.SPRINGS}))
        case Ease(n, harder):
            _ease(work, n, repertoire, harder=harder)
        case Keep(n, keep):
            k = work.at(n)
            step = work.steps[k][1]
            pins = step.pins | {Pin.PLACE} if keep else frozenset[Pin]()
            work.steps[k] = (n, replace(step, pins=pins))
        case Fit(minutes):
            work.brief = replace(work.brief, minutes=minutes)
        case Late(minutes):
            work.brief = replace(work.brief, minutes=work.brief.minutes - minutes)
            work.steps = [
                (n, replace(s, pins=s.pins | {Pin.PLACE}) if s.phase is Phase.COOL_DOWN else s)
                for n, s in work.steps
            ]


def _forget(work: _Work, gone: ExerciseId) -> None:
    must = tuple(m for m in work.brief.must if m != gone)
    dropped = tuple(dict.fromkeys((*work.brief.dropped, gone)))
    work.brief = replace(work.brief, must=must, dropped=dropped)


def _wanted(wanted: str, work: _Work, repertoire: Repertoire) -> Exercise:
    """The exercise asked for by name, if the class can have it at all.

    Raises:
        EditError: it is there already, needs another apparatus, or is what the class does without.
    """
    e = repertoire[wanted]
    here = next((n for n, s in work.steps if s.exercise.id == e.id), None)
    if here is not None:
        raise EditError(f"{e.name} is in the class already, at {here}")
    if e.apparatus not in work.brief.apparatus:
        raise EditError(f"{e.name} needs the {repertoire.apparatus[e.apparatus].name}")
    bars = [bar.name for bar in work.brief.without if bar.rules_out(e)]
    if bars:
        raise EditError(f"{e.name} asks for what the class does without: {', '.join(bars)}")
    work.brief = replace(
        work.brief,
        must=tuple(dict.fromkeys((*work.brief.must, e.id))),
        dropped=tuple(d for d in work.brief.dropped if d != e.id),
    )
    return e


def _step(e: Exercise, phase: Phase) -> Step:
    """The exercise as usual, in this phase or the nearest it may stand in."""
    at = ORDER.index(phase)
    nearest = min(e.phases, key=lambda p: (abs(ORDER.index(p) - at), ORDER.index(p)))
    return Step(e, nearest, settings_of(e)[0], e.reps.usual)


def _stand_ins(old: Step, work: _Work, repertoire: Repertoire) -> list[Step]:
    used = {s.exercise.id for _, s in work.steps}
    fit = [
        o
        for a in work.brief.apparatus
        for o in repertoire.by_apparatus.get(a, ())
        if o.id not in used
        and o.id not in work.brief.dropped
        and old.phase in o.phases
        and o.level <= work.brief.top_level
        and not barred(o, work.brief)
    ]
    fit.sort(key=lambda o: (-likeness(old.exercise, o), o.id))
    if not fit:
        raise EditError(f"nothing else in the library could stand in for {old.exercise.name}")
    return [_step(o, old.phase) for o in fit[:IDEAS]]


def _add(work: _Work, e: Exercise, after: int | None, last: int) -> None:
    if after is None:
        phase = max(e.phases, key=lambda p: (p is Phase.PEAK, p is Phase.FOUNDATION))
        places = [k for k, (_, s) in enumerate(work.steps) if s.phase is phase]
        at = places[-1] + 1 if places else len(work.steps)
    else:
        if after > last:
            raise EditError(f"the class ends at {last}")
        at = work.at(after) + 1 if after else 0
        phase = work.steps[max(0, at - 1)][1].phase
        following = work.steps[at][1].phase if at < len(work.steps) else phase
        if phase not in e.phases and following in e.phases:
            phase = following
    _belongs(e, phase)
    work.steps.insert(at, (0, _step(e, phase)))


def _move(work: _Work, n: int, to: int) -> None:
    k, target = work.at(n), work.at(to)
    number, step = work.steps.pop(k)
    phase = work.steps[min(target, len(work.steps) - 1)][1].phase
    _belongs(step.exercise, phase)
    work.steps.insert(target, (number, replace(step, phase=phase)))
    work.stay = True


def _belongs(e: Exercise, phase: Phase) -> None:
    if phase not in e.phases:
        allowed = " or ".join(p.value for p in ORDER if p in e.phases)
        raise EditError(f"{e.name} belongs in the {allowed}, not in the {phase.value}")


def _allow(e: Exercise, springs: SpringSetting, repertoire: Repertoire) -> None:
    """Refuse springs past the limit of an exercise.

    Raises:
        EditError: it has no springs, or the limit is passed.
    """
    if e.springs is None:
        raise EditError(f"{e.name} uses no springs")
    rank = repertoire.apparatus[e.apparatus].rank
    limit = e.springs.limit
    if e.load is Load.ASSIST and rank(springs) < rank(limit):
        raise EditError(f"{e.name}: no lighter than {limit}, the spring has to carry the body")
    if e.load is not Load.ASSIST and rank(springs) > rank(limit):
        raise EditError(f"{e.name}: no heavier than {limit}")


def _ease(work: _Work, n: int, repertoire: Repertoire, *, harder: bool) -> None:
    k = work.at(n)
    step = work.steps[k][1]
    e = step.exercise
    springs = e.springs and (e.springs.harder if harder else e.springs.easier)
    if springs and e.load is not Load.STABILISE and springs != step.springs:
        there = (
            e.springs.usual
            if e.springs and step.springs not in (e.springs.usual, springs)
            else springs
        )
        work.steps[k] = (n, replace(step, springs=there, pins=step.pins | {Pin.SPRINGS}))
        return
    rung = e.harder if harder else e.easier
    if rung is None or rung not in repertoire.exercises:
        reason = (e.no_harder if harder else e.no_easier) or "there is no other rung on its ladder"
        raise EditError(f"{e.name}: {reason[:1].lower()}{reason[1:].rstrip('.')}")
    wanted = _wanted(rung, work, repertoire)
    work.steps[k] = (n, _step(wanted, step.phase))
    _forget(work, e.id)
