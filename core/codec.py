"""Plans and briefs <-> plain JSON values. The plan's form is the public contract of `data.plan`.

Times are whole seconds. A form once given out stays: fields may be added, never renamed.
"""

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from core.apparatus import ApparatusId
from core.brief import Aim, Bar, ClassBrief
from core.caution import Verdict
from core.errors import CoreError, SpringError
from core.exercise import (
    Demand,
    Direction,
    Exercise,
    ExerciseId,
    Level,
    Load,
    Muscle,
    Phase,
    Position,
    Theme,
)
from core.plan import ClassPlan, Finding, Item, Pin, Search, Step, Weight
from core.repertoire import Repertoire
from core.room import Room

Json = Mapping[str, Any]


class StaleError(CoreError):
    """A stored plan names something the library no longer has."""


def plan_to_json(
    plan: ClassPlan, repertoire: Repertoire, plan_id: int = 0, room: Room | None = None
) -> dict[str, Any]:
    """The public form of a plan; with a room, what each of its people does instead."""
    return {
        "id": plan_id,
        "slot_s": plan.brief.slot_s,
        "total_s": plan.total_s,
        "opening_s": plan.opening_s,
        "closing_s": plan.closing_s,
        "brief": brief_to_json(plan.brief),
        "sections": [
            {"phase": phase.value, "items": [_item(item, repertoire, room) for item in items]}
            for phase, items in plan.sections()
        ],
        "findings": [
            {
                "rule": f.rule,
                "weight": f.weight.value,
                "facts": list(f.facts),
                "place": f.place,
            }
            for f in plan.findings
        ],
        "search": {
            "seed": plan.search.seed,
            "iterations": plan.search.iterations,
            "objective": plan.search.objective,
            "elapsed_ms": plan.search.elapsed_ms,
        },
    }


def plan_from_json(form: Json, repertoire: Repertoire) -> ClassPlan:
    """The plan whose public form this is.

    Raises:
        StaleError: an exercise in it is no longer known, or its springs are no longer there.
    """
    brief = brief_from_json(form["brief"])
    items = tuple(
        _item_from(item, Phase(section["phase"]), repertoire)
        for section in form["sections"]
        for item in section["items"]
    )
    return ClassPlan(
        brief=brief,
        items=items,
        opening_s=form["opening_s"],
        closing_s=form["closing_s"],
        findings=tuple(
            Finding(f["rule"], Weight(f["weight"]), tuple(f["facts"]), f["place"])
            for f in form["findings"]
        ),
        search=Search(**form["search"]),
    )


def brief_to_json(brief: ClassBrief) -> dict[str, Any]:
    """The public form of a brief; a level of null is a mixed group."""
    return {
        "minutes": brief.minutes,
        "apparatus": list(brief.apparatus),
        "level": int(brief.level) if brief.level else None,
        "focus": [
            {
                "name": aim.name,
                "themes": sorted(aim.themes),
                "muscles": sorted(aim.muscles),
                "directions": sorted(aim.directions),
            }
            for aim in brief.focus
        ],
        "without": [
            {
                "name": bar.name,
                "demands": sorted(bar.demands),
                "positions": sorted(bar.positions),
                "movements": sorted(bar.movements),
                "themes": sorted(bar.themes),
                "muscles": sorted(bar.muscles),
            }
            for bar in brief.without
        ],
        "must": list(brief.must),
        "dropped": list(brief.dropped),
        "people": brief.people,
        "group": brief.group,
        "starts": brief.starts.isoformat(timespec="minutes") if brief.starts else None,
    }


def brief_from_json(form: Json) -> ClassBrief:
    """The brief whose public form this is."""
    return ClassBrief(
        minutes=form["minutes"],
        apparatus=tuple(ApparatusId(a) for a in form["apparatus"]),
        level=Level(form["level"]) if form["level"] else None,
        focus=tuple(
            Aim(
                a["name"],
                frozenset(map(Theme, a["themes"])),
                frozenset(map(Muscle, a["muscles"])),
                frozenset(map(Direction, a["directions"])),
            )
            for a in form["focus"]
        ),
        without=tuple(
            Bar(
                b["name"],
                frozenset(map(Demand, b["demands"])),
                frozenset(map(Position, b["positions"])),
                frozenset(b["movements"]),
                frozenset(map(Theme, b["themes"])),
                frozenset(map(Muscle, b["muscles"])),
            )
            for b in form["without"]
        ),
        must=tuple(map(ExerciseId, form["must"])),
        dropped=tuple(map(ExerciseId, form.get("dropped", ()))),
        people=form["people"],
        group=form["group"],
        starts=datetime.fromisoformat(form["starts"]) if form["starts"] else None,
    )


def options(e: Exercise, repertoire: Repertoire) -> list[dict[str, Any]]:
    """Ways to make it easier or harder: other springs, another rung of the ladder.

    `lighter` says whether the springs get lighter: in assisted work lighter is harder.
    """
    found: list[dict[str, Any]] = []
    rungs = (("easier", e.easier), ("harder", e.harder))
    for kind, rung in rungs:
        if e.springs and e.load is not Load.STABILISE:
            setting = e.springs.easier if kind == "easier" else e.springs.harder
            if setting != e.springs.usual:
                lighter = (kind == "easier") == (e.load is Load.RESIST)
                found.append({"kind": kind, "springs": str(setting), "lighter": lighter})
        if rung and rung in repertoire.exercises:
            found.append({"kind": kind, "exercise": rung, "name": repertoire[rung].name})
    return found


def verdict_to_json(verdict: Verdict, name: str) -> dict[str, Any]:
    """The public form of what one person does instead of an exercise."""
    change, reasons = verdict.change, verdict.reasons
    return {
        "client": name,
        "exercise": verdict.exercise.id,
        "verdict": verdict.kind.value,
        "modifications": list(change.words) if change else [],
        "swap": verdict.swap.id if verdict.swap else None,
        "reasons": [reason.rule.says for reason in reasons],
        "sources": [source.cite for source in verdict.sources] if reasons else [],
    }


def _item(item: Item, repertoire: Repertoire, room: Room | None) -> dict[str, Any]:
    step = item.step
    e = step.exercise
    return {
        "n": item.n,
        "exercise": e.id,
        "name": e.name,
        "apparatus": e.apparatus,
        "position": e.position.value,
        "level": int(e.level),
        "springs": str(step.springs) if e.springs else None,
        "sides": e.sides,
        "sets": step.sets,
        "reps": step.reps,
        "start_s": item.start_s,
        "transition_s": item.transition_s,
        "setup_s": item.setup_s,
        "duration_s": item.duration_s,
        "directions": sorted(e.directions),
        "demands": sorted(e.demands),
        "options": options(e, repertoire),
        "verdicts": [
            verdict_to_json(verdict, client.name)
            for client, verdict in zip(room.people, room.verdicts(e), strict=True)
        ]
        if room
        else [],
        "pins": sorted(step.pins),
    }


def _item_from(form: Json, phase: Phase, repertoire: Repertoire) -> Item:
    e = repertoire.exercises.get(ExerciseId(form["exercise"]))
    if e is None:
        raise StaleError(f"the library no longer has {form['exercise']}")
    try:
        springs = repertoire.apparatus[e.apparatus].parse(form["springs"] or "none")
    except SpringError as fault:
        raise StaleError(f"{e.name}: {fault}") from fault
    return Item(
        n=form["n"],
        step=Step(
            e,
            phase,
            springs,
            form["reps"],
            form["sets"],
            frozenset(map(Pin, form.get("pins", ()))),
        ),
        start_s=form["start_s"],
        transition_s=form["transition_s"],
        setup_s=form["setup_s"],
        duration_s=form["duration_s"],
    )
