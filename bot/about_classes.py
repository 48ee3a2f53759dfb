"""Commands about taught classes -> their actions."""

from bot.actions import learning, taught
from bot.commands import (
    LastClass,
    LogClass,
    LogCommand,
    NextSteps,
    ResetPace,
    ResetTaste,
    ShowHistory,
    ShowLoad,
    ShowPace,
    ShowTaste,
    UnlogClass,
)
from bot.desk import Desk
from bot.reply import Reply


def act_on_log(command: LogCommand, desk: Desk) -> Reply:
    """The reply of the action a command names."""
    match command:
        case LogClass():
            return taught.log(command, desk)
        case UnlogClass():
            return taught.unlog(command, desk)
        case LastClass():
            return learning.last(command, desk)
        case ShowHistory():
            return learning.history(command, desk)
        case ShowLoad():
            return learning.load(command, desk)
        case ShowPace():
            return learning.pace(command, desk)
        case ResetPace():
            return learning.reset_pace(command, desk)
        case ShowTaste():
            return learning.taste(command, desk)
        case ResetTaste():
            return learning.reset_taste(command, desk)
        case NextSteps():
            return learning.next_for(command, desk)
