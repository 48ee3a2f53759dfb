"""The seconds of every window, packed into one integer.

Each window has a field of it; what a second of a stage adds to all windows that have the stage in
them is one number, so a change of a stage is one product, and all bounds are tested at once.
"""

from collections.abc import Sequence

from core.planner.problem import Window

FIELD = 40  # bits of a window: seconds, and above them one bit that shows an overrun
FULL = 1 << (FIELD - 1)


class Clock:
    """Bounds of windows on packed seconds.

    Attributes:
        second: stage -> what a second of it adds.
        low, high, flags: all windows hold if `(seconds + low) & (high - seconds) & flags == flags`.
    """

    def __init__(self, windows: Sequence[Window], stages: int) -> None:
        self.windows = [(FIELD * k, w.low, w.high) for k, w in enumerate(windows)]
        self.second = [
            sum(1 << FIELD * k for k, w in enumerate(windows) if w.first <= stage <= w.last)
            for stage in range(stages)
        ]
        self.low = sum((FULL - low) << at for at, low, _ in self.windows)
        self.high = sum((FULL + high) << at for at, _, high in self.windows)
        self.flags = sum(FULL << at for at, _, _ in self.windows)

    def totals(self, seconds: int) -> list[int]:
        """Seconds of each window."""
        return [seconds >> at & FULL - 1 for at, _, _ in self.windows]
