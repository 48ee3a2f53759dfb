"""The rules of a solution that only its whole sequence can show."""

from collections.abc import Iterable, Sequence

from core.planner.problem import Node, Problem

BLUNT = 60  # points for each unit the summit falls short of the highest peak
ABSENT = 400  # points of a required item that is missing


def broken(problem: Problem, nodes: Sequence[Node]) -> int:
    """Points of every rule the sequence breaks; 0 when it breaks none."""
    return Rules(problem, nodes).broken(range(len(nodes)))


class Rules:
    """Judges sequences of the same nodes, again and again.

    Attributes:
        gives, needs: as the nodes', without what no node needs.
        may_go: nodes in no series that need not be there.
    """

    def __init__(self, problem: Problem, nodes: Sequence[Node]) -> None:
        needed = 0
        for node in nodes:
            needed |= node.needs
        wanted = {item: 1 << k for k, item in enumerate(sorted(problem.required))}
        self._all = (1 << len(wanted)) - 1
        self._nodes = [
            (
                n.family,
                n.series,
                n.needs,
                n.gives & needed,
                n.run,
                n.track,
                n.peak,
                n.stage <= problem.summit,
                wanted.get(n.item, 0),
            )
            for n in nodes
        ]
        self.gives = [gives for _, _, _, gives, *_ in self._nodes]
        self.needs = [needs for _, _, needs, *_ in self._nodes]
        self.may_go = [series < 0 and not want for _, series, *_, want in self._nodes]
        self._longest_run = problem.longest_run
        self._broken = problem.broken
        self._track_changes = problem.track_changes

    def broken(self, seq: Iterable[int]) -> int:
        """Points of every rule that the nodes of these numbers break, in this order."""
        known, longest_run, broken = self._nodes, self._longest_run, self._broken
        points = given = run = there = 0
        tracks = highest = summit = 0
        families: dict[int, int] = {}
        left: set[int] = set()
        last_series = last_run = last_track = -1
        for k in seq:
            family, series, needs, gives, muscle, track, peak, climbs, want = known[k]
            if family not in families:
                families[family] = series
            elif series < 0 or families[family] != series:
                points += broken
            if series != last_series:
                if last_series >= 0:
                    left.add(last_series)
                last_series = series
            if series in left:
                points += broken
            if needs and not needs & given:
                points += broken
            if gives:
                given |= gives
            if want:
                there |= want
            if muscle == last_run:
                run += 1
                if run >= longest_run:
                    points += broken
            else:
                run, last_run = 0, muscle
            if track != last_track:
                tracks += 1
                last_track = track
            highest = max(highest, peak)
            if climbs:
                summit = peak
        if tracks - 1 > self._track_changes:
            points += broken * (tracks - 1 - self._track_changes)
        absent = (self._all & ~there).bit_count()
        return points + BLUNT * (highest - summit) + ABSENT * absent
