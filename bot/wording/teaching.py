"""The class while it is taught: one message, read at a glance from where she stands."""

from collections.abc import Sequence
from datetime import datetime

from bot.wording.phrases import clock, count, listed, wrapped
from bot.wording.plans import reps, title
from bot.wording.sheets import need_words, set_up, springs_of
from core.plan import ClassPlan
from core.repertoire import Repertoire
from core.running import Running
from core.sheet import Need, RunSheet, SheetRow

ON_TIME_S = 30  # nearer than this nobody is early or late
NEXT, BACK, SKIP, LATE, STOP = "Next", "Back", "Skip", "Late", "Stop"
BEGIN, EARLY, TO_CLASS, LOG = "Begin", "Time left", "Back to the class", "How was it?"
SET_UP = "Set the room:"
FIRST = "First: {what}"
FOLLOWS = "Next: {what}"
LAST = "Next: the last words. Ends {at}."
WAITING = "{name}: {what}"
WAITS = "nothing before a clinician has been asked"
STOPS = "not in class: stop and seek medical help first"
OVER = "Done: {what}."
STOPPED = "Stopped: {what}."
BY_ITSELF = "It was over by itself: the last tap was long ago. {what}."
TIMES = "Your taps timed {count}; what was not tapped stays unknown, and that is fine."
NO_TIMES = "No times were tapped, and that is fine."
HOW_LATE = "How many minutes are lost? The peak gets shorter; cool-down and second sides stay."
BEFORE_STOPPED = "The class before is stopped; its times are kept."
NOT_RUNNING = "No class is running. Say teach to open the one at hand."
OLD_TAP = "That button was of another moment. Here is where the class is."
SHORTER = "{minutes} min shorter from here."
MOST = "{why}. At most {count}."
NOTHING_SHORTER = "{why}."
ONE_MORE = "For {count} more, one of these fits what is left:"
NO_MORE = "Nothing more fits what is left without breaking a rule. Take it slowly."
ADDED = "{name} comes in as {n}."
MINUTES = "{count} min"


def opening(
    running: Running, sheet: RunSheet, repertoire: Repertoire, at: datetime
) -> tuple[str, ...]:
    """Before the first exercise: what is to be set, who waits, what comes first."""
    room = "\n".join(wrapped(f"· {line}", "  ") for line in set_up(sheet, repertoire))
    waiting = [
        WAITING.format(name=person.name, what=STOPS if person.stop else WAITS)
        for person in sheet.people
        if person.waits or person.stop
    ]
    first = FIRST.format(what=_ahead(sheet.rows[0], repertoire))
    return (
        title(sheet.plan.brief, repertoire),
        f"{SET_UP}\n{room}",
        *(wrapped(text) for text in waiting),
        "\n".join((wrapped(first, "  "), wrapped(in_hand(running.in_hand_s(sheet.plan, at))))),
    )


def current(
    running: Running,
    sheet: RunSheet,
    repertoire: Repertoire,
    now: datetime,
    until: datetime,
    ends: datetime,
) -> tuple[str, ...]:
    """The exercise being taught: its name large, what to set, who needs what, what comes next.

    Args:
        until, ends: when it should be done, and when the slot is over, on the clock of the wall.
    """
    row = sheet.rows[running.place - 1]
    item, e = row.item, row.item.step.exercise
    head = f"{item.n} of {len(sheet.rows)} · {in_hand(running.in_hand_s(sheet.plan, now))}"
    how = [f"{reps(item)}, until {until:%H:%M}"]
    springs = springs_of(item.step.springs, e.apparatus, repertoire)
    if springs:
        change = row.new_springs or row.moved
        how.insert(0, f"SET SPRINGS {springs}" if change else f"springs {springs}")
    how += _to_do(row, repertoire)
    needs = [
        wrapped(f"{sheet.people[at].name}: {_here(sheet.people[at].needs, item.n)}", "  ")
        for at in row.needing
    ]
    cues = [wrapped(f"· {cue}", "  ") for cue in row.cues]
    after = sheet.rows[running.place : running.place + 1]
    ahead = (
        FOLLOWS.format(what=_ahead(after[0], repertoire))
        if after
        else LAST.format(at=f"{ends:%H:%M}")
    )
    return tuple(
        text
        for text in (
            head,
            f"{wrapped(e.name.upper())}\n{wrapped(' · '.join(how), '  ')}",
            "\n".join(needs),
            "\n".join(cues),
            wrapped(ahead, "  "),
        )
        if text
    )


def over(running: Running, plan: ClassPlan) -> tuple[str, ...]:
    """What was taught, and what is known of its time."""
    left = running.left_out(plan)
    done = len(plan.items) - len(left)
    what = f"{done} of {count(len(plan.items), 'exercise')}"
    lasted = running.lasted_s()
    if lasted is not None:
        what += f" in {clock(lasted)} of {clock(running.slot_s)}"
    if left:
        what += f", without {listed(_runs(left))}"
    by_hand = OVER if running.place > len(plan.items) else STOPPED
    lead = BY_ITSELF if running.by_itself else by_hand
    timed = len(running.took(plan))
    times = TIMES.format(count=count(timed, "exercise")) if timed else NO_TIMES
    return wrapped(lead.format(what=what)), wrapped(times)


def in_hand(seconds: int) -> str:
    """ "1:30 in hand", "2:10 late", "on time"."""
    if abs(seconds) < ON_TIME_S:
        return "on time"
    return f"{clock(abs(seconds))} {'in hand' if seconds > 0 else 'late'}"


def _ahead(row: SheetRow, repertoire: Repertoire) -> str:
    """What comes, as she announces it: name, springs if they change, position if it does."""
    e = row.item.step.exercise
    said = [f"{row.item.n} {e.short}"]
    springs = springs_of(row.item.step.springs, e.apparatus, repertoire)
    if springs and (row.new_springs or row.moved or row.item.n == 1):
        said.append(f"springs {springs}")
    return ", ".join((*said, *_to_do(row, repertoire)))


def _to_do(row: SheetRow, repertoire: Repertoire) -> list[str]:
    """What is done before it can begin, beside the springs."""
    e = row.item.step.exercise
    said = [f"to the {repertoire.apparatus[e.apparatus].name}"] if row.moved else []
    said += [e.position.value] if row.new_position else []
    said += [f"set {part} {state}" for part, state in row.rig]
    return said + list(e.props)


def _here(needs: Sequence[Need], n: int) -> str:
    return next((need_words(need)[1] for need in needs if n in need.places), "")


def _runs(places: Sequence[int]) -> list[str]:
    """ "4", "6 to 14": what follows one upon the other is said together."""
    runs: list[list[int]] = []
    for n in sorted(places):
        if runs and n == runs[-1][-1] + 1:
            runs[-1].append(n)
        else:
            runs.append([n])
    return [f"{run[0]} to {run[-1]}" if len(run) > 1 else str(run[0]) for run in runs]
