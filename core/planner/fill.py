"""Fill time exactly: steps for each node so that every window holds, with least change."""

from bisect import bisect_left, bisect_right
from collections.abc import Sequence

from core.planner.problem import Node, Window

STEP_COST = 4  # points for one step away from the usual number
UNMET = 2  # points for a second that no step can reach
UNMET_AT_ALL = 15


def fill(
    nodes: Sequence[Node], durations: list[int], windows: Sequence[Window]
) -> tuple[int, int, list[int]]:
    """Points of change, points of unmet time, and the step index of each node.

    Args:
        nodes: the sequence.
        durations: seconds of each stage at usual steps; changed in place.
        windows: single stages first, then wider groups.
    """
    filler = Filler(nodes, windows)
    totals = [sum(durations[w.first : w.last + 1]) for w in windows]
    changed, unmet, moved = filler.fill(range(len(nodes)), totals)
    index = [moved.get(k, node.usual) for k, node in enumerate(nodes)]
    for node, at in zip(nodes, index, strict=True):
        durations[node.stage] += node.times[at] - node.times[node.usual]
    return changed, unmet, index


class Filler:
    """Fills sequences of the same nodes, again and again.

    Windows are nested, so they are met from the narrowest to the widest: nodes with the longest
    steps move first, each only as far as the narrower windows around it allow.
    """

    def __init__(self, nodes: Sequence[Node], windows: Sequence[Window]) -> None:
        self._stage = [node.stage for node in nodes]
        self._times = [node.times for node in nodes]
        self.usual = [node.usual for node in nodes]
        self._rank = [-node.step for node in nodes]
        self.bounds = [(w.first, w.last + 1, w.low, w.high) for w in windows]
        stages = max((w.last for w in windows), default=0) + 1
        self._around = [
            [n for n, w in enumerate(windows) if w.first <= stage <= w.last]
            for stage in range(stages)
        ]
        # for each window and stage: the narrower windows that have the stage in them too
        self._inside = [
            [
                [n for n in range(number) if windows[n].first <= stage <= windows[n].last]
                for stage in range(stages)
            ]
            for number in range(len(windows))
        ]

    def fill(  # noqa: PLR0915 - one loop, the hottest of all
        self, seq: Sequence[int], totals: list[int]
    ) -> tuple[int, int, dict[int, int]]:
        """Points of change, of unmet time, and the step index of each node not at its usual one.

        Args:
            totals: seconds of each window at usual steps; become those of the steps.
        """
        usual, times, stages, bounds = self.usual, self._times, self._stage, self.bounds
        moved: dict[int, int] = {}
        order: list[int] = []
        changed = 0
        met = True
        for number, (first, beyond, low, high) in enumerate(bounds):
            total = totals[number]
            if low <= total <= high:
                continue
            if not order:
                order = sorted(seq, key=self._rank.__getitem__)
            grow = total < low
            missing = low - total if grow else total - high
            slack = high - low
            give = self._give(number, totals, grow=grow)
            inside = self._inside[number]
            for k in order:
                stage = stages[k]
                if not first <= stage < beyond:
                    continue
                most = missing + slack
                for n in inside[stage]:
                    if give[n] < most:  # noqa: PLR1730 - a call costs three times as much here
                        most = give[n]
                if most <= 0:
                    continue
                reach = times[k]
                now = moved.get(k, usual[k])
                here = reach[now]
                if grow:
                    to = bisect_left(reach, here + missing)
                    if to == len(reach) or reach[to] - here > most:
                        to = bisect_right(reach, here + most) - 1
                    if to <= now:
                        continue
                    missing -= reach[to] - here
                else:
                    to = bisect_right(reach, here - missing) - 1
                    if to < 0 or here - reach[to] > most:
                        to = bisect_left(reach, here - most)
                    if to >= now:
                        continue
                    missing -= here - reach[to]
                changed += abs(to - usual[k]) - abs(now - usual[k])
                moved[k] = to
                here = reach[to] - here
                for n in self._around[stage]:
                    totals[n] += here
                if missing <= 0:
                    break
                for n in inside[stage]:
                    give[n] -= abs(here)
            else:
                met = False
        unmet = 0
        if not met:
            for total, (_, _, low, high) in zip(totals, bounds, strict=True):
                if not low <= total <= high:
                    unmet += UNMET_AT_ALL + UNMET * (low - total if total < low else total - high)
        return changed * STEP_COST, unmet, moved

    def _give(self, number: int, totals: Sequence[int], *, grow: bool) -> list[int]:
        """Seconds by which each window before this one may grow, or shrink."""
        bounds = self.bounds
        if grow:
            return [bounds[n][3] - totals[n] for n in range(number)]
        return [totals[n] - bounds[n][2] for n in range(number)]
