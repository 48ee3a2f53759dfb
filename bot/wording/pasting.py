"""What is said while a pasted class is read."""

from collections.abc import Sequence

from bot.wording.phrases import listed, wrapped
from core.pasted import MOST_SETS, Chosen
from core.repertoire import Repertoire

NOTHING = wrapped("None of the lines names an exercise. Put one on each line, like: pike x8 4+4")
NO_LINE = wrapped("There is no line waiting for an answer. Paste the class again to start over.")
READ = "I read {count} exercises and timed them by the usual pace."
RANGE = "{name}: {low} to {high} repetitions, so {reps} instead of {said}."
SETS = "{name}: {most} sets at most, not {said}."
SPRINGS = "{name}: it can't take {said}, so the usual springs."
ASIDE = "Not read as exercises: {lines}."
BEYOND = "I read 60 lines; the last {count} are left out."
LEAVE_OUT = "Leave it out"
SHOWN = 28  # characters of her own line repeated back


def which(n: int, count: int, text: str) -> str:
    """The question about one line."""
    return wrapped(f"Line {n} of {count}: “{_cut(text, 60)}”. Which exercise is that?")


def read_as(
    chosen: Sequence[Chosen], repertoire: Repertoire, aside: Sequence[str], beyond: int
) -> list[str]:
    """How the lines were read, and everything that was not taken as it was written."""
    said = [READ.format(count=len(chosen))]
    for each in chosen:
        e, line = each.exercise, each.line
        if line.reps is not None and line.reps != each.reps():
            low, high = e.reps.low, e.reps.high
            said.append(
                RANGE.format(name=e.short, low=low, high=high, reps=each.reps(), said=line.reps)
            )
        if line.sets is not None and line.sets != each.sets():
            said.append(SETS.format(name=e.short, most=MOST_SETS, said=line.sets))
        if line.unread or (line.springs and each.springs(repertoire.apparatus) is None):
            said.append(SPRINGS.format(name=e.short, said=line.unread or line.springs))
    if aside:
        said.append(ASIDE.format(lines=listed([f"“{_cut(text, SHOWN)}”" for text in aside])))
    if beyond:
        said.append(BEYOND.format(count=beyond))
    return said


def _cut(text: str, most: int) -> str:
    return text if len(text) <= most else text[: most - 1] + "…"
