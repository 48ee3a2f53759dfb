"""A plan as a person reads it on a phone: one line an exercise, then what it adds up to."""

from collections.abc import Iterable
from datetime import datetime

from bot.reply import Part
from bot.wording.findings import note
from bot.wording.phrases import WIDTH, clock, count, level_name, listed, moment, wrapped
from core.apparatus import Apparatus
from core.brief import USUAL_PEOPLE, ClassBrief
from core.caution import Kind
from core.exercise import Direction
from core.plan import ClassPlan, Item, Weight
from core.repertoire import Repertoire
from core.room import Room
from core.summary import Summary

HEALTH = (
    "Health questions belong to the client's clinician; your licence and local rules come first."
)
MOST = WIDTH + 2  # characters of a line that has to be longer
KEY = "8×2: 8 each side. 2·8: two sets of 8."
SHORT_DIRECTIONS = {
    Direction.FLEXION: "flexion",
    Direction.EXTENSION: "extension",
    Direction.LATERAL: "side",
    Direction.ROTATION: "rotation",
}
HELD = "\N{NO-BREAK SPACE}"


def title(brief: ClassBrief, repertoire: Repertoire, now: datetime | None = None) -> str:
    """What the plan is for, in a line or two; the year is said where it is not this one."""
    on = " and ".join(repertoire.apparatus[a].name for a in brief.apparatus)
    words = [f"{brief.minutes} min {on}", level_name(brief.level)]
    if brief.people != USUAL_PEOPLE:
        words.append("private" if brief.people == 1 else f"{brief.people} people")
    if brief.focus:
        words.append("focus " + listed([aim.name for aim in brief.focus]))
    if brief.without:
        words.append("no " + listed([bar.name for bar in brief.without], "or"))
    if brief.must:
        words.append("with " + listed([repertoire[m].name for m in brief.must]))
    if brief.group:
        words.append(f"for {brief.group}")
    if brief.starts:
        words.append(moment(brief.starts, now))
    return wrapped(", ".join(words))


def table(plan: ClassPlan, repertoire: Repertoire) -> str:
    """Every exercise on its line under the name of its phase."""
    lines: list[str] = []
    for phase, items in plan.sections():
        seconds = sum(i.transition_s + i.setup_s + i.duration_s for i in items)
        lines.append(f"{phase.value.upper()} · {round(seconds / 60)} min")
        lines += [line(item, repertoire.apparatus[item.step.exercise.apparatus]) for item in items]
    return "\n".join(lines)


def line(item: Item, on: Apparatus) -> str:
    """Number, clock, name, springs and repetitions in at most about 36 characters."""
    e = item.step.exercise
    springs = on.brief(item.step.springs) or ("–" if on.springs else "")
    done = reps(item)
    head = f"{item.n:>2} {clock(item.start_s):>5} "
    tail = f"{springs} {done:>4}"
    room = MOST - len(head) - 1 - len(tail)
    name = e.short if len(e.short) <= room else f"{e.short[: room - 1]}…"
    return f"{head}{name} {tail:>{max(0, WIDTH - 1 - len(head) - len(name))}}"


def reps(item: Item) -> str:
    """ "8", "8×2" for both sides, "2·8×2" for two sets of both sides."""
    step = item.step
    sets = f"{step.sets}·" if step.sets > 1 else ""
    sides = f"×{step.exercise.sides}" if step.exercise.sides > 1 else ""
    return f"{sets}{step.reps}{sides}"


def totals(plan: ClassPlan) -> str:
    """The planned end against the slot, the changes, the directions of the spine."""
    s = Summary.of(plan)
    changes = [
        count(s.spring_changes, "spring change"),
        count(s.position_changes, "position change"),
    ]
    if s.apparatus_changes:
        changes.append(count(s.apparatus_changes, "apparatus change"))
    # A word and its number stay on one line.
    spine = ", ".join(
        f"{SHORT_DIRECTIONS[d]} {n}".replace(" ", HELD) for d, n in s.directions.items()
    )
    return "\n".join(
        wrapped(text, "  ").replace(HELD, " ")
        for text in (
            f"Ends {clock(plan.total_s)} of {clock(plan.brief.slot_s)}",
            ", ".join(changes),
            f"Spine: {spine}",
        )
    )


def remarks(plan: ClassPlan, repertoire: Repertoire, said: Iterable[str] = ()) -> str:
    """What could not be honoured and what was understood, each a sentence."""
    notes = [note(f, repertoire) for f in plan.findings if f.weight is Weight.NOTE]
    return "\n".join(wrapped(text) for text in (*said, *notes))


def parts(
    plan: ClassPlan,
    repertoire: Repertoire,
    said: Iterable[str] = (),
    now: datetime | None = None,
) -> tuple[Part, ...]:
    """The whole reply for a plan."""
    after = remarks(plan, repertoire, said)
    return (
        Part(title(plan.brief, repertoire, now)),
        Part(table(plan, repertoire), table=True),
        Part(totals(plan)),
        *((Part(after),) if after else ()),
        Part(wrapped(f"{KEY} {HEALTH}")),
    )


def needed(plan: ClassPlan, room: Room) -> str:
    """Who needs something else at which places; empty when nobody does."""
    at: dict[str, list[str]] = {}
    for item in plan.items:
        for client, verdict in zip(room.people, room.verdicts(item.step.exercise), strict=True):
            if verdict.kind is not Kind.FINE:
                at.setdefault(client.name, []).append(str(item.n))
    if not at:
        return ""
    who = [f"{name} at {listed(places)}" for name, places in at.items()]
    return f"Changes for {'; '.join(who)}: say mods."
