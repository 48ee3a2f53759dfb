"""Every command, and the words a message may begin with."""

from bot.commands.library import (
    AddCue,
    AddExercise,
    DescribeApparatus,
    Find,
    ForgetApparatus,
    LookUp,
    Measure,
    OwnExercises,
    RetireExercise,
    SameAs,
    SetField,
    ShowApparatus,
    ShowLadder,
    ShowSprings,
    SwapIdeas,
)
from bot.commands.planning import (
    Another,
    Compare,
    EditPlan,
    ListClasses,
    MakePlan,
    MakeSeries,
    OpenClass,
    Paste,
    PasteLine,
    RetireClass,
    SaveClass,
    Show,
    Undo,
    Why,
)
from bot.commands.setting import (
    Hello,
    Help,
    SetHabit,
    SetZone,
)

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
