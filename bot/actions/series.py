"""A class a week for several weeks."""

from bot.asked import brief_of, no_plan
from bot.commands import MakeSeries
from bot.desk import Desk
from bot.kept_plan import turn_to
from bot.logbook import own_pace, own_taste
from bot.reply import Button, Part, Reply
from bot.room import room_of
from bot.wording import comparing
from core.codec import plan_to_json
from core.plan import ClassPlan
from core.planner.request import NoPlan, Request
from core.series import weeks


def make(command: MakeSeries, desk: Desk) -> Reply:
    """All the weeks, or the reason why one of them can't be planned and none kept."""
    asked = brief_of(command.brief, desk)
    if isinstance(asked, Reply):
        return asked
    brief, said = asked
    plans: list[ClassPlan] = []
    request = Request(
        brief,
        desk.repertoire,
        room=room_of(brief, desk),
        pace=own_pace(desk),
        taste=own_taste(desk),
        budget=desk.budget,
    )
    for result in weeks(request, command.weeks):
        if isinstance(result, NoPlan):
            return no_plan(result, desk)
        plans.append(result)
    saved = [desk.store.add_plan(plan, desk.repertoire, desk.now) for plan in plans]
    turn_to(saved[0], desk)
    return Reply(
        tuple(Part(text) for text in comparing.weeks([s.plan for s in saved], said)),
        tuple(
            (Button(comparing.WEEK.format(week=week), f"show #{each.number}"),)
            for week, each in enumerate(saved, 1)
        ),
        data={"series": [plan_to_json(s.plan, desk.repertoire, s.number) for s in saved]},
    )
