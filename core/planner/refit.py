"""A class that has been changed by hand, made whole again with the least further change."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import Enum
from random import Random

from core.exercise import ExerciseId, Phase
from core.plan import ClassPlan, Finding, Step
from core.planner import weights as w
from core.planner.finish import finish
from core.planner.kept import Kept
from core.planner.mend import AVOID, TRIED, Mender
from core.planner.mending import Whole
from core.planner.model import Model, build, pool_of
from core.planner.request import NoPlan, Request
from core.planner.search import Budget
from core.planner.search import Search as Searcher

FAR = (Budget(0, 0, 8_000), Budget(2, 14_000, 14_000))  # near by first, then from nothing
MOST_GONE = 14  # exercises taken out to save time, at most
LIKELY = 10  # of them that are looked at again
GONE = 24  # points: taking one out is like six repetitions fewer (house choice)
TIME = frozenset({"slot", "share", "summit"})  # what sets and borders between phases can mend


class Where(Enum):
    """How firmly a changed place is fixed."""

    NUMBER = "number"  # it has this very number
    AFTER = "after"  # it follows what it follows now
    BESIDE = "beside"  # it keeps one of its neighbours


@dataclass(frozen=True, slots=True)
class Unmade(NoPlan):
    """No plan after an edit; `about` has for each finding the exercise it is about, or ""."""

    about: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Variant:
    """A sequence that is what she asked for.

    Attributes:
        placed: index of a changed place, and how firmly it is fixed.
    """

    steps: tuple[Step, ...]
    placed: tuple[tuple[int, Where], ...] = ()

    def without(self, e: ExerciseId) -> "Variant":
        """The sequence without one of its exercises."""
        k = next(k for k, s in enumerate(self.steps) if s.exercise.id == e)
        placed = tuple((at - (at > k), where) for at, where in self.placed if at != k)
        return Variant((*self.steps[:k], *self.steps[k + 1 :]), placed)

    def holds(self, other: Sequence[Step]) -> bool:
        """Whether all that was placed stands there in another sequence."""
        here = [s.exercise.id for s in self.steps]
        there = [s.exercise.id for s in other]
        return all(_stands(here, there, at, where) for at, where in self.placed)


@dataclass(frozen=True, slots=True)
class Edited:
    """What is to become of a class.

    Attributes:
        variants: any of them is what she asked for, the best first.
        named: what no further change may touch.
        old: what the class had before.
        before: faults the class had already, by `key_of`; they may stay.
        thin: phases that whole exercises may go from, to save time.
        far: how much to search for a way with several further changes.
        afresh: whether, at last, only what is pinned has to stay.
        near_only: whether a variant is wanted with nothing but its repetitions changed.
        hers: whether it is done at any rate, since the class kept to no rules before.
    """

    variants: Sequence[Variant]
    named: frozenset[ExerciseId]
    old: frozenset[ExerciseId]
    before: tuple[str, ...] = ()
    thin: frozenset[Phase] = frozenset()
    far: Sequence[Budget] = ()
    afresh: bool = False
    near_only: bool = False
    hers: bool = False


def refit(request: Request, edited: Edited) -> ClassPlan | NoPlan:
    """The plan nearest to the best of the variants that keeps every rule.

    Exercises, order, sets and repetitions stay as they are in the variant as far as the rules
    allow; what is pinned stays in any case.
    """
    mender = Mender(request, edited.old, edited.before)
    variants = _thinned(mender, edited) if edited.thin else edited.variants
    found, variant, nearest = _as_they_are(mender, variants)
    if found is None and edited.hers and all(f.rule != AVOID for f in nearest):
        return mender.plan(variant.steps)
    if found is None and edited.near_only:
        return NoPlan(nearest, proven=False)
    if found is None and all(f.rule in TIME for f in nearest):
        found = mender.nearby(variant.steps)
    if found is None:
        found = Whole(mender, variant.steps, edited.named, variant.holds, nearest).one_other()
    if found is None and edited.far:
        found = _searched(request, edited, variant, mender)
    if found:
        return replace(found, brief=request.brief)
    about = (variant.steps[f.place - 1].exercise.short if f.place else "" for f in nearest)
    return Unmade(nearest, proven=False, about=tuple(about))


def _thinned(mender: Mender, edited: Edited) -> list[Variant]:
    """The first variant with ever fewer exercises, what changes least in all before the rest."""
    variant = edited.variants[0]
    stay = {*edited.named, *mender.request.brief.must}
    found = [(mender.timed(variant.steps, roomy=True).price, variant)]
    ranked = [
        s.exercise.id
        for s in variant.steps
        if s.phase in edited.thin and not s.pins and s.exercise.id not in stay
    ]
    for gone in range(1, MOST_GONE):
        fewer = [
            (mender.timed(each.steps, roomy=True).price, e, each)
            for e in ranked
            for each in [variant.without(e)]
            if not mender.out_of_shape(each.steps)
        ]
        if not fewer:
            break
        fewer.sort(key=lambda each: each[:2])
        (unmet, changed), _, variant = fewer[0]
        ranked = [each for _, each, _ in fewer[1:LIKELY]]  # what helped most helps most again
        price = unmet, changed + GONE * gone
        if price > found[-1][0]:
            break
        found.append((price, variant))
    found.sort(key=lambda pair: pair[0])
    return [variant for _, variant in found[:TRIED]]


def _as_they_are(
    mender: Mender, variants: Sequence[Variant]
) -> tuple[ClassPlan | None, Variant, tuple[Finding, ...]]:
    """A variant as it stands or with other repetitions; else the nearest and what is wrong."""
    nearest: tuple[Variant, tuple[Finding, ...]] | None = None
    for variant in variants:
        steps = mender.sprung(variant.steps)
        faults = mender.out_of_shape(steps)
        if not faults:
            tried = [steps]
            for roomy in (False, True):
                timed = mender.timed(steps, roomy=roomy)
                tried.append(timed.steps)
                if not timed.unmet:
                    break
            plan, faults = mender.first_sound(tried)
            if plan:
                return plan, variant, ()
            if nearest is None or any(f.rule not in TIME for f in nearest[1]):
                nearest = variant, faults
        nearest = nearest or (variant, faults)
    assert nearest is not None
    return None, *nearest


def _stands(here: Sequence[ExerciseId], there: Sequence[ExerciseId], at: int, where: Where) -> bool:
    if here[at] not in there:
        return False
    k = there.index(here[at])
    if where is Where.NUMBER:
        return k == at
    after = there[k - 1 : k] == here[at - 1 : at]
    if where is Where.AFTER:
        return after
    return after or there[k + 1 : k + 2] == here[at + 1 : at + 2]


def _searched(
    request: Request, edited: Edited, variant: Variant, mender: Mender
) -> ClassPlan | None:
    """What a search from the variant finds; at last with only what is pinned kept."""
    steps = variant.steps
    must = tuple(dict.fromkeys((*request.brief.must, *sorted(edited.named))))
    asked = replace(request, brief=replace(request.brief, must=must))
    tries = [(steps, budget) for budget in edited.far]
    if edited.afresh:
        tries.append((tuple(s for s in steps if s.pins), request.budget))
    for near, budget in tries:
        random = Random(request.seed)
        kept = Kept(near)
        model = _as_sprung(build(asked, pool_of(asked, kept), random, kept), edited.old)
        first = () if budget.anneals else _sequence(model, steps)
        solution = Searcher(model.problem, random).run(budget, first)
        if solution.shortfall:
            continue
        plan = finish(request, model, solution)
        if not mender.faults(plan) and variant.holds(plan.steps):
            return plan
    return None


def _as_sprung(model: Model, old: frozenset[ExerciseId]) -> Model:
    """The model with springs as they were for everything the class had."""
    choices = (
        replace(c, settings=c.settings[:1]) if c.exercise.id in old else c for c in model.choices
    )
    return replace(model, choices=tuple(choices))


def _sequence(model: Model, steps: Sequence[Step]) -> list[int]:
    """The nodes of the steps, as far as there are any; the way down begins after the hardest."""
    numbers: dict[tuple[ExerciseId, int, int], int] = {}
    for k, (choice, node) in enumerate(zip(model.choices, model.problem.nodes, strict=True)):
        numbers[choice.exercise.id, node.stage, choice.sets] = k
    peak = [k for k, step in enumerate(steps) if step.phase is Phase.PEAK]
    hardest = max(peak, key=lambda k: (steps[k].exercise.effort, k), default=-1)
    found = []
    for k, step in enumerate(steps):
        stage = w.STAGES_OF_PHASE[step.phase][0]
        if step.phase is Phase.PEAK and k > hardest:
            stage = w.EASE
        ways = (numbers.get((step.exercise.id, stage, sets)) for sets in (step.sets, 1, 2))
        number = next((way for way in ways if way is not None), None)
        if number is not None:
            found.append(number)
    return found
