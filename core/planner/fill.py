"""Fill time exactly: steps for each node so that every window holds, with least change."""

from collections.abc import Sequence
from math import ceil

from core.planner.problem import Node, Window

STEP_COST = 4  # points for one step away from the usual number
UNMET = 2  # points for a second that no step can reach
UNMET_AT_ALL = 15


def fill(
    nodes: Sequence[Node], durations: list[int], windows: Sequence[Window]
) -> tuple[int, int, list[int]]:
    """Points of change, points of unmet time, and the step index of each node.

    Windows are nested, so they are met from the narrowest to the widest: nodes with the longest
    steps move first, each only as far as the narrower windows around it allow.

    Args:
        nodes: the sequence.
        durations: seconds of each stage at usual steps; changed in place.
        windows: single stages first, then wider groups.
    """
    index = [node.usual for node in nodes]
    order: list[int] | None = None
    changed = unmet = 0
    for number, window in enumerate(windows):
        total = sum(durations[window.first : window.last + 1])
        if window.low <= total <= window.high:
            continue
        if order is None:
            order = sorted(range(len(nodes)), key=lambda k: -nodes[k].step)
        grow = total < window.low
        missing = window.low - total if grow else total - window.high
        slack = window.high - window.low
        for k in order:
            node = nodes[k]
            if not window.first <= node.stage <= window.last or len(node.times) == 1:
                continue
            room = missing + slack
            for inner in windows[:number]:
                if inner.first <= node.stage <= inner.last:
                    inside = sum(durations[inner.first : inner.last + 1])
                    room = min(room, inner.high - inside if grow else inside - inner.low)
            moved, seconds = _move(node, index[k], missing, room, grow=grow)
            if moved:
                index[k] += moved
                changed += abs(moved)
                durations[node.stage] += seconds
                missing -= abs(seconds)
                slack = slack if missing > 0 else 0
            if missing <= 0:
                break
        if missing > 0:
            unmet += UNMET_AT_ALL + UNMET * missing
    return changed * STEP_COST, unmet, index


def _move(node: Node, at: int, missing: int, room: int, *, grow: bool) -> tuple[int, int]:
    """Steps to take (signed) and the seconds they change (signed)."""
    times = node.times
    reach = len(times) - 1 - at if grow else at
    if reach <= 0 or room <= 0:
        return 0, 0
    count = min(reach, ceil(missing / node.step))
    while count > 0:
        to = at + count if grow else at - count
        seconds = times[to] - times[at]
        if abs(seconds) <= room:
            return (count if grow else -count), seconds
        count -= 1
    return 0, 0
