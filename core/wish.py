"""What she may wish of a plan: edits as values, places numbered as she sees them."""

from dataclasses import dataclass

from core.apparatus import SpringSetting
from core.errors import CoreError
from core.exercise import ExerciseId


class EditError(CoreError):
    """An edit that can't be made; the message says why and what can."""


@dataclass(frozen=True, slots=True)
class Drop:
    """Take a place out."""

    n: int


@dataclass(frozen=True, slots=True)
class Swap:
    """Put another exercise in a place; without a name, the one that keeps the aim best."""

    n: int
    exercise: ExerciseId | None = None


@dataclass(frozen=True, slots=True)
class Add:
    """Put an exercise in, after a place if one is given (0 is the very beginning)."""

    exercise: ExerciseId
    after: int | None = None


@dataclass(frozen=True, slots=True)
class Move:
    """Move a place so that it stands where another one is now."""

    n: int
    to: int


@dataclass(frozen=True, slots=True)
class SetReps:
    """Fix the repetitions of a place."""

    n: int
    reps: int


@dataclass(frozen=True, slots=True)
class SetSprings:
    """Fix the springs of a place."""

    n: int
    springs: SpringSetting


@dataclass(frozen=True, slots=True)
class Ease:
    """Make a place easier, or harder: by its springs first, then by the ladder."""

    n: int
    harder: bool = False


@dataclass(frozen=True, slots=True)
class Keep:
    """Fix a place as it is, or let it go again."""

    n: int
    keep: bool = True


@dataclass(frozen=True, slots=True)
class Fit:
    """Fit the class into other minutes."""

    minutes: int


@dataclass(frozen=True, slots=True)
class Late:
    """So many minutes are lost: shorten the peak, keep the cool-down and every second side."""

    minutes: int


Edit = Drop | Swap | Add | Move | SetReps | SetSprings | Ease | Keep | Fit | Late
