"""The rules of a solution that only its whole sequence can show."""

from collections.abc import Sequence

from core.planner.problem import Node, Problem

BROKEN = 160  # points of one broken rule
BLUNT = 60  # points for each unit the summit falls short of the highest peak
ABSENT = 400  # points of a required item that is missing


def broken(problem: Problem, nodes: Sequence[Node]) -> int:
    """Points of every rule the sequence breaks; 0 when it breaks none."""
    points = 0
    families: dict[int, int] = {}
    left: set[int] = set()
    given = 0
    run = 0
    tracks = 0
    highest = summit = 0
    last: Node | None = None
    for node in nodes:
        series = node.series
        before = families.get(node.family)
        if before is not None and (before != series or series < 0):
            points += BROKEN
        families.setdefault(node.family, series)
        if series >= 0 and series in left:
            points += BROKEN
        if node.needs and not node.needs & given:
            points += BROKEN
        given |= node.gives
        if last is not None:
            if last.series >= 0 and last.series != series:
                left.add(last.series)
            run = run + 1 if last.run == node.run else 0
            if run >= problem.longest_run:
                points += BROKEN
            tracks += last.track != node.track
        highest = max(highest, node.peak)
        if node.stage <= problem.summit:
            summit = node.peak
        last = node
    if tracks > problem.track_changes:
        points += BROKEN * (tracks - problem.track_changes)
    points += BLUNT * (highest - summit)
    if problem.required:
        points += ABSENT * len(problem.required - {node.item for node in nodes})
    return points
