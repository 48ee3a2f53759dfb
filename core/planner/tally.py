"""How many nodes of a sequence count for each quota, and what one more or one less is worth."""

from core.planner.terrain import Terrain


class Tally:
    """Counts of quotas. Quotas are bits of a mask; what was worked out is kept until counts change.

    Attributes:
        counts: nodes for each quota.
    """

    def __init__(self, t: Terrain, counts: list[int]) -> None:
        self._t = t
        self.counts = counts
        self._tips = 0  # the quotas of balances
        for balance in t.problem.balances:
            self._tips |= 1 << balance.heavy | 1 << balance.light
        # quotas that pay for one node more, and those that would pay less for one node less
        self._paying = self._paid = 0
        self._mark((1 << len(counts)) - 1)
        self._up: dict[int, int] = {}
        self._down: dict[int, int] = {}
        self._tilt: dict[tuple[int, int], int] = {}

    def change(self, come: int, gone: int) -> int:
        """Points that some quotas one higher and others one lower are worth; none is in both."""
        counts, gain = self.counts, self._t.gain
        key = come & self._paying
        more = self._up.get(key)
        if more is None:
            covers = self._t.covers[key]
            more = self._up[key] = sum([gain[x][counts[x]] for x in covers])
        key = gone & self._paid
        less = self._down.get(key)
        if less is None:
            covers = self._t.covers[key]
            less = self._down[key] = sum([gain[x][counts[x] - 1] for x in covers])
        if (come | gone) & self._tips:
            return more - less - self._lean(come & self._tips, gone & self._tips)
        return more - less

    def take(self, come: int, gone: int) -> None:
        """Make a change."""
        covers, counts = self._t.covers, self.counts
        for x in covers[come]:
            counts[x] += 1
        for x in covers[gone]:
            counts[x] -= 1
        self._mark(come | gone)
        self._up.clear()
        self._down.clear()
        self._tilt.clear()

    def _lean(self, come: int, gone: int) -> int:
        """Points by which balances get worse."""
        found = self._tilt.get((come, gone))
        if found is None:
            after = self.counts.copy()
            for x in self._t.covers[come]:
                after[x] += 1
            for x in self._t.covers[gone]:
                after[x] -= 1
            unbalanced = self._t.unbalanced
            found = self._tilt[come, gone] = unbalanced(after) - unbalanced(self.counts)
        return found

    def _mark(self, changed: int) -> None:
        for x in self._t.covers[changed]:
            bit, count, gain = 1 << x, self.counts[x], self._t.gain[x]
            self._paying = self._paying | bit if gain[count] else self._paying & ~bit
            less = count and gain[count - 1]
            self._paid = self._paid | bit if less else self._paid & ~bit
