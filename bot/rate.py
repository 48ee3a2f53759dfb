"""How many messages a minute one door may send; a window that slides, in memory only."""

from collections import deque
from threading import Lock

WINDOW_MS = 60_000.0
DOORS = 1000  # remembered before those that have fallen silent are forgotten


class Rate:
    """Counts messages by door; safe to use from several threads."""

    def __init__(self, most: int | None) -> None:
        self._most = most
        self._lock = Lock()
        self._seen: dict[str, deque[float]] = {}

    def allows(self, door: str, now_ms: float) -> bool:
        """Whether one more message from this door is answered now; if so it counts.

        Args:
            now_ms: milliseconds of a clock that only ever goes forward.
        """
        if self._most is None:
            return True
        with self._lock:
            if len(self._seen) > DOORS:
                self._seen = {d: s for d, s in self._seen.items() if s[-1] > now_ms - WINDOW_MS}
            seen = self._seen.setdefault(door, deque())
            while seen and seen[0] <= now_ms - WINDOW_MS:
                seen.popleft()
            if len(seen) >= self._most:
                return False
            seen.append(now_ms)
            return True
