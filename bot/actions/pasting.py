"""Read a class written elsewhere: line by line, asking about what is not recognised."""

from typing import Any

from bot.commands import Paste, PasteLine
from bot.desk import Desk
from bot.errors import NoMatchError
from bot.kept_plan import keep, shown
from bot.logbook import own_pace
from bot.reply import Button, Part, Reply
from bot.room import room_of
from bot.wording import changes, pasting
from core.apparatus import ApparatusId
from core.brief import LONGEST, SHORTEST, ClassBrief
from core.exercise import Exercise, Phase
from core.paste import Kind, Line, read
from core.pasted import Chosen, steps
from core.plan import Search
from core.planner.finish import checked
from core.planner.request import Request

LEFT_OUT = "-"
MOST_LINES = 60


def paste(command: Paste, desk: Desk) -> Reply:
    """The class read, or the first line that was not recognised."""
    habits = desk.instructor.habits
    near = command.brief.apparatus or habits.apparatus or tuple(desk.repertoire.apparatus)[:1]
    talk: dict[str, Any] = {
        "paste": {
            "apparatus": list(near),
            "minutes": command.brief.minutes,
            "group": command.brief.group,
            "lines": list(command.lines[:MOST_LINES]),
            "beyond": max(0, len(command.lines) - MOST_LINES),
            "said": {},
        }
    }
    return _go_on(talk, desk)


def answer(command: PasteLine, desk: Desk) -> Reply:
    """One line explained or left out; then the next, or the class."""
    talk = desk.store.talk(desk.chat)
    if "paste" not in talk or not 0 <= command.line < len(talk["paste"]["lines"]):
        return Reply((Part(pasting.NO_LINE),), data={"error": "NothingPasted"})
    said = command.typed
    if said != LEFT_OUT:
        found = desk.context.names.find(said, _near(talk))
        if not found.sure:
            raise NoMatchError(said)
        said = found.sure.id
    talk["paste"]["said"][str(command.line)] = said
    return _go_on(talk, desk)


def _go_on(talk: dict[str, Any], desk: Desk) -> Reply:
    form = talk["paste"]
    chosen: list[Chosen] = []
    aside: list[str] = []
    phase: Phase | None = None
    heading = ""
    for n, text in enumerate(form["lines"]):
        said = form["said"].get(str(n))
        line = read(text, desk.context.names, desk.repertoire.apparatus, _near(talk), heading)
        if said == LEFT_OUT:
            aside.append(line.text)
        elif said:
            chosen.append(Chosen(desk.repertoire[said], line, phase))
        elif line.kind is Kind.HEADING:
            phase, heading = line.phase or phase, line.name
            aside += [] if line.phase else [line.text]
        elif line.kind is Kind.ASIDE:
            aside.append(line.text)
        elif line.kind is Kind.EXERCISE and line.found.sure and _is_here(line, _near(talk)):
            chosen.append(Chosen(line.found.sure, line, phase))
        elif line.kind is Kind.EXERCISE:
            desk.store.set_talk(desk.chat, {**desk.store.talk(desk.chat), **talk})
            return _which(n, line, len(form["lines"]), _near(talk))
    talk = desk.store.talk(desk.chat)
    talk.pop("paste", None)
    desk.store.set_talk(desk.chat, talk)
    if not chosen:
        return Reply((Part(pasting.NOTHING),), data={"error": "NothingPasted"})
    return _class(chosen, aside, form, desk)


def _class(chosen: list[Chosen], aside: list[str], form: dict[str, Any], desk: Desk) -> Reply:
    """Her class, timed, checked and flagged; it can be edited like any other."""
    used = tuple(dict.fromkeys(each.exercise.apparatus for each in chosen))
    made = steps(chosen, desk.repertoire.apparatus)
    brief = ClassBrief(
        minutes=form["minutes"] or SHORTEST,
        apparatus=used,
        level=max(each.exercise.level for each in chosen),
        group=form["group"],
    )
    room = room_of(brief, desk)
    plan = checked(
        Request(brief, desk.repertoire, room=room, pace=own_pace(desk)), made, Search(0, 0, 0, 0)
    )
    if form["minutes"] is None:
        whole = min(LONGEST, max(SHORTEST, -(-plan.total_s // 60)))
        brief = ClassBrief(whole, used, brief.level, group=form["group"])
        plan = checked(
            Request(brief, desk.repertoire, room=room, pace=own_pace(desk)),
            made,
            Search(0, 0, 0, 0),
        )
    said = pasting.read_as(chosen, desk.repertoire, aside, form["beyond"])
    return shown(
        keep(plan, desk), desk, [*said, *changes.worth_a_look(plan.findings, desk.repertoire)]
    )


def _which(n: int, line: Line, count: int, near: list[ApparatusId]) -> Reply:
    """The question about a line; what is on the apparatus of the class is offered first."""
    offered: list[Exercise] = [match.exercise for match in line.found.matches]
    offered.sort(key=lambda e: e.apparatus not in near)
    rows = [(Button(e.name, f"line {n + 1} is {e.name}"),) for e in offered]
    rows.append((Button(pasting.LEAVE_OUT, f"line {n + 1} is {LEFT_OUT}"),))
    return Reply(
        (Part(pasting.which(n + 1, count, line.text)),),
        tuple(rows),
        data={
            "line": n + 1,
            "typed": line.text,
            "candidates": [{"exercise": e.id, "name": e.name} for e in offered],
        },
    )


def _is_here(line: Line, near: list[ApparatusId]) -> bool:
    """Whether what was found is on the class's apparatus, or nothing like it is."""
    sure = line.found.sure
    others = [match.exercise.apparatus for match in line.found.matches]
    return sure is not None and (sure.apparatus in near or not any(a in near for a in others))


def _near(talk: dict[str, Any]) -> list[ApparatusId]:
    return [ApparatusId(a) for a in talk["paste"]["apparatus"]]
