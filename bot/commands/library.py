"""Commands about exercises, apparatus and springs."""

from dataclasses import dataclass

from core.apparatus import ApparatusId, SpringSetting
from core.brief import Bar
from core.exercise import ExerciseId
from core.lookup import Wanted


@dataclass(frozen=True, slots=True)
class LookUp:
    """Show one exercise of the library."""

    typed: str


@dataclass(frozen=True, slots=True)
class Find:
    """List exercises that are all of this."""

    wanted: Wanted


@dataclass(frozen=True, slots=True)
class ShowLadder:
    """Show the ladder an exercise stands on."""

    typed: str


@dataclass(frozen=True, slots=True)
class SwapIdeas:
    """Name exercises that keep the aim of one and lack what is barred."""

    exercise: ExerciseId
    without: tuple[Bar, ...] = ()


@dataclass(frozen=True, slots=True)
class AddExercise:
    """Begin an exercise of her own; `fields` are the lines of a longer message, name and value."""

    name: str
    like: str = ""
    fields: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class SetField:
    """Say one thing about an exercise of her own."""

    name: str
    field: str
    value: str


@dataclass(frozen=True, slots=True)
class RetireExercise:
    """Take an exercise of her own out of use."""

    name: str


@dataclass(frozen=True, slots=True)
class AddCue:
    """Keep a cue or note of her own on any exercise."""

    name: str
    text: str


@dataclass(frozen=True, slots=True)
class OwnExercises:
    """List the exercises of her own."""


@dataclass(frozen=True, slots=True)
class ShowApparatus:
    """Show how her apparatus are described; one of them, or all."""

    apparatus: ApparatusId | None = None


@dataclass(frozen=True, slots=True)
class DescribeApparatus:
    """Describe the springs of an apparatus: how many alike, on how many notches, or by name."""

    apparatus: ApparatusId
    springs: int | tuple[str, ...]
    notches: int | None = None


@dataclass(frozen=True, slots=True)
class ForgetApparatus:
    """Go back to the shipped description of an apparatus."""

    apparatus: ApparatusId


@dataclass(frozen=True, slots=True)
class Measure:
    """Keep what a luggage scale showed at one spring: kilograms at the top and at the bottom."""

    apparatus: ApparatusId
    token: str
    top_kg: float
    bottom_kg: float


@dataclass(frozen=True, slots=True)
class SameAs:
    """Name the settings of another apparatus that feel most like this one."""

    apparatus: ApparatusId
    setting: SpringSetting
    on: ApparatusId


@dataclass(frozen=True, slots=True)
class ShowSprings:
    """Say what a setting is on an apparatus."""

    apparatus: ApparatusId
    setting: SpringSetting
