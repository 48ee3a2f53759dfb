"""How often something may be done in a span of time, exactly: no burst ever exceeds it."""

from collections.abc import Sequence

SPAN_S = 1.0
AT_ONCE_S = 0.05  # how long an allowance of several lasts (house choice)
ONE_BY_ONE = 30  # up to so many a second each is asked for by itself

Spent = Sequence[tuple[float, int]]  # when how many were allowed, in order


def opens(recent: Sequence[float], most: int, span_s: float, now: float) -> float:
    """When one more may be done so that no span has more than `most`; `now` if at once."""
    lately = [at for at in recent if at > now - span_s]
    return now if len(lately) < most else lately[-most] + span_s


def share(spent: Spent, most: int, now: float) -> tuple[int, float]:
    """How many of `most` a second are allowed now and for how long; none, and when to ask again.

    An allowance of several is used somewhere within AT_ONCE_S, so it counts for longer.
    """
    wanted = max(1, most // ONE_BY_ONE)
    lasts = AT_ONCE_S if wanted > 1 else 0.0
    lately = [(at, count) for at, count in spent if at > now - SPAN_S - lasts]
    left = most - sum(count for _, count in lately)
    if left > 0:
        return min(wanted, left), now + lasts
    return 0, lately[0][0] + SPAN_S + lasts


def kept(spent: Spent, now: float) -> list[tuple[float, int]]:
    """What still counts."""
    return [(at, count) for at, count in spent if at > now - SPAN_S - AT_ONCE_S]
