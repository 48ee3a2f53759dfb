"""Read a class written elsewhere: line by line, asking about what is not recognised."""

from typing import Any

from bot.commands import Paste, PasteLine
from bot.desk import Desk
from bot.errors import NoMatchError
from bot.kept_plan import keep, shown
from bot.reply import Button, Part, Reply
from bot.wording import pasting
from core.apparatus import ApparatusId
from core.brief import LONGEST, SHORTEST, ClassBrief
from core.exercise import Exercise
from core.paste import Line, outside, read, steps
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
            "said": {},
        }
    }
    return _go_on(talk, desk)


def answer(command: PasteLine, desk: Desk) -> Reply:
    """One line explained or left out; then the next, or the class."""
    talk = desk.store.talk(desk.chat)
    if "paste" not in talk:
        raise NoMatchError(command.typed)
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
    chosen: list[tuple[Exercise, Line]] = []
    for n, text in enumerate(form["lines"]):
        line = read(text, desk.context.names, desk.repertoire.apparatus, _near(talk))
        said = form["said"].get(str(n))
        if said == LEFT_OUT or (not line.name and line.reps is None):
            continue
        e = desk.repertoire[said] if said else line.found.sure
        if e is None:
            desk.store.set_talk(desk.chat, {**desk.store.talk(desk.chat), **talk})
            return _which(n, line, len(form["lines"]))
        chosen.append((e, line))
    talk = desk.store.talk(desk.chat)
    talk.pop("paste", None)
    desk.store.set_talk(desk.chat, talk)
    if not chosen:
        return Reply((Part(pasting.NOTHING),), data={"error": "NothingPasted"})
    return _class(chosen, form, desk)


def _class(chosen: list[tuple[Exercise, Line]], form: dict[str, Any], desk: Desk) -> Reply:
    """Her class, timed, checked and flagged; it can be edited like any other."""
    used = tuple(dict.fromkeys(e.apparatus for e, _ in chosen))
    made = steps(chosen, desk.repertoire.apparatus)
    brief = ClassBrief(
        minutes=form["minutes"] or SHORTEST,
        apparatus=used,
        level=max(e.level for e, _ in chosen),
        group=form["group"],
    )
    request = Request(brief, desk.repertoire)
    plan = checked(request, made, Search(0, 0, 0, 0))
    if form["minutes"] is None:
        whole = min(LONGEST, max(SHORTEST, -(-plan.total_s // 60)))
        brief = ClassBrief(whole, used, brief.level, group=form["group"])
        plan = checked(Request(brief, desk.repertoire), made, Search(0, 0, 0, 0))
    said = [pasting.READ.format(count=len(chosen))]
    said += [
        pasting.OUTSIDE.format(name=desk.repertoire[e].short, reps=reps)
        for e, reps in outside(chosen)
    ]
    said += pasting.flags(plan, desk.repertoire)
    return shown(keep(plan, desk), desk, said)


def _which(n: int, line: Line, count: int) -> Reply:
    rows = [
        (Button(m.exercise.name, f"line {n + 1} is {m.exercise.name}"),) for m in line.found.matches
    ]
    rows.append((Button(pasting.LEAVE_OUT, f"line {n + 1} is {LEFT_OUT}"),))
    return Reply(
        (Part(pasting.which(n + 1, count, line.text)),),
        tuple(rows),
        data={
            "line": n + 1,
            "typed": line.text,
            "candidates": [
                {"exercise": m.exercise.id, "name": m.exercise.name} for m in line.found.matches
            ],
        },
    )


def _near(talk: dict[str, Any]) -> list[ApparatusId]:
    return [ApparatusId(a) for a in talk["paste"]["apparatus"]]
