"""What was asked, completed from habit; or what is still missing; or why it can't be had."""

from dataclasses import replace

from bot import open_question
from bot.commands import MakePlan
from bot.desk import Desk
from bot.errors import UnclearDateError
from bot.reply import Button, Part, Reply
from bot.room import people_of
from bot.wording import asking
from bot.wording.diary import WHICH_TIME
from bot.wording.findings import note
from bot.wording.phrases import listed, wrapped
from core.apparatus import ApparatusId
from core.brief import MOST_PEOPLE, USUAL_PEOPLE, ClassBrief
from core.fold import fold
from core.planner.request import NoPlan


def brief_of(command: MakePlan, desk: Desk) -> tuple[ClassBrief, list[str]] | Reply:
    """The brief and what is to be said of how it was read; or the first question left.

    Raises:
        UnclearDateError: a day without a time of day.
    """
    if command.day:
        raise UnclearDateError(command.line, WHICH_TIME)
    habits = desk.instructor.habits
    minutes = command.minutes or habits.minutes
    apparatus = command.apparatus or habits.apparatus
    if not minutes or not apparatus:
        return _ask(command, desk, minutes=not minutes)
    said = [asking.READ_AS.format(typed=t, meaning=m) for t, m in command.read_as]
    said += _from_habit(command, minutes, desk)
    said += _learned(minutes, apparatus, desk)
    people = people_of(command.group, desk)
    brief = ClassBrief(
        minutes=minutes,
        apparatus=apparatus,
        level=command.level,
        focus=command.focus,
        without=command.without,
        must=command.must,
        people=command.people or min(len(people), MOST_PEOPLE) or USUAL_PEOPLE,
        group=command.group,
        starts=command.starts,
    )
    if brief.group and not people:
        known = {fold(name) for name in desk.store.groups()}
        words = asking.KNOWN_GROUP if fold(brief.group) in known else asking.NEW_GROUP
        said.append(words.format(group=brief.group))
    return brief, said


def ask_minutes(line: str, desk: Desk) -> Reply:
    """How long a class is that goes into the diary, with buttons that complete the line."""
    open_question.ask(line, "class", desk)
    row = tuple(Button(str(m), f"{line} {m}") for m in asking.MINUTES)
    return Reply((Part(asking.HOW_LONG),), (row,), data={"missing": "minutes"})


def no_plan(result: NoPlan, desk: Desk, ways: tuple[Button, ...] = ()) -> Reply:
    """Why there is no plan in so many words; `ways` are wishes to give up that would help."""
    lead = asking.NO_PLAN_PROVEN if result.proven else asking.NO_PLAN_FOUND
    causes = [note(f, desk.repertoire) for f in result.findings]
    after = asking.GIVE_UP if ways else asking.TRY_WITHOUT
    return Reply(
        (Part(wrapped(" ".join([lead, *causes]))), Part(wrapped(after))),
        rows=tuple((way,) for way in ways),
        data={
            "plan": None,
            "proven": result.proven,
            "findings": [
                {"rule": f.rule, "facts": list(f.facts), "place": f.place} for f in result.findings
            ],
        },
    )


def _ask(command: MakePlan, desk: Desk, *, minutes: bool) -> Reply:
    """The first thing that is missing, with buttons that complete the line."""
    open_question.ask(command.line, "plan", desk)
    says = command.line.casefold()
    line = command.line if says.startswith(("plan", "series")) else f"plan {command.line}"
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
        usual = desk.instructor.habits.apparatus
        taken.append(" and ".join(desk.repertoire.apparatus[a].name for a in usual))
    return [asking.AS_USUAL.format(what=listed(taken))] if taken else []


def _learned(minutes: int, apparatus: tuple[ApparatusId, ...], desk: Desk) -> list[str]:
    """Keep an answered question as the habit for next time."""
    habits = desk.instructor.habits
    if not open_question.is_about("plan", desk):
        return []
    kept = replace(
        habits,
        minutes=habits.minutes or minutes,
        apparatus=habits.apparatus or apparatus,
    )
    if kept == habits:
        return []
    desk.store.set_habits(kept)
    new = [] if habits.minutes else [f"{minutes} min"]
    new += [] if habits.apparatus else [listed(list(apparatus))]
    return [asking.REMEMBERED.format(what=listed(new))]
