"""An exercise as an instructor knows it: what it is, asks, costs in time, and how it is varied."""

from dataclasses import dataclass
from enum import IntEnum, StrEnum
from typing import NewType

from core.apparatus import ApparatusId, SpringSetting
from core.errors import LibraryError

ExerciseId = NewType("ExerciseId", str)


class Level(IntEnum):
    """How much a class or an exercise expects of its people."""

    FUNDAMENTAL = 1
    INTERMEDIATE = 2
    ADVANCED = 3


class Phase(StrEnum):
    """The parts of a class, in the order in which they are taught."""

    WARM_UP = "warm-up"
    FOUNDATION = "foundation"
    PEAK = "peak"
    COOL_DOWN = "cool-down"


class Position(StrEnum):
    """Body positions, named from the floor upwards."""

    SUPINE = "supine"
    PRONE = "prone"
    SIDE_LYING = "side-lying"
    SEATED_FLOOR = "seated on the floor"
    QUADRUPED = "quadruped"
    PLANK = "plank"
    KNEELING = "kneeling"
    SEATED_APPARATUS = "seated on the apparatus"
    STANDING = "standing"
    STANDING_APPARATUS = "standing on the apparatus"
    INVERTED = "inverted"


class Direction(StrEnum):
    """The four directions of the spine."""

    FLEXION = "flexion"
    EXTENSION = "extension"
    LATERAL = "lateral flexion"
    ROTATION = "rotation"


class Theme(StrEnum):
    """What an exercise works on, beside the directions of the spine."""

    ABDOMINALS = "abdominals"
    HIP_EXTENSION = "hip extension"
    HIP_ABDUCTION = "hip abduction"
    HIP_ADDUCTION = "hip adduction"
    HIP_FLEXION = "hip flexion"
    KNEE_EXTENSION = "knee extension"
    KNEE_FLEXION = "knee flexion"
    ANKLE_FOOT = "ankle and foot"
    PUSH = "push"
    PULL = "pull"
    SHOULDER_STABILITY = "shoulder stability"
    BALANCE = "balance"
    BREATH = "pelvic floor and breath"
    SPINE_MOBILITY = "spine mobility"
    HIP_MOBILITY = "hip mobility"
    STRETCH = "stretch"
    FULL_BODY = "full-body integration"


class Muscle(StrEnum):
    """Muscle groups; all but the last four are tags of the data set named in tests/figures."""

    ABDOMINALS = "abdominals"
    ABDUCTORS = "abductors"
    ADDUCTORS = "adductors"
    BICEPS = "biceps"
    CALVES = "calves"
    CHEST = "chest"
    FOREARMS = "forearms"
    GLUTES = "glutes"
    HAMSTRINGS = "hamstrings"
    LATS = "lats"
    LOWER_BACK = "lower back"
    MIDDLE_BACK = "middle back"
    NECK = "neck"
    QUADRICEPS = "quadriceps"
    SHOULDERS = "shoulders"
    TRAPS = "traps"
    TRICEPS = "triceps"
    OBLIQUES = "obliques"
    HIP_FLEXORS = "hip flexors"
    PELVIC_FLOOR = "pelvic floor"
    FEET = "feet"


class Load(StrEnum):
    """What the spring does for the body; it decides what "easier" means."""

    RESIST = "resist"
    ASSIST = "assist"
    STABILISE = "stabilise"
    BODY_WEIGHT = "body weight"


class Demand(StrEnum):
    """What a movement asks of a body that some bodies must avoid."""

    LOADED_FLEXION = "loaded spinal flexion"
    END_FLEXION = "end-range spinal flexion"
    ROTATION = "loaded or end-range rotation"
    FLEXION_ROTATION = "combined flexion and rotation"
    END_EXTENSION = "end-range extension"
    LATERAL_END = "end-range side bend"
    PRONE = "prone lying"
    SUPINE_FLAT = "supine lying flat"
    SIDE_LYING = "side lying on the shoulder"
    HEAD_BELOW_HEART = "head below heart"
    WRISTS = "weight on wrists"
    SHOULDERS = "weight on shoulders"
    OVERHEAD = "overhead loading"
    ELBOW_LOAD = "loaded elbow bend"
    DEEP_KNEE = "deep knee flexion under load"
    KNEELING = "kneeling pressure"
    END_HIP_FLEXION = "end-range hip flexion"
    END_HIP_EXTENSION = "end-range hip extension"
    HIP_ADDUCTION = "hip adduction past midline"
    HIP_ROTATION = "hip internal rotation"
    WIDE_HIP = "wide hip abduction"
    HAMSTRING_STRETCH = "hamstring stretch"
    ANKLE_LOAD = "loaded ankle"
    SINGLE_LEG = "single-leg standing"
    JUMPING = "jumping"
    BREATH_HOLD = "long breath hold or strain"
    LONG_HOLD = "long still hold"
    NECK_LOAD = "neck loading"
    GRIP = "grip"
    FLOOR_TRANSFER = "getting down to and up from the floor"
    ABDOMINAL_PRESSURE = "strong abdominal pressure"
    UNSTABLE = "unstable moving surface"
    FALL_HEIGHT = "fall height"
    FAST_CHANGE = "fast change of position or rolling"


@dataclass(frozen=True, slots=True)
class Reps:
    """A range of repetitions a side, and the number usually taken."""

    low: int
    high: int
    usual: int

    def __post_init__(self) -> None:
        if not 1 <= self.low <= self.usual <= self.high <= 60:
            raise LibraryError(
                f"repetitions {self.low}-{self.high}, usual {self.usual}: want "
                "1 <= low <= usual <= high <= 60"
            )


@dataclass(frozen=True, slots=True)
class Tempo:
    """How long a repetition takes: by breath cycles, or by seconds for work not led by breath."""

    breaths: float | None = None
    seconds: float | None = None

    def __post_init__(self) -> None:
        if (self.breaths is None) == (self.seconds is None):
            raise LibraryError("a tempo gives either breaths or seconds a repetition")
        if not 0.1 <= (self.breaths or self.seconds or 0) <= 60:
            raise LibraryError("a repetition takes between 0.1 breaths and 60 seconds")


@dataclass(frozen=True, slots=True)
class Springs:
    """The four settings of an exercise, in the terms of the shipped apparatus."""

    usual: SpringSetting
    easier: SpringSetting
    harder: SpringSetting
    limit: SpringSetting


@dataclass(frozen=True, slots=True)
class Modification:
    """A change that takes demands away, and what it may add instead."""

    do: str
    removes: frozenset[Demand]
    adds: frozenset[Demand] = frozenset()


@dataclass(frozen=True, slots=True)
class SeriesPlace:
    """Where an exercise stands in a series that is taught in a fixed order without a break."""

    name: str
    place: int


@dataclass(frozen=True, slots=True)
class Exercise:
    """One exercise or variation of the library, complete.

    Attributes:
        short: the name as it fits a phone line, at most 16 characters.
        effort: 1 (breathing) to 10 (the hardest thing in the book), for a person of its level.
        sides: 1, or 2 where right and left are done one after the other.
        setup_s: seconds to get into place and hear the first cue, changes of rig excluded.
        rig: the state the apparatus must be in, part -> state; a part not named may stay as it is.
        needs: ids or families, one of which comes earlier in the class; empty when none is needed.
        easier, harder: neighbours on the ladder, or None; then `no_easier` or `no_harder` says why.
    """

    id: ExerciseId
    name: str
    short: str
    aliases: tuple[str, ...]
    apparatus: ApparatusId
    level: Level
    phases: frozenset[Phase]
    effort: int
    position: Position
    directions: frozenset[Direction]
    themes: tuple[Theme, ...]
    primary: Muscle
    also: tuple[Muscle, ...]
    load: Load
    springs: Springs | None
    reps: Reps
    tempo: Tempo
    sides: int
    setup_s: int
    rig: tuple[tuple[str, str], ...]
    props: tuple[str, ...]
    safety: tuple[str, ...]
    demands: frozenset[Demand]
    modifications: tuple[Modification, ...]
    easier: ExerciseId | None
    harder: ExerciseId | None
    no_easier: str
    no_harder: str
    family: str
    series: SeriesPlace | None
    needs: tuple[str, ...]
    cues: tuple[str, ...]
    fault: str
    breath: str

    def __post_init__(self) -> None:
        checks = (
            (1 <= self.effort <= 10, f"effort {self.effort} is outside 1-10"),
            (self.sides in (1, 2), f"sides {self.sides} must be 1 or 2"),
            (0 <= self.setup_s <= 120, f"set-up {self.setup_s} s is outside 0-120"),
            (0 < len(self.short) <= 16, f"short name {self.short!r} is not 1-16 characters"),
            (bool(self.phases), "no phase given"),
            (
                (self.springs is None) == (self.load is Load.BODY_WEIGHT),
                "springs and load direction disagree: body weight has no springs, all else has",
            ),
        )
        for good, fault in checks:
            if not good:
                raise LibraryError(f"{self.id}: {fault}")
