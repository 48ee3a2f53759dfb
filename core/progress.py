"""Ladders: what a person has done, when she may be ready for the next step, when to step back.

The rule: two classes in a row in which she did the movement on the same springs, at the top of its
repetitions and with an effort of at most 5, and the next step is proposed (the idea of "two for
two", Baechle & Earle, Essentials of Strength Training and Conditioning (from memory)). "In a row"
counts the classes she attended and did the movement in; one that she missed, or that had no such
movement, breaks nothing. After four weeks away one step back is proposed (house choice). What is
proposed is never done by itself, and whoever proposes it holds it against the person's cautions.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum

from core.apparatus import SpringSetting
from core.errors import SpringError
from core.exercise import Exercise, ExerciseId, Load
from core.repertoire import Repertoire
from core.taught import Attendance, Done

GOOD_CLASSES = 2
EASY_EFFORT = 5  # 0-10; "hard" in the wording of Foster et al. 2001
AWAY = timedelta(weeks=4)  # house choice


class Way(StrEnum):
    """Which way a step goes."""

    ON = "on"
    BACK = "back"


@dataclass(frozen=True, slots=True)
class NextStep:
    """A step that is proposed: other springs for the same movement, or another rung.

    Attributes:
        on: the exercise and springs done now.
        to, springs: what is proposed instead; springs is None where the new rung has none.
    """

    way: Way
    on: Exercise
    now: str
    to: Exercise
    springs: SpringSetting | None


@dataclass(frozen=True, slots=True)
class Rung:
    """Where somebody stands with a movement.

    Attributes:
        times: how often she has done it on these springs, up to the last time.
        good: how many of the last times in a row were good.
    """

    exercise: Exercise
    springs: str
    times: int
    good: int


def rungs(attended: Sequence[Attendance], repertoire: Repertoire) -> tuple[Rung, ...]:
    """Where a person stands, the latest first; movements the library has lost are left out.

    Args:
        attended: her classes, the newest first.
    """
    found: dict[ExerciseId, Rung] = {}
    stopped: set[ExerciseId] = set()
    counting: set[ExerciseId] = set()
    for each in attended:
        if not each.there:
            continue
        for done in each.did:
            e = repertoire.exercises.get(done.exercise)
            if e is None or e.id in stopped:
                continue
            rung = found.get(e.id)
            good = _good(done, each, e)
            if rung is None:
                found[e.id] = Rung(e, done.springs, 1, int(good))
                if good:
                    counting.add(e.id)
            elif rung.springs != done.springs:
                stopped.add(e.id)
            else:
                if not good:
                    counting.discard(e.id)
                more = rung.good + (e.id in counting)
                found[e.id] = Rung(e, done.springs, rung.times + 1, more)
    return tuple(found.values())


def next_steps(
    attended: Sequence[Attendance], repertoire: Repertoire, now: datetime
) -> tuple[NextStep, ...]:
    """What may come next for a person, the hardest of her movements first.

    Args:
        attended: her classes, the newest first.
        now: the instant to count an absence from.
    """
    there = [each for each in attended if each.there]
    standing = rungs(there, repertoire)
    if away(there, now):
        last = {done.exercise for done in there[0].did}
        steps = [_step(Way.BACK, r, repertoire) for r in standing if r.exercise.id in last]
    else:
        steps = [_step(Way.ON, r, repertoire) for r in standing if r.good >= GOOD_CLASSES]
    found = sorted((step for step in steps if step), key=lambda s: (-s.on.effort, s.on.id))
    return tuple(found)


def away(attended: Sequence[Attendance], now: datetime) -> bool:
    """Whether her last class is so long ago that a step back is proposed."""
    last = next((each.at for each in attended if each.there), None)
    return last is not None and now - last >= AWAY


def _good(done: Done, attendance: Attendance, e: Exercise) -> bool:
    effort = attendance.effort
    return done.reps >= e.reps.high and effort is not None and effort <= EASY_EFFORT


def _step(way: Way, rung: Rung, repertoire: Repertoire) -> NextStep | None:
    """Springs first, then the next rung: the smaller step comes first (house choice)."""
    e = rung.exercise
    springs = _beside(way, rung, repertoire)
    if springs is not None:
        return NextStep(way, e, rung.springs, e, springs)
    other = e.harder if way is Way.ON else e.easier
    to = repertoire.exercises.get(other) if other else None
    if to is None:
        return None
    return NextStep(way, e, rung.springs, to, to.springs.usual if to.springs else None)


def _beside(way: Way, rung: Rung, repertoire: Repertoire) -> SpringSetting | None:
    """The next of the settings easier, usual, harder; None at the end of them, or off them."""
    e = rung.exercise
    if e.springs is None or e.load is Load.STABILISE:
        return None
    settings = list(dict.fromkeys((e.springs.easier, e.springs.usual, e.springs.harder)))
    try:
        now = repertoire.apparatus[e.apparatus].parse(rung.springs)
    except SpringError:
        return None
    if now not in settings:
        return None
    at = settings.index(now) + (1 if way is Way.ON else -1)
    return settings[at] if 0 <= at < len(settings) else None
