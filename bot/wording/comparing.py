"""The shelf of kept classes, and two classes side by side."""

from collections.abc import Sequence

from bot.wording.changes import NONE_KEPT
from bot.wording.phrases import clock, listed, wrapped
from core.exercise import Direction
from core.plan import ClassPlan
from core.saved import KeptClass
from core.summary import Summary

NARROW = 11


def shelf(kept: Sequence[KeptClass]) -> str:
    """Every kept class on a line."""
    if not kept:
        return wrapped(NONE_KEPT)
    return "\n".join(wrapped(f"· {each.name}, version {each.version}", "  ") for each in kept)


def plans(here: ClassPlan, other: ClassPlan, name: str) -> tuple[str, ...]:
    """The figures side by side, then what only one of them has."""
    a, b = Summary.of(here), Summary.of(other)
    rows = [
        ("", "this", name[:NARROW]),
        ("ends", clock(here.total_s), clock(other.total_s)),
        ("exercises", str(len(here.items)), str(len(other.items))),
        ("springs", str(a.spring_changes), str(b.spring_changes)),
        ("positions", str(a.position_changes), str(b.position_changes)),
        *((d.value.split()[0], str(a.directions[d]), str(b.directions[d])) for d in Direction),
        ("hardest", clock(a.hardest.start_s), clock(b.hardest.start_s)),
    ]
    table = "\n".join(f"{what:<10}{one:>12}{two:>12}" for what, one, two in rows)
    mine = {i.step.exercise.id: i.step.exercise.short for i in here.items}
    theirs = {i.step.exercise.id: i.step.exercise.short for i in other.items}
    only_here = [short for e, short in mine.items() if e not in theirs]
    only_there = [short for e, short in theirs.items() if e not in mine]
    texts = [table]
    if only_here:
        texts.append(wrapped(f"Only here: {listed(only_here)}.", "  "))
    if only_there:
        texts.append(wrapped(f"Only in {name}: {listed(only_there)}.", "  "))
    if not only_here and not only_there:
        texts.append("The same exercises in both.")
    return tuple(texts)


WEEK = "Week {week}"


def weeks(series: Sequence[ClassPlan], said: Sequence[str]) -> tuple[str, ...]:
    """Each week on a few lines: what stays, what is new, the hardest."""
    texts = [wrapped(text) for text in said]
    before: set[str] = set()
    for week, plan in enumerate(series, 1):
        ids = {i.step.exercise.id for i in plan.items}
        hardest = Summary.of(plan).hardest.step.exercise.short
        head = f"Week {week}: {len(plan.items)} exercises, hardest {hardest}."
        stays = len(ids & before)
        if before:
            share = round(100 * stays / len(before))
            head += f" {stays} stay from last week ({share} %)."
        texts.append(wrapped(head, "  "))
        before = {str(e) for e in ids}
    return tuple(texts)
