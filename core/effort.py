"""Load of classes from how hard they felt: session by session, and over a week.

Session load is effort (0-10) times minutes; monotony is the mean of the daily loads of a week over
their standard deviation; strain is the week's load times monotony (Foster 1998, Med Sci Sports
Exerc 30(7):1164-1168; Foster et al. 2001, J Strength Cond Res 15(1):109-115). Days without a class
count as 0. The standard deviation divides by n - 1; the papers' abstracts do not say which divisor
was used, and with n each monotony is 1.08 times as large. These are sums about work, not about
health.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from statistics import mean, stdev

from core.taught import LEAST_EFFORT, MOST_EFFORT, TaughtError

DAYS = 7
LEAST_SESSIONS = 3  # days with a class from which monotony says something (house choice)


@dataclass(frozen=True, slots=True)
class Session:
    """A class somebody did or taught."""

    day: date
    minutes: float
    effort: int

    @property
    def load(self) -> float:
        """Effort times minutes, without a unit."""
        return session_load(self.effort, self.minutes)


@dataclass(frozen=True, slots=True)
class Week:
    """A week's load.

    Attributes:
        daily: load of each of its seven days.
        monotony, strain: None where they mean nothing: every day alike, or hardly a class.
    """

    monday: date
    daily: tuple[float, ...]
    sessions: int
    load: float
    monotony: float | None
    strain: float | None


def session_load(effort: int, minutes: float) -> float:
    """The load of one class.

    Raises:
        TaughtError: the effort is not 0 to 10, or the minutes are negative.
    """
    if not LEAST_EFFORT <= effort <= MOST_EFFORT or minutes < 0:
        raise TaughtError(f"effort is {LEAST_EFFORT} to {MOST_EFFORT}, not {effort}")
    return effort * minutes


def monotony(daily: Sequence[float]) -> float | None:
    """Mean over standard deviation of the loads of seven days; None where it means nothing.

    Raises:
        ValueError: it is not a week.
    """
    if len(daily) != DAYS:
        raise ValueError(f"a week has {DAYS} days, not {len(daily)}")
    spread = stdev(daily)
    if spread == 0 or sum(load > 0 for load in daily) < LEAST_SESSIONS:
        return None
    return mean(daily) / spread


def week_of(sessions: Iterable[Session], day: date) -> Week:
    """The week from Monday to Sunday that has this day in it."""
    monday = day - timedelta(days=day.weekday())
    daily = [0.0] * DAYS
    count = 0
    for session in sessions:
        at = (session.day - monday).days
        if 0 <= at < DAYS:
            daily[at] += session.load
            count += 1
    load = sum(daily)
    even = monotony(daily)
    return Week(monday, tuple(daily), count, load, even, None if even is None else load * even)
