"""Taught classes read back: what was kept, who was there, history, load, pace, next steps."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from bot.wording.phrases import count, listed, wrapped
from core.client import ClientId
from core.effort import Week
from core.exercise import Exercise
from core.pace import CLASSES, Expected, Learned
from core.progress import NextStep, Way
from core.taught import Attendance, FollowUp, TaughtClass, Why
from core.timing import Pace

HOW_HARD = "How hard was it for them, from 0, nothing, to 10, as hard as can be?"
FORGOTTEN = "Plan #{plan} no longer counts as taught. Notes you made stay."
NOT_LOGGED = "Plan #{plan} is not kept as taught, so there is nothing to take back."
TAKE_BACK = "Take back"
NONE_TAUGHT = "No class is logged yet. After a class, say taught."
NONE_OF = "No class of {name} is logged yet. After a class, say taught."
NONE_WITH = "{name} is in no logged class yet. After a class, say taught."
EXPECTED = "At your pace it ends after {seconds}; 8 of 10 times after {low} to {high}."
NEXT = "Next steps"

NO_LOAD = "No class of the last four weeks has its effort. Say it after one: taught rpe 5."
LOAD_IS = "Load is effort times minutes. It is a sum of work and says nothing about health."

NO_PACE = (
    "I plan by the usual clock. Log your classes with taught and how long they took, like "
    "taught 48, and I learn your pace."
)
PACE_RESET = "Your pace is forgotten. Plans go by the usual clock until you log new classes."
RESET = "Begin anew"
RESTS_ON = "From {classes}: "
MORE_CLASSES = "After {count} more I say when a class is likely to end."
SET_ASIDE = "{times} looked interrupted and hardly count."

NO_TASTE = (
    "Nothing learned yet. What you swap, drop, add or keep in a plan makes later plans a little "
    "more like yours."
)
TASTE_RESET = "What your edits taught me is forgotten. Plans are as they were at first."
MORE_OF, LESS_OF = "A little more of: {what}.", "A little less of: {what}."
ONLY_A_LITTLE = "It only tips the balance between good plans; what a class needs comes first."
MOST_NAMED = 8

NOTHING_NEXT = (
    "Nothing new for {name} yet. I propose a step after two classes in a row at the most "
    "repetitions and an effort of at most 5."
)
ON = "{name} may be ready for:"
BACK_AGAIN = "{name} has been away for four weeks or more. One step back to begin with:"
HELD_BACK = "Not proposed because of what you mind for {name}: {what}."
YOURS = "You decide; nothing is changed by itself."
KEEP_STEP = "Keep as a note: {what}"
ASK, WRITE = "Ask {name} {when}: {about}", "Write to {name} {when}"
MISSED = "{name} missed two classes in a row."


def minutes(seconds: int) -> str:
    """ "48 min"."""
    return f"{round(seconds / 60)} min"


def day(when: date) -> str:
    """ "Tue 24 Nov"."""
    return f"{when:%a} {when.day} {when:%b}"


def kept(taught: TaughtClass) -> str:
    """What was kept of a class."""
    name = f" for {taught.group}" if taught.group else ""
    took = f"{minutes(taught.lasted_s)}" + ("" if taught.took_s else " as planned")
    said = [f"plan #{taught.plan}{name}, {took}"]
    said += [f"effort {taught.rpe}"] if taught.rpe is not None else []
    text = f"Kept as taught: {', '.join(said)}."
    out = [str(item.n) for item in taught.items if item.skipped]
    return wrapped(f"{text} Skipped {listed(out)}." if out else text)


def present(attended: Sequence[Attendance], names: Mapping[ClientId, str]) -> str:
    """Who was there and who was not, and what was said of each."""
    here = [names[each.client] for each in attended if each.there]
    gone = [names[each.client] for each in attended if not each.there]
    lines = [f"There: {listed(here)}."] if here else []
    lines += [f"Missed: {listed(gone)}."] if gone else []
    for each in attended:
        said = [f"effort {each.effort}"] if each.effort is not None else []
        said += [each.note] if each.note else []
        lines += [f"· {names[each.client]}: {', '.join(said)}"] if said else []
    return "\n".join(wrapped(line, "  ") for line in lines)


def last(taught: TaughtClass, when: date, exercises: Sequence[str]) -> str:
    """A class that was taught: when, how long, how hard, what was in it."""
    name = taught.group or "Class"
    effort = f", effort {taught.rpe}" if taught.rpe is not None else ""
    head = f"{name}, {day(when)}: {minutes(taught.lasted_s)}{effort}."
    lines = [wrapped(head)]
    for item, text in zip(taught.items, exercises, strict=True):
        note = " (skipped)" if item.skipped else ""
        lines.append(wrapped(f"{item.n}. {text}{note}", "  "))
    return "\n".join(lines)


def history(name: str, lines: Sequence[str], summary: str) -> str:
    """Classes, one a line, and what they come to."""
    return "\n".join([wrapped(f"{name}: {summary}"), *(wrapped(each, "  ") for each in lines)])


def classes(there: int, missed: int) -> str:
    """ "4 classes, 1 missed."."""
    return count(there, "class", "classes") + (f", {missed} missed." if missed else ".")


def once(each: Attendance, when: date) -> str:
    """A class of a person on one line."""
    if not each.there:
        return f"· {day(when)}: missed"
    said = [minutes(each.lasted_s)]
    said += [f"effort {each.effort}"] if each.effort is not None else []
    said += [each.note] if each.note else []
    return f"· {day(when)}: {', '.join(said)}"


def group_once(taught: TaughtClass, when: date) -> str:
    """A class of a group on one line."""
    effort = f", effort {taught.rpe}" if taught.rpe is not None else ""
    return f"· {day(when)}: #{taught.plan}, {minutes(taught.lasted_s)}{effort}"


def weeks(name: str, found: Sequence[tuple[str, Week]], unsaid: int) -> str:
    """The load of weeks, and monotony only where it means something."""
    lines = [f"Load of {name}:" if name else "Your load:"]
    for label, week in found:
        text = f"· {label}: {round(week.load)}, {count(week.sessions, 'class', 'classes')}"
        if week.monotony is not None and week.strain is not None:
            text += f", monotony {week.monotony:.1f}, strain {round(week.strain)}"
        lines.append(text)
    if unsaid:
        lines.append(f"{count(unsaid, 'class', 'classes')} without effort not counted.")
    return "\n".join([*(wrapped(line, "  ") for line in lines), wrapped(LOAD_IS)])


def expect(end: Expected) -> str:
    """When a class is likely to end."""
    low, high = end.low or end.seconds, end.high or end.seconds
    return EXPECTED.format(seconds=minutes(end.seconds), low=round(low / 60), high=minutes(high))


def pace(known: Learned, usual: Pace) -> str:
    """What was learned, in words."""
    lines = [RESTS_ON.format(classes=count(known.classes, "logged class", "logged classes"))]
    lines[0] += f"exercises take you {_share(usual.work)}, changes {_share(usual.change)}."
    for kind, factor in usual.kinds:
        if abs(factor - 1) >= 0.02:
            lines.append(f"· {_kind(kind)}: {_share(factor)} on top")
    if known.set_aside:
        lines.append(SET_ASIDE.format(times=count(known.set_aside, "time")))
    if known.classes < CLASSES:
        more = count(CLASSES - known.classes, "class", "classes")
        lines.append(MORE_CLASSES.format(count=more))
    return "\n".join(wrapped(line, "  ") for line in lines)


def taste(named: Sequence[tuple[str, int]]) -> str:
    """What her edits have taught: names and their points, the most liked first."""
    liked = [name for name, points in named if points > 0][:MOST_NAMED]
    less = [name for name, points in reversed(named) if points < 0][:MOST_NAMED]
    if not liked and not less:
        return wrapped(NO_TASTE)
    said = [MORE_OF.format(what=listed(liked))] if liked else []
    said += [LESS_OF.format(what=listed(less))] if less else []
    return "\n".join(wrapped(text, "  ") for text in (*said, ONLY_A_LITTLE))


def _kind(kind: str) -> str:
    return {"standing": "standing work", "lying": "lying work"}.get(kind, f"work {kind}")


def _share(factor: float) -> str:
    off = round(100 * (factor - 1))
    if not off:
        return "as long as planned"
    return f"{abs(off)} % {'longer' if off > 0 else 'less'}"


def step(each: NextStep) -> str:
    """ "pike on 3 instead of 3+2"."""
    if each.springs is not None and each.to.id == each.on.id:
        return f"{each.to.name} on {each.springs} instead of {each.now}"
    on = f" on {each.springs}" if each.springs is not None and each.springs.tokens else ""
    return f"{each.to.name}{on} instead of {each.on.name}"


def steps(name: str, found: Sequence[NextStep], held: Iterable[Exercise]) -> str:
    """What may come next, and what is held back."""
    back = any(each.way is Way.BACK for each in found)
    lines = [wrapped((BACK_AGAIN if back else ON).format(name=name))] if found else []
    lines += [wrapped(f"· {step(each)}", "  ") for each in found]
    names = [e.name for e in held]
    if names:
        lines.append(wrapped(HELD_BACK.format(name=name, what=listed(names))))
    if not lines:
        return wrapped(NOTHING_NEXT.format(name=name))
    return "\n".join([*lines, wrapped(YOURS)])


def ask_line(name: str, each: FollowUp, about: str, today: date) -> str:
    """The line that schedules a follow-up."""
    what = "the missed classes" if each.why is Why.MISSED else f"the {about}"
    return f"ask {name} {when(each, today)} about {what}"


def ask_label(name: str, each: FollowUp, about: str, today: date) -> str:
    """The button of a follow-up."""
    words = WRITE if each.why is Why.MISSED else ASK
    return words.format(name=name, when=when(each, today), about=about)


def when(each: FollowUp, today: date) -> str:
    """ "in 2 days"; tomorrow at the earliest."""
    days = max((each.day - today).days, 1)
    return "tomorrow" if days == 1 else f"in {days} days"
