"""A command -> the reply of its action."""

from dataclasses import replace

from bot.about_classes import act_on_log
from bot.about_diary import act_on_diary
from bot.about_people import act_on_people
from bot.actions import (
    apparatus,
    editing,
    handover,
    helping,
    lookup,
    own,
    pasting,
    planning,
    series,
    setting,
    sheets,
    shelf,
    teaching,
)
from bot.commands import (
    AddCue,
    AddExercise,
    Another,
    Command,
    Compare,
    DescribeApparatus,
    DiaryCommand,
    Early,
    EditPlan,
    Find,
    ForgetApparatus,
    Handover,
    Hello,
    Help,
    HouseCommand,
    ListClasses,
    LogCommand,
    LookUp,
    MakePlan,
    MakeSeries,
    Measure,
    OpenClass,
    OwnExercises,
    Paste,
    PasteLine,
    PeopleCommand,
    Refit,
    RetireClass,
    RetireExercise,
    SameAs,
    SaveClass,
    SendSheet,
    SetDates,
    SetField,
    SetHabit,
    SetZone,
    Show,
    ShowApparatus,
    ShowLadder,
    ShowSprings,
    SwapIdeas,
    Teach,
    Undo,
    Why,
)
from bot.desk import Desk
from bot.kept_plan import has_plans
from bot.reply import Part, Reply
from bot.wording import asking


def act(command: Command, desk: Desk) -> Reply:
    """The reply of the action a command names.

    Raises:
        TypeError: it concerns the house, and no action does that.
    """
    if isinstance(command, PeopleCommand):
        return act_on_people(command, desk)
    if isinstance(command, DiaryCommand):
        return act_on_diary(command, desk)
    if isinstance(command, LogCommand):
        return act_on_log(command, desk)
    if isinstance(command, HouseCommand):
        raise TypeError(command)
    match command:
        case MakePlan():
            return planning.make_plan(command, desk)
        case Another():
            return planning.another(command, desk)
        case Show():
            return planning.show(command, desk)
        case Why():
            return planning.why(command, desk)
        case Refit():
            return editing.refit(command, desk)
        case EditPlan():
            lost = teaching.late_minutes(command, desk)
            return teaching.late(lost, desk) if lost else editing.edit(command, desk)
        case Undo():
            return editing.undo(command, desk)
        case SaveClass():
            return shelf.save(command, desk)
        case OpenClass():
            return shelf.open_class(command, desk)
        case RetireClass():
            return shelf.retire(command, desk)
        case ListClasses():
            return shelf.list_classes(command, desk)
        case Compare():
            return shelf.compare(command, desk)
        case MakeSeries():
            return series.make(command, desk)
        case Paste():
            return pasting.paste(command, desk)
        case PasteLine():
            return pasting.answer(command, desk)
        case LookUp():
            return lookup.look_up(command, desk)
        case Find():
            return lookup.find(command, desk)
        case ShowLadder():
            return lookup.show_ladder(command, desk)
        case SwapIdeas():
            return lookup.swap_ideas(command, desk)
        case AddExercise():
            return own.add(command, desk)
        case SetField():
            return own.set_field(command, desk)
        case RetireExercise():
            return own.retire(command, desk)
        case AddCue():
            return own.add_cue(command, desk)
        case OwnExercises():
            return own.own(command, desk)
        case ShowApparatus():
            return apparatus.show(command, desk)
        case DescribeApparatus():
            return apparatus.describe(command, desk)
        case ForgetApparatus():
            return apparatus.forget(command, desk)
        case Measure():
            return apparatus.measure(command, desk)
        case SameAs():
            return apparatus.same_as(command, desk)
        case ShowSprings():
            return apparatus.show_springs(command, desk)
        case SendSheet():
            return sheets.send(command, desk)
        case Handover():
            return handover.hand_over(command, desk)
        case Teach():
            return teaching.teach(command, desk)
        case Early():
            return teaching.early(command, desk)
        case Help():
            return helping.help_on(command, desk)
        case Hello():
            return setting.hello(command, desk)
        case SetZone():
            return setting.set_zone(command, desk)
        case SetDates():
            return setting.set_dates(command, desk)
        case SetHabit():
            return _and_first_class(setting.set_habit(command, desk), command, desk)


def _and_first_class(reply: Reply, command: SetHabit, desk: Desk) -> Reply:
    """After the third tap of first contact, a first class follows at once."""
    instructor = desk.store.instructor()
    complete = instructor.habits.minutes and instructor.habits.apparatus
    if not (command.minutes and complete) or has_plans(desk):
        return reply
    plan = planning.make_plan(MakePlan(line="plan"), replace(desk, instructor=instructor))
    return replace(plan, parts=(Part(asking.READY), *plan.parts))
