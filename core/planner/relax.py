"""When a class can't be had as asked: which wishes, given up, would make it possible.

Each single wish is given up in turn, and pairs if no single one helps; each way out was really
planned and passed the rules, so what is offered can be had.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import combinations
from typing import Any

from core.brief import LONGEST, SHORTEST, ClassBrief
from core.plan import ClassPlan
from core.planner.compose import compose
from core.planner.request import Request
from core.planner.search import Budget

QUICK = Budget(1, 9_000, 6_000)
MOST_WAYS = 4
MOST_PAIRS = 10
OTHER_MINUTES = (5, -5, 10)


@dataclass(frozen=True, slots=True)
class WayOut:
    """A brief that can be planned, and what it gives up, in a word or two."""

    brief: ClassBrief
    given_up: str


def ways_out(request: Request) -> tuple[WayOut, ...]:
    """At most a few ways, single wishes before pairs, the smallest change first."""
    singles = list(_singles(request.brief, request))
    found = [way for way in singles if _possible(way.brief, request)][:MOST_WAYS]
    if found:
        return tuple(found)
    pairs: list[WayOut] = []
    for a, b in list(combinations(singles, 2))[:MOST_PAIRS]:
        both = _both(request.brief, a, b)
        if both and _possible(both.brief, request):
            pairs.append(both)
            if len(pairs) == MOST_WAYS:
                break
    return tuple(pairs)


def _possible(brief: ClassBrief, request: Request) -> bool:
    return isinstance(compose(replace(request, brief=brief, budget=QUICK)), ClassPlan)


def _singles(brief: ClassBrief, request: Request) -> Iterator[WayOut]:
    for m in brief.must:
        rest = tuple(x for x in brief.must if x != m)
        yield WayOut(replace(brief, must=rest), request.repertoire[m].name)
    for bar in brief.without:
        rest_of = tuple(x for x in brief.without if x != bar)
        yield WayOut(replace(brief, without=rest_of), f"no {bar.name}")
    for aim in brief.focus:
        left = tuple(x for x in brief.focus if x != aim)
        yield WayOut(replace(brief, focus=left), f"focus {aim.name}")
    if brief.level is not None:
        yield WayOut(replace(brief, level=None), f"level {int(brief.level)}")
    if len(brief.apparatus) > 1:
        for a in brief.apparatus:
            others = tuple(x for x in brief.apparatus if x != a)
            yield WayOut(replace(brief, apparatus=others), request.repertoire.apparatus[a].name)
    for more in OTHER_MINUTES:
        minutes = brief.minutes + more
        if SHORTEST <= minutes <= LONGEST:
            yield WayOut(replace(brief, minutes=minutes), f"{brief.minutes} min (take {minutes})")


def _both(brief: ClassBrief, a: WayOut, b: WayOut) -> WayOut | None:
    """Both given up, unless they change the same thing in different ways."""
    changed: dict[str, Any] = {}
    for name in ("must", "without", "focus", "level", "apparatus", "minutes"):
        was, one, two = (getattr(each, name) for each in (brief, a.brief, b.brief))
        if was not in (one, two):
            if not isinstance(was, tuple):
                return None
            changed[name] = tuple(x for x in was if x in one and x in two)
            if name == "apparatus" and not changed[name]:
                return None
        elif one != was or two != was:
            changed[name] = one if one != was else two
    return WayOut(replace(brief, **changed), f"{a.given_up} and {b.given_up}")
