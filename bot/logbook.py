"""What was taught and what is learned from it, for every action that needs it."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import datetime
from functools import lru_cache

from bot.desk import Desk
from core.client import ClientId
from core.exercise import ExerciseId
from core.pace import LATEST, Expected, Learned, learned, pieces_of
from core.plan import ClassPlan
from core.taste import Act, Taste
from core.taught import Attendance, TaughtClass, taught_items
from core.timing import Pace

PACE, TASTE = "pace", "taste"
SINCE = "since"  # from when on classes count, after she has begun anew


def known_pace(desk: Desk) -> Learned:
    """What is known of her pace."""
    since = desk.store.learned(PACE).get(SINCE)
    taught = desk.store.taught(LATEST)
    if since:
        taught = [each for each in taught if each.at > datetime.fromisoformat(since)]
    return _learned(tuple(reversed(taught)))


def own_pace(desk: Desk) -> Pace:
    """The pace that her plans are timed by."""
    return known_pace(desk).pace


def expected(plan: ClassPlan, desk: Desk) -> Expected | None:
    """How long a class will take her, once enough is known to say so."""
    known = known_pace(desk)
    items = taught_items(plan, desk.repertoire.apparatus)
    if not items:
        return None
    talk = plan.opening_s + plan.closing_s
    found = known.expected(pieces_of(items), plan.brief.people, talk)
    return found if found.low is not None else None


def attended(client: ClientId, desk: Desk) -> list[Attendance]:
    """Her classes, newest first; where she said no effort, that of the class counts."""
    rpe = {each.plan: each.rpe for each in desk.store.taught()}
    return [
        each if each.effort is not None else replace(each, effort=rpe.get(each.plan))
        for each in desk.store.people.attended(client)
    ]


def own_taste(desk: Desk) -> Taste:
    """What her edits have shown she likes."""
    kept = desk.store.learned(TASTE)
    return Taste.of(
        {ExerciseId(e): {Act(act): n for act, n in acts.items()} for e, acts in kept.items()}
    )


def remember(acts: Iterable[tuple[Act, ExerciseId]], desk: Desk) -> None:
    """Count what she did in a plan."""
    taste = own_taste(desk)
    for act, exercise in acts:
        taste = taste.after(act, exercise)
    desk.store.keep_learned(TASTE, {e: dict(counts) for e, counts in taste.counts})


@lru_cache(maxsize=64)
def _learned(taught: Sequence[TaughtClass]) -> Learned:
    return learned(taught)
