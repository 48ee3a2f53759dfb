"""What an edit changed, said in a line or two."""

from bot.wording.phrases import listed
from core.plan import ClassPlan, Pin

BACK = "One step back."
AGAIN = "Forward again."
NO_FIT = "the class would no longer fit"
SAVED = "Kept as {name}, version {version}."
OPENED = "This is {name}, version {version}."
PUT_AWAY = "{name} is put away."
NONE_KEPT = "You have kept no classes yet. Say save as and a name."
COPIED = "A copy, kept as {name}."


def summary(before: ClassPlan, after: ClassPlan) -> list[str]:
    """What came, what went, what moved, and how many repetitions changed."""
    old = {item.step.exercise.id: item for item in before.items}
    new = {item.step.exercise.id: item for item in after.items}
    gone = [item.step.exercise.short for item in before.items if item.step.exercise.id not in new]
    come = [
        f"{item.step.exercise.short} ({item.n})"
        for item in after.items
        if item.step.exercise.id not in old
    ]
    said: list[str] = []
    if before.brief.minutes != after.brief.minutes:
        said.append(f"Now {after.brief.minutes} min.")
    if gone:
        said.append(f"Out: {listed(gone)}.")
    if come:
        said.append(f"In: {listed(come)}.")
    kept = [item.step.exercise.id for item in before.items if item.step.exercise.id in new]
    order = [item.step.exercise.id for item in after.items if item.step.exercise.id in old]
    if kept != order:
        said.append("The order changed.")
    reps = [
        str(item.n)
        for item in after.items
        if (was := old.get(item.step.exercise.id))
        and (was.step.reps, was.step.sets) != (item.step.reps, item.step.sets)
    ]
    if reps:
        many = len(reps) > 6
        said.append(f"Repetitions changed {'throughout' if many else f'at {listed(reps)}'}.")
    springs = [
        str(item.n)
        for item in after.items
        if (was := old.get(item.step.exercise.id)) and was.step.springs != item.step.springs
    ]
    if springs:
        said.append(f"Springs changed at {listed(springs)}.")
    fixed = [str(i.n) for i in after.items if Pin.PLACE in i.step.pins]
    if fixed != [str(i.n) for i in before.items if Pin.PLACE in i.step.pins]:
        said.append(f"Kept as they are: {listed(fixed)}." if fixed else "Nothing is kept fast now.")
    return said or ["Nothing else changed."]
