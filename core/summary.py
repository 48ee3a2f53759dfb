"""A plan in numbers: changes, directions, the arc; and what one place is there for."""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise

from core.brief import Aim
from core.exercise import Direction, Exercise, Phase
from core.lookup import likeness
from core.plan import ClassPlan, Item
from core.planner.model import barred
from core.planner.nodes import hits
from core.repertoire import Repertoire


@dataclass(frozen=True, slots=True)
class Summary:
    """What a plan asks of the room.

    Attributes:
        spring_changes: how often everybody stops for springs (a change of apparatus is not one).
        minutes: minutes of each phase, set-ups and changes included.
        focus: seconds of work that serve each focus.
        hardest: the item with the most effort; of equals the nearest to two thirds of the class.
    """

    spring_changes: int
    position_changes: int
    rig_changes: int
    apparatus_changes: int
    directions: Mapping[Direction, int]
    minutes: Mapping[Phase, float]
    focus: Mapping[str, int]
    hardest: Item
    change_s: int

    @classmethod
    def of(cls, plan: ClassPlan) -> "Summary":
        """The summary of a plan that has items."""
        spring = position = rig = apparatus = 0
        for before, after in pairwise(plan.items):
            old, new = before.step.exercise, after.step.exercise
            if old.apparatus != new.apparatus:
                apparatus += 1
                continue
            spring += before.step.springs != after.step.springs
            position += old.position is not new.position
            states = dict(old.rig)
            rig += any(states.get(part, state) != state for part, state in new.rig)
        return cls(
            spring_changes=spring,
            position_changes=position,
            rig_changes=rig,
            apparatus_changes=apparatus,
            directions={
                d: sum(d in item.step.exercise.directions for item in plan.items) for d in Direction
            },
            minutes={
                phase: sum(i.transition_s + i.setup_s + i.duration_s for i in items) / 60
                for phase, items in plan.sections()
            },
            focus={
                aim.name: sum(i.duration_s for i in plan.items if hits(aim, i.step.exercise))
                for aim in plan.brief.focus
            },
            hardest=max(
                plan.items,
                key=lambda i: (i.step.exercise.effort, -abs(3 * i.end_s - 2 * plan.brief.slot_s)),
            ),
            change_s=sum(item.transition_s for item in plan.items),
        )


@dataclass(frozen=True, slots=True)
class Place:
    """Why one exercise stands where it stands.

    Attributes:
        before: the item it follows, None for the first.
        prepared_by: the earlier item that prepares it, if it asks for preparation.
        series_with: names of its series in the class, itself included, in order.
        serves: the focuses it serves.
        only: directions no other item of the class gives.
        instead: the nearest exercise that could stand here, and how it differs.
    """

    item: Item
    before: Item | None
    prepared_by: Item | None
    series_with: tuple[str, ...]
    serves: tuple[Aim, ...]
    only: tuple[Direction, ...]
    instead: Exercise | None
    loses: tuple[str, ...]


def place_of(plan: ClassPlan, n: int, repertoire: Repertoire) -> Place:
    """What can be said of the n-th item, counted from 1."""
    item = plan.items[n - 1]
    e = item.step.exercise
    earlier = plan.items[: n - 1]
    others = [i.step.exercise for i in plan.items if i.n != n]
    instead = _instead(plan, item, repertoire)
    return Place(
        item=item,
        before=earlier[-1] if earlier else None,
        prepared_by=next(
            (i for i in earlier if {i.step.exercise.id, i.step.exercise.family} & set(e.needs)),
            None,
        ),
        series_with=tuple(
            i.step.exercise.short
            for i in plan.items
            if e.series and i.step.exercise.series and i.step.exercise.series.name == e.series.name
        ),
        serves=tuple(aim for aim in plan.brief.focus if hits(aim, e)),
        only=tuple(
            d for d in Direction if d in e.directions and not any(d in o.directions for o in others)
        ),
        instead=instead,
        loses=tuple(_losses(plan, e, instead)) if instead else (),
    )


def _instead(plan: ClassPlan, item: Item, repertoire: Repertoire) -> Exercise | None:
    """The exercise most like this one that the class could have here."""
    e = item.step.exercise
    families = {i.step.exercise.family for i in plan.items}
    used = {i.step.exercise.id for i in plan.items}
    fit = [
        o
        for o in repertoire.by_apparatus.get(e.apparatus, ())
        if o.id not in used
        and (o.family == e.family or o.family not in families)
        and item.step.phase in o.phases
        and o.level <= plan.brief.top_level
        and not barred(o, plan.brief)
        and not o.series
    ]
    return max(fit, key=lambda o: (likeness(e, o), o.id), default=None)


def _losses(plan: ClassPlan, e: Exercise, o: Exercise) -> list[str]:
    """What the class would give up: names of directions, themes and focuses."""
    found = [d.value for d in Direction if d in e.directions - o.directions]
    found += [t.value for t in e.themes if t not in o.themes]
    found += [aim.name for aim in plan.brief.focus if hits(aim, e) > hits(aim, o)]
    return list(dict.fromkeys(found))
