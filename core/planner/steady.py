"""What a change alone says of the rules, without reading the whole sequence."""

from core.planner.terrain import Terrain


class Steady:
    """What the nodes of a sequence are together, kept up with its changes."""

    def __init__(self, t: Terrain, inner: list[int]) -> None:
        nodes = t.problem.nodes
        self._family = [n.family for n in nodes]
        self._series = [n.series for n in nodes] + [-1, -1]
        self._run = [n.run for n in nodes] + [-1, -1]
        self._track = [n.track for n in nodes] + [-1, -1]
        self._one_track = len({n.track for n in nodes}) <= 1
        self._peak = [n.peak for n in nodes]
        self._climbs = [n.stage <= t.problem.summit for n in nodes] + [True, False]
        self._gives, self._needs, self._may_go = t.rules.gives, t.rules.needs, t.rules.may_go
        self._families: dict[int, int] = {}
        for k in inner:
            self._families[self._family[k]] = self._families.get(self._family[k], 0) + 1
        self._sum_up(inner)

    def breaks(self, old: int, new: int) -> bool:
        """Whether `new`, in place of `old` if that is not -1, is sure to break a rule."""
        needs, family = self._needs[new], self._family[new]
        if needs and not needs & self._given:
            return True
        kin = self._families.get(family, 0)
        return self._series[new] < 0 and kin > (old >= 0 and self._family[old] == family)

    def may_lose(self, old: int, before: int, after: int) -> bool:
        """Whether a flawless sequence is sure to stay so without `old`."""
        track, run, climbs = self._track, self._run, self._climbs
        return (
            self._may_go[old]
            and not self._gives[old] & self._needed
            and self._peak[old] < self._highest
            and run[before] != run[after]
            and (self._one_track or track[before] == track[old] == track[after])
            and (climbs[after] or not climbs[old])
        )

    def may_take(self, new: int, before: int, after: int) -> bool:
        """Whether a flawless sequence is sure to stay so with `new`, its family aside."""
        track, run, climbs, series = self._track, self._run, self._climbs, self._series
        return (
            series[new] < 0
            and not self._needs[new]
            and self._peak[new] <= self._highest
            and run[new] != run[before]
            and run[new] != run[after]
            and (self._one_track or track[before] == track[new] == track[after])
            and (climbs[after] or not climbs[new])
            and (series[before] != series[after] or series[before] < 0)
        )

    def change(self, old: int, new: int, inner: list[int]) -> None:
        """`old` went and `new` came, where they are not -1; `inner` is what there is now."""
        families, family = self._families, self._family
        if old >= 0:
            families[family[old]] -= 1
        if new >= 0:
            families[family[new]] = families.get(family[new], 0) + 1
        self._sum_up(inner)

    def _sum_up(self, inner: list[int]) -> None:
        given = needed = 0
        for k in inner:
            given |= self._gives[k]
            needed |= self._needs[k]
        self._given, self._needed = given, needed
        self._highest = max([self._peak[k] for k in inner], default=0)
