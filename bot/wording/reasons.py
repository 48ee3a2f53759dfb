"""Why a plan is as it is, in six lines at most; and why one exercise stands where it does."""

from bot.reply import Part
from bot.wording.findings import note
from bot.wording.phrases import clock, count, listed, wrapped
from core.exercise import Direction, Phase
from core.plan import ClassPlan, Weight
from core.repertoire import Repertoire
from core.summary import Place, Summary


def of_plan(plan: ClassPlan, repertoire: Repertoire) -> tuple[Part, ...]:
    """The arc, the balance, the changes, what the focus got, what was given up."""
    s = Summary.of(plan)
    hardest = s.hardest
    share = round(100 * hardest.start_s / plan.brief.slot_s)
    minutes = {phase: round(s.minutes.get(phase, 0)) for phase in Phase}
    lines = [
        f"Arc: {' + '.join(str(minutes[p]) for p in Phase)} min, hardest is "
        f"{hardest.step.exercise.short} at {clock(hardest.start_s)} ({share} % in).",
        f"Balance: flexion {s.directions[Direction.FLEXION]} to extension "
        f"{s.directions[Direction.EXTENSION]}; side {s.directions[Direction.LATERAL]}, "
        f"rotation {s.directions[Direction.ROTATION]}.",
        f"Changes: {count(s.spring_changes, 'spring change')}, "
        f"{count(s.position_changes, 'position change')}; {round(s.change_s / 60)} min in all.",
    ]
    if s.focus:
        got = [f"{name} {round(seconds / 60)} min" for name, seconds in s.focus.items()]
        lines.append(f"Focus: {listed(got)} of work.")
    given_up = [note(f, repertoire) for f in plan.findings if f.weight is Weight.NOTE]
    lines.append("Given up: " + (" ".join(given_up) if given_up else "nothing you asked for."))
    return (Part("\n".join(wrapped(line, "  ") for line in lines)),)


def of_place(place: Place) -> tuple[Part, ...]:
    """What it is for, what it follows from, the next best and what that would cost."""
    item = place.item
    e = item.step.exercise
    works = [*(t.value for t in e.themes), *(d.value for d in sorted(e.directions))]
    aims = list(dict.fromkeys(works))
    lines = [f"{item.n}. {e.name}: {listed(aims)}, in the {item.step.phase.value}."]
    if place.serves:
        lines.append(f"It serves your focus on {listed([aim.name for aim in place.serves])}.")
    if place.only:
        lines.append(f"It is the only {listed([d.value for d in place.only])} in the class.")
    if place.before:
        lines.append(_follows(place))
    if place.prepared_by:
        lines.append(f"{place.prepared_by.step.exercise.short} prepares it.")
    if len(place.series_with) > 1:
        lines.append(f"One series: {listed(place.series_with)}.")
    if place.instead:
        loses = f", and lose {listed(place.loses)}" if place.loses else " and lose nothing"
        lines.append(f"Next best: {place.instead.name}. You would keep the aim{loses}.")
    else:
        lines.append("Nothing else in the library could stand here.")
    return (Part("\n".join(wrapped(line, "  ") for line in lines)),)


def _follows(place: Place) -> str:
    assert place.before is not None
    old, new = place.before.step, place.item.step
    same = []
    if old.exercise.position is new.exercise.position:
        same.append("position")
    if new.exercise.springs and old.springs == new.springs:
        same.append("springs")
    kept = f", with the same {listed(same)}" if same else ""
    return f"After {old.exercise.short}{kept}: {place.item.transition_s} s to change."
