"""Seconds of a repetition, an exercise, a transition, a class; the one clock of all planning.

Where a number has no published source it is common practice or a house choice, and says so.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import ceil

from core.apparatus import Apparatus, ApparatusId, SpringSetting
from core.brief import USUAL_PEOPLE, ClassBrief
from core.exercise import Exercise, Level, Position
from core.plan import Item, Step

BREATH_S = 6.0  # one breath cycle at ten a minute, the upper end of slow breathing (Russo 2017)
SIDE_S = 5  # to change sides (house choice)
REST_S = 15  # between two sets (house choice)
CUE_S = 3  # the least between two exercises: the next one is named (house choice)
# A class of beginners takes a fifth longer than one of regulars (common practice, no source).
LEVEL_PACE: Mapping[Level | None, float] = {
    Level.FUNDAMENTAL: 1.1,
    None: 1.0,
    Level.INTERMEDIATE: 1.0,
    Level.ADVANCED: 0.92,
}
PERSON_SLOWS = 0.03  # each further person lengthens every change by this share (house choice)
# How high above the floor a position is, in steps; each one costs RISE_S (house choice).
HEIGHT: Mapping[Position, int] = {
    Position.SUPINE: 0,
    Position.PRONE: 0,
    Position.SIDE_LYING: 0,
    Position.INVERTED: 0,
    Position.SEATED_FLOOR: 1,
    Position.QUADRUPED: 1,
    Position.PLANK: 1,
    Position.KNEELING: 2,
    Position.SEATED_APPARATUS: 3,
    Position.STANDING: 4,
    Position.STANDING_APPARATUS: 4,
}
TURN_S = 4
RISE_S = 2


@dataclass(frozen=True, slots=True)
class Pace:
    """An instructor's own pace; 1.0 is the default clock.

    Attributes:
        kinds: kind of exercise -> factor of its work on top of `work`; see `kinds_of`.
        work_person, change_person: factors for each person beyond a usual group.
    """

    work: float = 1.0
    change: float = 1.0
    kinds: tuple[tuple[str, float], ...] = ()
    work_person: float = 1.0
    change_person: float = 1.0


@dataclass(frozen=True, slots=True)
class Clock:
    """The factors of one class: its level, its people and its instructor's pace.

    Attributes:
        own: what of `work` is the instructor's pace; sides and rests follow that alone.
    """

    work: float
    change: float
    own: float = 1.0
    kinds: tuple[tuple[str, float], ...] = ()

    @classmethod
    def of(cls, brief: ClassBrief, pace: Pace) -> "Clock":
        """The clock for this class."""
        level = LEVEL_PACE[brief.level]
        room = 1 + PERSON_SLOWS * (brief.people - 1)
        more = brief.people - USUAL_PEOPLE
        own = pace.work * pace.work_person**more
        change = pace.change * pace.change_person**more
        return cls(level * own, level * room * change, own, pace.kinds)

    def of_kind(self, exercise: Exercise) -> float:
        """The factor of an exercise's work for its kind."""
        factor = 1.0
        if self.kinds:
            mine = kinds_of(exercise)
            for kind, each in self.kinds:
                if kind in mine:
                    factor *= each
        return factor


# Kinds of exercise that may each take an instructor longer or shorter (house choice).
STANCE: Mapping[Position, str] = {
    Position.SUPINE: "lying",
    Position.PRONE: "lying",
    Position.SIDE_LYING: "lying",
    Position.SEATED_FLOOR: "seated and kneeling",
    Position.SEATED_APPARATUS: "seated and kneeling",
    Position.KNEELING: "seated and kneeling",
    Position.QUADRUPED: "on the hands",
    Position.PLANK: "on the hands",
    Position.INVERTED: "on the hands",
    Position.STANDING: "standing",
    Position.STANDING_APPARATUS: "standing",
}


def kinds_of(exercise: Exercise) -> tuple[str, str]:
    """The kinds an exercise belongs to: its apparatus, and how the body is held."""
    return f"on {exercise.apparatus}", STANCE[exercise.position]


def rep_s(exercise: Exercise, clock: Clock) -> float:
    """Seconds of one repetition on one side."""
    tempo = exercise.tempo
    seconds = tempo.seconds if tempo.seconds is not None else (tempo.breaths or 0) * BREATH_S
    return seconds * clock.work * clock.of_kind(exercise)


def duration_s(exercise: Exercise, reps: int, sets: int, clock: Clock) -> int:
    """Seconds of work: every side, set and repetition, changes of side and rests included."""
    return durations_s(exercise, (reps,), sets, clock)[0]


def durations_s(
    exercise: Exercise, reps: Iterable[int], sets: int, clock: Clock
) -> tuple[int, ...]:
    """Seconds of work at each number of repetitions."""
    sides, each = exercise.sides, rep_s(exercise, clock)
    rests = (sides - 1) * sets * SIDE_S + (sets - 1) * REST_S
    rest = rests * clock.own * clock.of_kind(exercise)
    return tuple(ceil(sides * sets * count * each + rest) for count in reps)


def setup_s(exercise: Exercise, clock: Clock) -> int:
    """Seconds to get into place and hear the first cue."""
    return ceil(exercise.setup_s * clock.work * clock.of_kind(exercise))


def position_s(before: Position, after: Position) -> int:
    """Seconds to change position; nothing when it stays."""
    if before is after:
        return 0
    return TURN_S + RISE_S * abs(HEIGHT[before] - HEIGHT[after])


def springs_s(apparatus: Apparatus, before: SpringSetting, after: SpringSetting) -> int:
    """Seconds for everybody to change springs."""
    return apparatus.change_s * apparatus.changes(before, after)


Rig = Mapping[str, str]


def rig_changes(rig: Rig, exercise: Exercise) -> int:
    """How many parts of the apparatus must change state; a part never set counts as ready."""
    return sum(1 for part, state in exercise.rig if rig.get(part, state) != state)


def transition_s(
    *, position: int, springs: int, rig: int, swap: int, factor: float, first: bool = False
) -> int:
    """Seconds between two exercises.

    Springs and rig want the same hands and add up; the body moves meanwhile, so the longer of
    the two counts. Changing apparatus replaces both: the next one is set up while people move.
    """
    if first:
        return 0
    longest = swap if swap else max(position, springs + rig)
    return ceil((CUE_S + longest) * factor)


def timeline(
    steps: Iterable[Step],
    brief: ClassBrief,
    apparatus: Mapping[ApparatusId, Apparatus],
    pace: Pace,
) -> tuple[Item, ...]:
    """The steps on the clock: each starts when the one before is done and the change is made.

    The room is set for the first exercise before the class begins, so its transition is 0.
    """
    clock = Clock.of(brief, pace)
    at = opening_s(brief)
    items: list[Item] = []
    last: Step | None = None
    rig: dict[str, str] = {}
    for n, step in enumerate(steps, start=1):
        e = step.exercise
        on = apparatus[e.apparatus]
        moved = last is not None and last.exercise.apparatus != e.apparatus
        if moved:
            rig = {}
        change = transition_s(
            position=position_s(last.exercise.position, e.position) if last else 0,
            springs=springs_s(on, last.springs, step.springs) if last and not moved else 0,
            rig=on.rig_s * rig_changes(rig, e),
            swap=on.swap_s if moved else 0,
            factor=clock.change,
            first=last is None,
        )
        rig |= dict(e.rig)
        ready = setup_s(e, clock)
        work = duration_s(e, step.reps, step.sets, clock)
        items.append(Item(n, step, at + change, change, ready, work))
        at, last = items[-1].end_s, step
    return tuple(items)


def opening_s(brief: ClassBrief) -> int:
    """Arrival and check-in: one to two minutes of talk (common practice, no source)."""
    return min(120, max(60, round(brief.slot_s * 0.03)))


def closing_s(brief: ClassBrief) -> int:
    """The last words: half a minute to a minute (house choice)."""
    return min(60, max(30, round(brief.slot_s * 0.015)))
