"""What an edit changed, said in a line or two; or why it can't be made."""

from collections.abc import Callable, Sequence
from dataclasses import replace

from bot.wording.findings import note
from bot.wording.phrases import listed
from core.exercise import ExerciseId
from core.plan import ClassPlan, Finding, Item, Pin, Weight
from core.planner.refit import Unmade
from core.planner.request import NoPlan
from core.repertoire import Repertoire

BACK = "One step back."
AGAIN = "Forward again."
SUITS = "It suits everybody as it is."
AGAINST = "Wait: {who} Nothing is changed. If you know better, you can insist."
INSIST = "Do it all the same"
NO_FIT = "the class would no longer fit"
SAVED = "Kept as {name}, version {version}."
OPENED = "This is {name}, version {version}."
PUT_AWAY = "{name} is put away."
NONE_KEPT = "You have kept no classes yet. To keep this one, say: save as tuesday core"
COPIED = "A copy, kept as {name}."
LOOK = "Worth a look:"
SAME = "Done. Everything else stays as it was."
MANY = 6  # places named one by one


def summary(before: ClassPlan, after: ClassPlan) -> list[str]:
    """What came, what went, what moved, and how many repetitions changed."""
    old = {item.step.exercise.id: item for item in before.items}
    new = {item.step.exercise.id: item for item in after.items}
    both = [(old[e], item) for e, item in new.items() if e in old]
    gone = [item.step.exercise.short for e, item in old.items() if e not in new]
    come = [f"{item.step.exercise.short} ({item.n})" for e, item in new.items() if e not in old]
    said: list[str] = []
    if before.brief.minutes != after.brief.minutes:
        said.append(f"Now {after.brief.minutes} min.")
    if gone:
        said.append(f"Out: {listed(gone)}.")
    if come:
        said.append(f"In: {listed(come)}.")
    moved = _moved([e for e in old if e in new], [e for e in new if e in old])
    if len(moved) == 1:
        item = new[moved[0]]
        said.append(f"Moved: {item.step.exercise.short}, now {item.n}.")
    elif moved:
        said.append("The order changed.")
    said += _changed(both, lambda i: i.step.reps * i.step.sets, _reps)
    said += _changed(both, lambda i: i.step.springs, _springs)
    fixed = [item for _, item in both if Pin.PLACE in item.step.pins]
    if len(fixed) > sum(Pin.PLACE in was.step.pins for was, _ in both):
        said.append(f"Fixed as they are: {listed([str(i.n) for i in fixed])}.")
    let_go = [str(item.n) for was, item in both if was.step.pins - item.step.pins]
    if let_go:
        said.append(f"No longer fixed: {listed(let_go)}.")
    return said or [SAME]


def flags(before: ClassPlan, after: ClassPlan, repertoire: Repertoire) -> list[str]:
    """What the rules say of her own class now that they did not say before."""
    known = {(f.rule, f.facts) for f in before.findings}
    return worth_a_look([f for f in after.findings if (f.rule, f.facts) not in known], repertoire)


def worth_a_look(findings: Sequence[Finding], repertoire: Repertoire) -> list[str]:
    """The faults among them, those of one kind together."""
    places: dict[str, list[str]] = {}
    for f in findings:
        if f.weight is Weight.FAULT:
            text = note(replace(f, place=None), repertoire)
            places.setdefault(text, []).extend([str(f.place)] if f.place else [])
    lines = [f"{listed(numbers)}: {text}" if numbers else text for text, numbers in places.items()]
    if not lines:
        return []
    more = [f"· and {len(lines) - MANY} more"] if len(lines) > MANY + 1 else []
    shown = lines[:MANY] if more else lines
    return [LOOK, *(f"· {line}" for line in shown), *more]


def refusal(result: NoPlan, repertoire: Repertoire) -> str:
    """Why an edit can't be made, without a full stop."""
    about = result.about if isinstance(result, Unmade) else ("",) * len(result.findings)
    why = []
    for finding, name in zip(result.findings, about, strict=True):
        text = note(finding, repertoire).split(": ", 1)[-1] if name else note(finding, repertoire)
        text = text[:1].lower() + text[1:] if text[1:2].islower() else text
        why.append(f"{name}: {text}" if name else text)
    return "; ".join(dict.fromkeys(text.rstrip(".") for text in why[:2])) or NO_FIT


def _moved(was: Sequence[ExerciseId], now: Sequence[ExerciseId]) -> list[ExerciseId]:
    """The one that, taken out, leaves the order as it was; or all of them; or none."""
    if list(was) == list(now):
        return []
    for e in now:
        if [x for x in was if x != e] == [x for x in now if x != e]:
            return [e]
    return list(now)


def _changed(
    both: Sequence[tuple[Item, Item]],
    what: Callable[[Item], object],
    say: Callable[[Sequence[tuple[Item, Item]]], str],
) -> list[str]:
    different = [(was, item) for was, item in both if what(was) != what(item)]
    return [say(different)] if different else []


def _reps(changed: Sequence[tuple[Item, Item]]) -> str:
    """ "Fewer repetitions at 3 and 5." """
    each = [(i.step.reps * i.step.sets) - (w.step.reps * w.step.sets) for w, i in changed]
    how = "More" if min(each) > 0 else "Fewer" if max(each) < 0 else "Other"
    if len(changed) > MANY:
        return f"{how} repetitions at {len(changed)} places, to fit the time."
    return f"{how} repetitions at {listed([str(item.n) for _, item in changed])}."


def _springs(changed: Sequence[tuple[Item, Item]]) -> str:
    """ "Springs: 7 on 3+2." """
    return f"Springs: {listed([f'{item.n} on {item.step.springs}' for _, item in changed])}."
