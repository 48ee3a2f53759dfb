"""What is said while a pasted class is read."""

from bot.wording.findings import note
from bot.wording.phrases import wrapped
from core.plan import ClassPlan, Weight
from core.repertoire import Repertoire

NOTHING = "None of the lines names an exercise. Put one on each line, like: Footwork 10x 3+2"
READ = "Read {count} exercises, timed by the usual pace."
OUTSIDE = "{name}: {reps} repetitions is outside its range, so I took the nearest."
LEAVE_OUT = "Leave it out"
FLAG = "Worth a look: {text}"


def which(n: int, count: int, text: str) -> str:
    """The question about one line."""
    shown = text if len(text) <= 60 else text[:59] + "…"
    return wrapped(f"Line {n} of {count}: “{shown}”. Which exercise is that?")


def flags(plan: ClassPlan, repertoire: Repertoire) -> list[str]:
    """What the rules say of her class; it is hers, so nothing is changed."""
    return [
        FLAG.format(text=note(f, repertoire)) for f in plan.findings if f.weight is Weight.FAULT
    ]
