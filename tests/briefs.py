"""Seeded random briefs, and what any plan made for one has to hold."""

from itertools import pairwise
from random import Random

from core.aims import AIMS, BARS
from core.apparatus import ApparatusId
from core.brief import LONGEST, MOST_PEOPLE, SHORTEST, ClassBrief
from core.exercise import Level, Phase
from core.plan import ClassPlan, Weight
from core.planner.request import NoPlan
from core.repertoire import Repertoire, shipped
from core.rules import check
from core.timing import BREATH_S

APPARATUS = tuple(ApparatusId(name) for name in ("chair", "mat", "reformer", "tower"))
RARE = (*APPARATUS, ApparatusId("barrel"), ApparatusId("props"))
LEVELS = (None, None, *Level)
FASTEST = 0.9  # no class goes faster than this part of the plain seconds of its repetitions
LAST_S = 60


def any_brief(random: Random) -> ClassBrief:
    """A brief as somebody might ask for it; not every one of them can be met."""
    kinds = random.sample(RARE if random.random() < 0.2 else APPARATUS, random.choice((1, 1, 2)))
    level = random.choice(LEVELS)
    top = level or Level.INTERMEDIATE
    offered = [
        e.id for e in shipped().exercises.values() if e.apparatus in kinds and e.level <= top
    ]
    return ClassBrief(
        minutes=random.randint(SHORTEST, LONGEST),
        apparatus=tuple(kinds),
        level=level,
        focus=tuple(random.sample(AIMS, random.choice((0, 0, 1, 2)))),
        without=tuple(random.sample(BARS, random.choice((0, 0, 0, 1, 2)))),
        must=tuple(random.sample(offered, random.choice((0, 0, 1, 2)))),
        people=random.randint(1, MOST_PEOPLE),
    )


def usual_brief(random: Random) -> ClassBrief:
    """A brief of the common kind: a full class, one or two apparatus, one wish at most."""
    return ClassBrief(
        minutes=random.choice((25, 30, 45, 50, 55, 60)),
        apparatus=tuple(random.sample(APPARATUS, random.choice((1, 1, 1, 2)))),
        level=random.choice(LEVELS),
        focus=tuple(random.sample(AIMS, random.choice((0, 1)))),
        without=tuple(random.sample(BARS, random.choice((0, 0, 0, 1)))),
        people=random.choice((1, 3, 4, 6, 8)),
    )


def faults(result: ClassPlan | NoPlan, library: Repertoire) -> list[str]:
    """What is wrong with an answer to a brief; nothing where it is a sound plan or a sound no."""
    if isinstance(result, NoPlan):
        return [] if result.findings else ["no plan and no reason"]
    return [
        *(f.rule for f in check(result, library) if f.weight is Weight.FAULT),
        *_of_time(result),
        *_of_order(result),
    ]


def _of_time(plan: ClassPlan) -> list[str]:
    found = []
    slot = plan.brief.minutes * 60
    if not slot - LAST_S <= plan.total_s <= slot:
        found.append(f"ends at {plan.total_s} of {slot} s")
    for before, after in pairwise(plan.items):
        if after.start_s != before.end_s + after.transition_s:
            found.append(f"{after.n} starts at {after.start_s} s")
    for item in plan.items:
        e = item.step.exercise
        each = e.tempo.seconds or BREATH_S * (e.tempo.breaths or 0)
        if item.duration_s < FASTEST * each * e.sides * item.step.sets * item.step.reps:
            found.append(f"{item.n} has no time for both sides")
    return found


def _of_order(plan: ClassPlan) -> list[str]:
    found = []
    phases = [item.step.phase for item in plan.items]
    if phases[0] is not Phase.WARM_UP or phases[-1] is not Phase.COOL_DOWN:
        found.append("does not begin with the warm-up and end with the cool-down")
    if phases != sorted(phases, key=list(Phase).index):
        found.append("goes back a phase")
    levels = [int(item.step.exercise.level) for item in plan.items]
    if any(abs(a - b) > 1 for a, b in pairwise(levels)):
        found.append("skips a level")
    there = {item.step.exercise.id for item in plan.items}
    found += [f"lacks {wanted}" for wanted in plan.brief.must if wanted not in there]
    return found
