"""The typed commands: what a message can ask for, once it has been understood."""

from dataclasses import dataclass
from datetime import datetime

from core.apparatus import ApparatusId, SpringSetting
from core.brief import Aim, Bar
from core.exercise import ExerciseId, Level
from core.lookup import Wanted


@dataclass(frozen=True, slots=True)
class MakePlan:
    """Plan a class; what is left out comes from habit or is asked.

    Attributes:
        level: the level asked for; None with `level_said` is a mixed group, said in so many words.
        line: what was typed, so that a question can be answered by adding a word.
        read_as: words taken for a slip of the finger, and what each was read as.
    """

    line: str
    minutes: int | None = None
    apparatus: tuple[ApparatusId, ...] = ()
    level: Level | None = None
    level_said: bool = False
    focus: tuple[Aim, ...] = ()
    without: tuple[Bar, ...] = ()
    must: tuple[ExerciseId, ...] = ()
    people: int | None = None
    group: str = ""
    starts: datetime | None = None
    read_as: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Another:
    """Plan the same brief again, differently."""

    plan: int | None = None


@dataclass(frozen=True, slots=True)
class Show:
    """Show the plan, or one place of it."""

    place: int | None = None
    plan: int | None = None


@dataclass(frozen=True, slots=True)
class Why:
    """Explain the plan, or one place of it."""

    place: int | None = None
    plan: int | None = None


@dataclass(frozen=True, slots=True)
class Wish:
    """One edit as it was typed; what it means depends on the plan it is about.

    Attributes:
        verb: drop, swap, add, move, reps, springs, easier, harder, keep, unkeep, fit, late.
        n: the place, or the minutes of fit and late.
        other: the second number: where to, after which, how many.
        typed: an exercise's name, or springs.
    """

    verb: str
    n: int = 0
    other: int | None = None
    typed: str = ""


@dataclass(frozen=True, slots=True)
class EditPlan:
    """Change the plan: all the wishes together or none of them."""

    wishes: tuple[Wish, ...]
    plan: int | None = None


@dataclass(frozen=True, slots=True)
class Undo:
    """Go back to the class before the last change, or forward again."""

    forward: bool = False


@dataclass(frozen=True, slots=True)
class SaveClass:
    """Keep the class under a name; `copy` makes it a class of its own first."""

    name: str
    copy: bool = False


@dataclass(frozen=True, slots=True)
class OpenClass:
    """Go on with a kept class."""

    name: str


@dataclass(frozen=True, slots=True)
class RetireClass:
    """Put a kept class away."""

    name: str


@dataclass(frozen=True, slots=True)
class ListClasses:
    """List the kept classes."""


@dataclass(frozen=True, slots=True)
class Compare:
    """Hold the class against another: a kept one by name, or a plan by number."""

    name: str = ""
    plan: int | None = None


@dataclass(frozen=True, slots=True)
class MakeSeries:
    """Plan a class for each of several weeks, each going on from the one before."""

    weeks: int
    brief: MakePlan


@dataclass(frozen=True, slots=True)
class Paste:
    """Read somebody's class from free text, one exercise a line."""

    lines: tuple[str, ...]
    brief: MakePlan


@dataclass(frozen=True, slots=True)
class PasteLine:
    """Say which exercise a line of a pasted class is, or that it is none."""

    line: int
    typed: str


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


@dataclass(frozen=True, slots=True)
class Help:
    """Say what can be asked, or how one command goes."""

    topic: str = ""


@dataclass(frozen=True, slots=True)
class Hello:
    """First contact, or once more from the start; the channel's /start, with a code perhaps."""

    code: str = ""


@dataclass(frozen=True, slots=True)
class SetZone:
    """Keep the time zone she lives in; `first` goes on with first contact."""

    zone: str
    first: bool = False


@dataclass(frozen=True, slots=True)
class SetHabit:
    """Keep what she usually asks for."""

    minutes: int | None = None
    apparatus: tuple[ApparatusId, ...] = ()


Command = (
    MakePlan
    | Another
    | Show
    | Why
    | EditPlan
    | Undo
    | SaveClass
    | OpenClass
    | RetireClass
    | ListClasses
    | Compare
    | MakeSeries
    | Paste
    | PasteLine
    | LookUp
    | Find
    | ShowLadder
    | SwapIdeas
    | AddExercise
    | SetField
    | RetireExercise
    | AddCue
    | OwnExercises
    | ShowApparatus
    | DescribeApparatus
    | ForgetApparatus
    | Measure
    | SameAs
    | ShowSprings
    | Help
    | Hello
    | SetZone
    | SetHabit
)

# What a message may begin with -> the name help knows it by.
WORDS: dict[str, str] = {
    "plan": "plan",
    "class": "plan",
    "another": "another",
    "again": "another",
    "show": "show",
    "why": "why",
    "edit": "edit",
    "drop": "edit",
    "remove": "edit",
    "replace": "edit",
    "add": "edit",
    "move": "edit",
    "reps": "edit",
    "easier": "edit",
    "harder": "edit",
    "keep": "edit",
    "unkeep": "edit",
    "fit": "edit",
    "late": "edit",
    "undo": "undo",
    "redo": "undo",
    "save": "save",
    "copy": "save",
    "open": "open",
    "retire": "retire",
    "plans": "plans",
    "compare": "compare",
    "series": "series",
    "paste": "paste",
    "line": "line",
    "exercise": "exercise",
    "find": "find",
    "ladder": "ladder",
    "ideas": "swap",
    "swap": "swap",
    "apparatus": "apparatus",
    "measure": "measure",
    "same": "same",
    "springs": "springs",
    "help": "help",
    "start": "start",
    "hello": "start",
    "hi": "start",
    "zone": "zone",
    "usual": "usual",
}
BUTTON_WORDS = ("line",)  # said by buttons, not worth a place in help
NAMES = tuple(name for name in dict.fromkeys(WORDS.values()) if name not in BUTTON_WORDS)
