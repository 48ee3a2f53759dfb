"""Make a plan, another one, show it, explain it."""

from collections.abc import Iterator
from dataclasses import replace

from bot.asked import brief_of, no_plan
from bot.commands import Another, MakePlan, Show, Why
from bot.desk import Desk
from bot.grammar.spell import spell
from bot.kept_plan import keep, must_have, saved_plan, shown, turn_to
from bot.logbook import own_pace, own_taste
from bot.next_class import completed
from bot.reply import Button, Reply
from bot.room import room_of
from bot.wording import asking, exercises, reasons
from core.codec import StaleError, plan_to_json
from core.exercise import ExerciseId
from core.plan import ClassPlan
from core.planner.compose import compose
from core.planner.relax import ways_out
from core.planner.request import NoPlan, Request
from core.saved import SavedPlan
from core.summary import Summary, place_of


def make_plan(command: MakePlan, desk: Desk) -> Reply:
    """A plan for what was asked, or the question about what is missing."""
    command, known = completed(command, desk)
    asked = brief_of(command, desk)
    if isinstance(asked, Reply):
        return asked
    brief, said = asked[0], [*known, *asked[1]]
    last = _latest(desk, brief.group) if brief.group else None
    recent = _ids(last.plan) if last else frozenset[ExerciseId]()
    room = room_of(brief, desk)
    request = Request(
        brief,
        desk.repertoire,
        recent=recent,
        room=room,
        pace=own_pace(desk),
        taste=own_taste(desk),
    )
    return _planned(request, desk, said)


def another(command: Another, desk: Desk) -> Reply:
    """The same brief again, away from what its last plans had."""
    saved = saved_plan(command.plan, desk)
    turn, recent = 1, _ids(saved.plan)
    for later in _after(saved.number, desk):
        if later.brief == saved.plan.brief:
            turn, recent = turn + 1, recent | _ids(later)
    brief = saved.plan.brief
    room = room_of(brief, desk)
    request = Request(
        brief, desk.repertoire, turn, recent, room, own_pace(desk), taste=own_taste(desk)
    )
    return _planned(request, desk, [])


def show(command: Show, desk: Desk) -> Reply:
    """The plan again, or one place of it in full."""
    saved = saved_plan(command.plan, desk)
    if command.place is None:
        if desk.store.talk(desk.chat).get("plan") != saved.number:
            turn_to(saved, desk)  # what she sees is what her next words are about
        return shown(saved, desk, [])
    must_have(command.place, saved.plan)
    item = saved.plan.items[command.place - 1]
    form = plan_to_json(saved.plan, desk.repertoire, saved.number)
    places = [place for section in form["sections"] for place in section["items"]]
    said = desk.store.remarks(item.step.exercise.id)
    return Reply(
        exercises.at_place(item, desk.repertoire, said),
        rows=_around(command.place, saved),
        data={"plan_id": saved.number, "item": places[command.place - 1]},
    )


def why(command: Why, desk: Desk) -> Reply:
    """The reasons for the plan, or for one place of it."""
    saved = saved_plan(command.plan, desk)
    if command.place is None:
        s = Summary.of(saved.plan)
        return Reply(
            reasons.of_plan(saved.plan, desk.repertoire),
            rows=((Button(asking.SHOW, f"show #{saved.number}"),),),
            data={
                "plan_id": saved.number,
                "why": {
                    "spring_changes": s.spring_changes,
                    "position_changes": s.position_changes,
                    "rig_changes": s.rig_changes,
                    "apparatus_changes": s.apparatus_changes,
                    "directions": {d.value: n for d, n in s.directions.items()},
                    "minutes": {p.value: round(m, 1) for p, m in s.minutes.items()},
                    "focus_s": dict(s.focus),
                    "hardest": s.hardest.n,
                },
            },
        )
    must_have(command.place, saved.plan)
    place = place_of(saved.plan, command.place, desk.repertoire)
    return Reply(
        reasons.of_place(place),
        rows=_around(command.place, saved),
        data={
            "plan_id": saved.number,
            "why": {
                "n": command.place,
                "exercise": place.item.step.exercise.id,
                "serves": [aim.name for aim in place.serves],
                "only": [d.value for d in place.only],
                "prepared_by": place.prepared_by.n if place.prepared_by else None,
                "instead": place.instead.id if place.instead else None,
                "loses": list(place.loses),
            },
        },
    )


def _planned(request: Request, desk: Desk, said: list[str]) -> Reply:
    began = desk.elapsed_ms()
    asked = replace(request, budget=desk.budget)
    result = compose(asked)
    if isinstance(result, NoPlan):
        ways = [
            Button(asking.WITHOUT.format(what=way.given_up), spell(way.brief, desk.repertoire))
            for way in ways_out(asked)
        ]
        return no_plan(result, desk, tuple(ways))
    took = round(desk.elapsed_ms() - began)
    plan = replace(result, search=replace(result.search, elapsed_ms=took))
    return shown(keep(plan, desk), desk, said)


def _around(place: int, saved: SavedPlan) -> tuple[tuple[Button, ...], ...]:
    """Buttons to change this place, to the places around it, and back to the whole class."""
    row = [
        Button(f"{n}. {saved.plan.items[n - 1].step.exercise.short}", f"show {n} #{saved.number}")
        for n in (place - 1, place + 1)
        if 1 <= n <= len(saved.plan.items)
    ]
    verbs = ("easier", "harder", "swap", "drop", "keep")
    change = tuple(Button(verb, f"{verb} {place} #{saved.number}") for verb in verbs)
    return (change, tuple(row), (Button(asking.SHOW, f"show #{saved.number}"),))


def _latest(desk: Desk, group: str) -> SavedPlan | None:
    try:
        return desk.store.latest_plan(desk.repertoire, group)
    except StaleError:
        return None


def _ids(plan: ClassPlan) -> frozenset[ExerciseId]:
    return frozenset(item.step.exercise.id for item in plan.items)


def _after(number: int, desk: Desk) -> Iterator[ClassPlan]:
    """Every plan kept later than this one that still opens."""
    while True:
        number += 1
        try:
            saved = desk.store.plan(number, desk.repertoire)
        except StaleError:
            continue
        if saved is None:
            return
        yield saved.plan
