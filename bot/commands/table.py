"""Every command, and the words a message may begin with."""

from bot.commands.diary import DiaryCommand
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
from bot.commands.log import LogCommand
from bot.commands.people import HouseCommand, PeopleCommand
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
    Refit,
    RetireClass,
    SaveClass,
    Show,
    Undo,
    Why,
)
from bot.commands.setting import (
    Hello,
    Help,
    SetDates,
    SetHabit,
    SetZone,
)
from bot.commands.teaching import Early, Handover, SendSheet, Teach

Command = (
    MakePlan
    | Another
    | Show
    | Why
    | EditPlan
    | Refit
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
    | SendSheet
    | Handover
    | Teach
    | Early
    | Help
    | Hello
    | SetZone
    | SetDates
    | SetHabit
    | LogCommand
    | PeopleCommand
    | DiaryCommand
    | HouseCommand
)

# What a message may begin with -> the name help knows it by.
WORDS: dict[str, str] = {
    "plan": "plan",
    "another": "another",
    "again": "another",
    "show": "show",
    "why": "why",
    "edit": "edit",
    "drop": "edit",
    "remove": "edit",
    "delete": "edit",
    "skip": "edit",
    "change": "edit",
    "put": "edit",
    "insert": "edit",
    "repetitions": "edit",
    "lock": "edit",
    "unlock": "edit",
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
    "refit": "refit",
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
    "class": "class",
    "classes": "class",
    "week": "week",
    "cancel": "cancel",
    "away": "away",
    "remind": "remind",
    "ask": "remind",
    "reminders": "remind",
    "done": "remind",
    "later": "remind",
    "pause": "remind",
    "resume": "remind",
    "digest": "digest",
    "quiet": "digest",
    "lead": "digest",
    "calendar": "calendar",
    "import": "calendar",
    "exercise": "exercise",
    "find": "find",
    "ladder": "ladder",
    "ideas": "swap",
    "swap": "swap",
    "apparatus": "apparatus",
    "measure": "measure",
    "same": "same",
    "springs": "springs",
    "client": "client",
    "clients": "client",
    "note": "note",
    "flag": "flag",
    "flags": "flag",
    "unflag": "unflag",
    "answered": "answered",
    "consent": "consent",
    "group": "group",
    "groups": "group",
    "mods": "mods",
    "screen": "screen",
    "export": "export",
    "erase": "erase",
    "retention": "retention",
    "who": "access",
    "access": "access",
    "invite": "access",
    "revoke": "access",
    "problems": "problems",
    "problem": "problems",
    "sheet": "sheet",
    "handover": "handover",
    "teach": "teach",
    "early": "early",
    "taught": "taught",
    "last": "last",
    "history": "history",
    "load": "load",
    "pace": "pace",
    "taste": "taste",
    "next": "next",
    "help": "help",
    "start": "start",
    "hello": "start",
    "hi": "start",
    "zone": "zone",
    "dates": "dates",
    "usual": "usual",
}
BUTTON_WORDS = ("line", "consent")  # said by buttons, not worth a place in help
NAMES = tuple(name for name in dict.fromkeys(WORDS.values()) if name not in BUTTON_WORDS)
