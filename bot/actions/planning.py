"""Make a plan, another one, show it, explain it."""

from dataclasses import replace

from bot.actions.desk import Desk
from bot.commands import Another, MakePlan, Show, Why
from bot.errors import NoPlanYetError, NoSuchPlaceError, NoSuchPlanError
from bot.reply import Button, Part, Reply
from bot.wording import asking, exercises, plans, reasons
from bot.wording.findings import note
from bot.wording.phrases import listed, wrapped
from core.brief import USUAL_PEOPLE, ClassBrief
from core.codec import StaleError, plan_to_json
from core.exercise import ExerciseId
from core.fold import fold
from core.instructor import Habits
from core.plan import ClassPlan
from core.planner.compose import compose
from core.planner.request import NoPlan, Request
from core.saved import SavedPlan
from core.summary import Summary, place_of


def make_plan(command: MakePlan, desk: Desk) -> Reply:
    """A plan for what was asked, or the question about what is missing."""
    habits = desk.instructor.habits
    minutes = command.minutes or habits.minutes
    apparatus = command.apparatus or habits.apparatus
    if not minutes or not apparatus:
        return _ask(command, desk, minutes=not minutes)
    said = [asking.READ_AS.format(typed=t, meaning=m) for t, m in command.read_as]
    said += _from_habit(command, minutes, desk)
    said += _learned(minutes, apparatus, desk)
    brief = ClassBrief(
        minutes=minutes,
        apparatus=apparatus,
        level=command.level,
        focus=command.focus,
        without=command.without,
        must=command.must,
        people=command.people or USUAL_PEOPLE,
        group=command.group,
        starts=command.starts,
    )
    if brief.group:
        known = {fold(name) for name in desk.store.groups()}
        words = asking.KNOWN_GROUP if fold(brief.group) in known else asking.NEW_GROUP
        said.append(words.format(group=brief.group))
    last = _latest(desk, brief.group) if brief.group else None
    recent = _ids(last.plan) if last else frozenset[ExerciseId]()
    return _planned(Request(brief, desk.repertoire, recent=recent), desk, said)


def another(command: Another, desk: Desk) -> Reply:
    """The same brief again, away from what its last plans had."""
    saved = _saved(command.plan, desk)
    turn, recent = 1, _ids(saved.plan)
    number = saved.number
    while (latest := desk.store.plan(number + 1, desk.repertoire)) is not None:
        number += 1
        if latest.plan.brief == saved.plan.brief:
            turn, recent = turn + 1, recent | _ids(latest.plan)
    return _planned(Request(saved.plan.brief, desk.repertoire, turn, recent), desk, [])


def show(command: Show, desk: Desk) -> Reply:
    """The plan again, or one place of it in full."""
    saved = _saved(command.plan, desk)
    if command.place is None:
        return _shown(saved, desk, [])
    _must_have(command.place, saved.plan)
    item = saved.plan.items[command.place - 1]
    form = plan_to_json(saved.plan, desk.repertoire, saved.number)
    places = [place for section in form["sections"] for place in section["items"]]
    return Reply(
        exercises.at_place(item, desk.repertoire, desk.store.remarks(item.step.exercise.id)),
        rows=_neighbours(command.place, saved),
        data={"plan_id": saved.number, "item": places[command.place - 1]},
    )


def why(command: Why, desk: Desk) -> Reply:
    """The reasons for the plan, or for one place of it."""
    saved = _saved(command.plan, desk)
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
    _must_have(command.place, saved.plan)
    place = place_of(saved.plan, command.place, desk.repertoire)
    return Reply(
        reasons.of_place(place),
        rows=_neighbours(command.place, saved),
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
    result = compose(request)
    if isinstance(result, NoPlan):
        lead = asking.NO_PLAN_PROVEN if result.proven else asking.NO_PLAN_FOUND
        causes = [note(f, desk.repertoire) for f in result.findings]
        return Reply(
            (Part(wrapped(" ".join([lead, *causes]))), Part(wrapped(asking.TRY_WITHOUT))),
            data={
                "plan": None,
                "proven": result.proven,
                "findings": [
                    {"rule": f.rule, "facts": list(f.facts), "place": f.place}
                    for f in result.findings
                ],
            },
        )
    took = round(desk.elapsed_ms() - began)
    plan = replace(result, search=replace(result.search, elapsed_ms=took))
    saved = desk.store.add_plan(plan, desk.repertoire, desk.now)
    desk.store.set_talk(desk.chat, {"plan": saved.number})
    return _shown(saved, desk, said)


def _shown(saved: SavedPlan, desk: Desk, said: list[str]) -> Reply:
    number = saved.number
    return Reply(
        plans.parts(saved.plan, desk.repertoire, said),
        rows=(
            (Button(asking.ANOTHER, f"another #{number}"), Button(asking.WHY, f"why #{number}")),
        ),
        data={"plan": plan_to_json(saved.plan, desk.repertoire, number), "notes": said},
    )


def _neighbours(place: int, saved: SavedPlan) -> tuple[tuple[Button, ...], ...]:
    """Buttons to the places around this one, and back to the whole class."""
    row = [
        Button(f"{n}. {saved.plan.items[n - 1].step.exercise.short}", f"show {n} #{saved.number}")
        for n in (place - 1, place + 1)
        if 1 <= n <= len(saved.plan.items)
    ]
    return (tuple(row), (Button(asking.SHOW, f"show #{saved.number}"),))


def _ask(command: MakePlan, desk: Desk, *, minutes: bool) -> Reply:
    """The first thing that is missing, with buttons that complete the line."""
    desk.store.set_talk(desk.chat, {"pending": command.line, "asked": "plan"})
    line = command.line if command.line.casefold().startswith("plan") else f"plan {command.line}"
    if minutes:
        answers = [str(m) for m in asking.MINUTES]
        question, missing = asking.HOW_LONG, "minutes"
    else:
        answers = [a.name for a in desk.repertoire.apparatus.values()]
        question, missing = asking.ON_WHAT, "apparatus"
    buttons = [Button(answer, f"{line} {answer}") for answer in answers]
    rows = tuple(tuple(buttons[at : at + 3]) for at in range(0, len(buttons), 3))
    return Reply((Part(question),), rows, data={"missing": missing})


def _from_habit(command: MakePlan, minutes: int, desk: Desk) -> list[str]:
    taken = []
    if not command.minutes:
        taken.append(f"{minutes} min")
    if not command.apparatus:
        taken.append(
            " and ".join(
                desk.repertoire.apparatus[a].name for a in desk.instructor.habits.apparatus
            )
        )
    return [asking.AS_USUAL.format(what=listed(taken))] if taken else []


def _learned(minutes: int, apparatus: tuple[str, ...], desk: Desk) -> list[str]:
    """Keep an answered question as the habit for next time."""
    habits = desk.instructor.habits
    if desk.store.talk(desk.chat).get("asked") != "plan":
        return []
    kept = Habits(
        habits.minutes or minutes,
        habits.apparatus or tuple(desk.repertoire.apparatus[a].id for a in apparatus),  # type: ignore[index] # ids
    )
    if kept == habits:
        return []
    desk.store.set_habits(kept)
    new = [] if habits.minutes else [f"{minutes} min"]
    new += [] if habits.apparatus else [listed(list(apparatus))]
    return [asking.REMEMBERED.format(what=listed(new))]


def _saved(number: int | None, desk: Desk) -> SavedPlan:
    """The plan of this number, or the one this chat is about.

    Raises:
        NoPlanYetError, NoSuchPlanError: there is none.
    """
    wanted = number or desk.store.talk(desk.chat).get("plan")
    try:
        saved = (
            desk.store.plan(wanted, desk.repertoire)
            if wanted
            else desk.store.latest_plan(desk.repertoire)
        )
    except StaleError as fault:
        raise NoSuchPlanError(wanted or 0) from fault
    if saved is None:
        raise NoSuchPlanError(number) if number else NoPlanYetError
    return saved


def _latest(desk: Desk, group: str) -> SavedPlan | None:
    try:
        return desk.store.latest_plan(desk.repertoire, group)
    except StaleError:
        return None


def _ids(plan: ClassPlan) -> frozenset[ExerciseId]:
    return frozenset(item.step.exercise.id for item in plan.items)


def _must_have(place: int, plan: ClassPlan) -> None:
    if not 1 <= place <= len(plan.items):
        raise NoSuchPlaceError(place, len(plan.items))
