"""Lists of exercises as a person reads them."""

from collections.abc import Sequence

from bot.wording.phrases import count, listed, wrapped
from core.brief import Bar
from core.exercise import Exercise, Modification
from core.repertoire import Repertoire


def found(shown: Sequence[Exercise], number: int, repertoire: Repertoire) -> str:
    """How many there are, and the first of them."""
    if not shown:
        return wrapped("Nothing in the library is all of that. Leave a word out and try again.")
    lines = [count(number, "exercise") + ("" if number == len(shown) else ", the first of them:")]
    lines += [
        wrapped(f"· {e.name}, {repertoire.apparatus[e.apparatus].name}, level {int(e.level)}", "  ")
        for e in shown
    ]
    return "\n".join(lines)


def rungs(ladder: Sequence[Exercise], at: Exercise) -> str:
    """The ladder from the bottom, the exercise asked for marked."""
    lines = ["From the easiest up:"]
    for e in ladder:
        mark = "→" if e is at else "·"
        lines.append(wrapped(f"{mark} {e.name}, level {int(e.level)}", "  "))
    if len(ladder) == 1:
        lines.append(wrapped(at.no_easier or at.no_harder or "It stands alone."))
    return "\n".join(lines)


def ideas(
    e: Exercise, stand_ins: Sequence[Exercise], changes: Sequence[Modification], bars: Sequence[Bar]
) -> tuple[str, ...]:
    """Modifications first, for they keep the exercise; then what could stand in for it."""
    lacking = f" without {listed([b.name for b in bars], 'or')}" if bars else ""
    texts: list[str] = []
    if changes:
        kept = [wrapped(f"· {m.do}", "  ") for m in changes]
        texts.append("\n".join([wrapped(f"Keep {e.name}{lacking}:"), *kept]))
    if stand_ins:
        lines = [wrapped(f"· {o.name}, level {int(o.level)}", "  ") for o in stand_ins]
        texts.append("\n".join([wrapped(f"Instead of {e.name}{lacking}:"), *lines]))
    if not texts:
        texts.append(wrapped(f"Nothing I know keeps the aim of {e.name}{lacking}. Leave it out."))
    return tuple(texts)
