"""One exercise as a person reads it, alone or at its place in a class."""

from collections.abc import Sequence

from bot.reply import Part
from bot.wording.phrases import clock, count, listed, wrapped
from bot.wording.plans import HEALTH, reps
from core.codec import options
from core.exercise import Exercise, Load
from core.plan import Item
from core.repertoire import Repertoire

LOADS = {
    Load.RESIST: "The spring resists: heavier is harder.",
    Load.ASSIST: "The spring carries you: lighter is harder here.",
    Load.STABILISE: "The spring gives balance: keep it light.",
    Load.BODY_WEIGHT: "Body weight.",
}


def at_place(item: Item, repertoire: Repertoire, said: Sequence[str] = ()) -> tuple[Part, ...]:
    """The exercise at its place: clock, springs and repetitions first."""
    e = item.step.exercise
    now = f"{item.n}. {e.name}\n{clock(item.start_s)} to {clock(item.end_s)}, {reps(item)}"
    if e.springs:
        now += f", springs {item.step.springs}"
    rig = [f"{part} {state}" for part, state in e.rig]
    if rig:
        now += f"\nSet: {', '.join(rig)}"
    own = (Part(wrapped_lines("\n".join(f"Yours: {text}" for text in said))),) if said else ()
    return (Part(wrapped_lines(now)), *own, *_body(e, repertoire))


def alone(e: Exercise, repertoire: Repertoire, said: Sequence[str] = ()) -> tuple[Part, ...]:
    """The exercise by itself: usual springs and repetitions first, her own words last."""
    on = repertoire.apparatus[e.apparatus]
    head = [e.name, f"{on.name}, level {int(e.level)}, {e.position.value}"]
    span = f"{e.reps.low} to {e.reps.high} repetitions"
    head.append(span + (" each side" if e.sides == 2 else ""))
    if e.springs:
        head.append(f"Springs: usually {e.springs.usual}, limit {e.springs.limit}")
    rig = [f"{part} {state}" for part, state in e.rig]
    if rig:
        head.append(f"Set: {', '.join(rig)}")
    own = (Part(wrapped_lines("\n".join(f"Yours: {text}" for text in said))),) if said else ()
    return (Part(wrapped_lines("\n".join(head))), *own, *_body(e, repertoire))


def wrapped_lines(text: str) -> str:
    """Each line wrapped by itself."""
    return "\n".join(wrapped(line, "  ") for line in text.splitlines())


def _body(e: Exercise, repertoire: Repertoire) -> tuple[Part, ...]:
    works = [t.value for t in e.themes] + [d.value for d in sorted(e.directions)]
    text = [f"For {listed(list(dict.fromkeys(works)))}."]
    text += [f"· {cue}" for cue in e.cues]
    text += [*([f"Watch: {e.fault}"] if e.fault else []), *([e.breath] if e.breath else [])]
    choices = [LOADS[e.load]] if e.springs else []
    for option in options(e, repertoire):
        what = option.get("name") or f"springs {option['springs']}"
        choices.append(f"{option['kind'].capitalize()}: {what}.")
    parts = [Part(wrapped_lines("\n".join(text))), Part(wrapped_lines("\n".join(choices)))]
    if e.demands:
        asks = [f"Asks: {listed(sorted(e.demands))}."]
        asks += [f"Or: {m.do} (no {listed(sorted(m.removes), 'or')})." for m in e.modifications]
        parts.append(Part(wrapped_lines("\n".join(asks))))
    acts = [repertoire.acts[act] for act in e.safety]
    if acts:
        parts.append(Part(wrapped_lines("\n".join(f"! {act}" for act in acts))))
    parts.append(Part(wrapped(HEALTH)))
    return tuple(part for part in parts if part.text)


def candidates(close: Sequence[Exercise], typed: str) -> str:
    """Several could be meant, or one that is not certain."""
    if len(close) == 1:
        return wrapped(f"Did you mean {close[0].name}?")
    return wrapped(f"{count(len(close), 'exercise')} could be “{typed[:40]}”. Which one?")
