"""Commands about the diary and reminders -> their actions."""

from bot.actions import calendars, changing, diary, reminding, rhythm
from bot.commands import (
    AddClass,
    AskLater,
    CancelClass,
    DiaryCommand,
    Done,
    GoAway,
    ImportCalendar,
    Later,
    ListAway,
    ListDiary,
    ListReminders,
    MoveClass,
    Pause,
    Remind,
    Resume,
    SendCalendar,
    SetDigest,
    SetLead,
    SetQuiet,
    ShowDigest,
    ShowRhythm,
    ShowWeek,
)
from bot.desk import Desk
from bot.reply import Reply


def act_on_diary(command: DiaryCommand, desk: Desk) -> Reply:
    """The reply of the action a command names."""
    match command:
        case AddClass():
            return diary.add(command, desk)
        case ListDiary():
            return diary.list_diary(command, desk)
        case ShowWeek():
            return diary.show_week(command, desk)
        case CancelClass():
            return changing.cancel(command, desk)
        case MoveClass():
            return changing.move(command, desk)
        case GoAway():
            return changing.go_away(command, desk)
        case ListAway():
            return changing.list_away(command, desk)
        case Remind():
            return reminding.remind(command, desk)
        case AskLater():
            return reminding.ask_later(command, desk)
        case ListReminders():
            return reminding.list_reminders(command, desk)
        case Done():
            return reminding.done(command, desk)
        case Later():
            return reminding.later(command, desk)
        case Pause():
            return reminding.pause(command, desk)
        case Resume():
            return reminding.resume(command, desk)
        case SetDigest():
            return rhythm.set_digest(command, desk)
        case ShowDigest():
            return rhythm.show_digest(command, desk)
        case SetLead():
            return rhythm.set_lead(command, desk)
        case SetQuiet():
            return rhythm.set_quiet(command, desk)
        case SendCalendar():
            return calendars.send(command, desk)
        case ImportCalendar():
            return calendars.take_in(command, desk)
        case ShowRhythm():
            return rhythm.show_rhythm(command, desk)
