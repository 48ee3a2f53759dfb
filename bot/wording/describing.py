"""What is asked and said while an exercise or an apparatus is described."""

from collections.abc import Sequence

from bot.wording.phrases import count, listed, wrapped
from core.apparatus import Apparatus, SpringSetting
from core.calibration import Calibration, Equivalents
from core.draft import FIELDS
from core.load import KGF_N

ALREADY = "you have an exercise called {name} already; change it with exercise set {name}: ..."
BACK_TO_PLAIN = "The plain one again"
TAKEN = "{name} is in the library already; give yours another name"
RETIRED = "{name} is out of use."
CUE_KEPT = "Kept. It stands with {name} from now on."
DONE = "{name} is complete and takes part in planning from now on."
APPARATUS_FIRST = "say the apparatus first, then its springs"
NONE_YET = "You have no exercises of your own. Begin with: exercise add NAME"
QUESTIONS = {
    "apparatus": "On which apparatus is it?",
    "level": "Which level is it?",
    "phase": "Where in a class may it stand? Several with commas.",
    "position": "In which position?",
    "works": "What does it work on? Like rotation, abdominals.",
    "muscle": "Which muscle does most? Others after it with commas.",
    "load": "What does the spring do: resist, carry (assist) or steady (stabilise)?",
    "springs": "Which springs: usual, easier, harder? Like 3+2, 3, 4+3.",
    "reps": "How many repetitions? A range like 6-10.",
    "tempo": "How long is one repetition? Like 5 s or 2 breaths.",
    "sides": "One side, or two one after the other?",
    "asks": "What does it ask of a body: wrists, kneeling, rotation ... or nothing?",
    "family": "What kind of movement is it, in a word or two? No class has two of a kind.",
    "effort": "How hard is it, from 1 breathing to 10 the hardest you teach?",
}


def question(field: str, left: int) -> str:
    """The next question, and how many are left."""
    more = "" if left == 1 else f" ({left} to go)"
    return wrapped(QUESTIONS[field] + more)


def no_field(name: str) -> str:
    """A field that is none, with those there are."""
    return f"“{name}” is nothing I keep of an exercise; there is {listed([f.name for f in FIELDS])}"


def mine(states: Sequence[tuple[str, Sequence[str]]]) -> str:
    """Her exercises, the unfinished ones with what they lack."""
    if not states:
        return wrapped(NONE_YET)
    return "\n".join(
        wrapped(f"· {name}" + (f", not used yet: say {listed(gaps)}" if gaps else ""), "  ")
        for name, gaps in states
    )


def apparatus(each: Apparatus, calibration: Calibration) -> str:
    """What an apparatus has, and which of its springs have been measured."""
    lines = [f"{each.name}: {_springs(each)}"]
    if each.springs:
        readings = calibration.readings
        if readings:
            lines += [
                f"{r.token}: {r.top_kg:.1f} to {r.bottom_kg:.1f} kg "
                f"({r.top_kg * KGF_N:.0f} to {r.bottom_kg * KGF_N:.0f} N)"
                for r in readings
            ]
        unknown = calibration.unknown()
        if unknown and readings:
            lines.append(f"Not measured: {listed(unknown)}.")
        elif unknown:
            lines.append("Nothing measured, so settings have ranks, no forces.")
    return "\n".join(wrapped(line, "  ") for line in lines)


def _springs(each: Apparatus) -> str:
    if not each.springs:
        return "no springs"
    if len(each.springs) == 1 and each.hooks:
        hooks = f"notches {each.hooks[0].name} to {each.hooks[-1].name}"
        return f"{count(each.springs[0].count, 'spring')}, {hooks}, {each.most} at once"
    kinds = listed([f"{s.count} {s.name}" for s in each.springs])
    hooks = f", hooked {listed([h.name for h in each.hooks], 'or')}" if len(each.hooks) > 1 else ""
    return kinds + hooks


def described(each: Apparatus) -> str:
    """Her description kept."""
    return wrapped(f"Kept: {each.name} with {_springs(each)}. Plans follow it from now on.")


def left_out(names: Sequence[str]) -> str:
    """Exercises that her springs can't serve."""
    if not names:
        return ""
    shown = listed(list(names[:4])) + (" and more" if len(names) > 4 else "")
    return wrapped(f"Left out, for want of a fitting spring: {shown}.")


def forgotten(each: Apparatus) -> str:
    """Back to the shipped description."""
    return wrapped(f"Back to the plain {each.name}: {_springs(each)}.")


def measured(each: Apparatus, token: str, top_kg: float, bottom_kg: float) -> str:
    """A reading kept."""
    return wrapped(
        f"Kept: {each.name} {token}, {top_kg:.1f} kg at the top and {bottom_kg:.1f} kg at the "
        f"bottom ({top_kg * KGF_N:.0f} and {bottom_kg * KGF_N:.0f} N)."
    )


def same(setting: SpringSetting, on: Apparatus, other: Apparatus, found: Equivalents) -> str:
    """The nearest settings elsewhere, how much they differ, and on what ground."""
    lines = [f"{on.name} {setting} feels most like, on the {other.name}:"]
    for each in found.nearest:
        off = each.difference_pct
        how = (
            "the same"
            if abs(off) < 0.5
            else f"{abs(off):.0f} % {'heavier' if off > 0 else 'lighter'}"
        )
        warning = ", a big step" if each.big_step else ""
        lines.append(f"· {each.setting}: {how}{warning}")
    if found.by_rank:
        lines.append(
            "By rank only, a rough guide: measure both with a luggage scale for real figures."
        )
    return "\n".join(wrapped(line, "  ") for line in lines)


def setting(each: Apparatus, chosen: SpringSetting, force_n: float | None, part: float) -> str:
    """What a setting is: its force where it was measured, else its rank."""
    if force_n is not None:
        what = f"about {force_n / KGF_N:.1f} kg ({force_n:.0f} N) over the travel"
    else:
        what = f"about {part:.0%} of the heaviest by rank; measure it for kilograms"
    return wrapped(f"{each.name} {chosen}: {what}.")
