"""Commands about people -> their actions."""

from bot.actions import clients, flags, groups, mods, privacy, readiness
from bot.commands import (
    AddClient,
    AddNote,
    AddToGroup,
    Answered,
    ChangeClient,
    Consent,
    DropGroup,
    Erase,
    Export,
    FlagClient,
    LeaveGroup,
    ListClients,
    ListFlags,
    ListGroups,
    LookUpClient,
    Mods,
    PeopleCommand,
    Screen,
    SetRetention,
    ShowGroup,
    ShowRetention,
    Unflag,
)
from bot.desk import Desk
from bot.reply import Reply


def act_on_people(command: PeopleCommand, desk: Desk) -> Reply:
    """The reply of the action a command names."""
    match command:
        case LookUpClient():
            return clients.look_up(command, desk)
        case AddClient():
            return clients.add(command, desk)
        case ChangeClient():
            return clients.change(command, desk)
        case ListClients():
            return clients.list_clients(command, desk)
        case AddNote():
            return clients.note(command, desk)
        case Consent():
            return clients.consent(command, desk)
        case FlagClient():
            return flags.flag(command, desk)
        case ListFlags():
            return flags.list_flags(command, desk)
        case Unflag():
            return flags.unflag(command, desk)
        case Answered():
            return flags.answered(command, desk)
        case ShowGroup():
            return groups.show(command, desk)
        case ListGroups():
            return groups.list_groups(command, desk)
        case AddToGroup():
            return groups.add(command, desk)
        case LeaveGroup():
            return groups.leave(command, desk)
        case DropGroup():
            return groups.drop(command, desk)
        case Mods():
            return mods.mods(command, desk)
        case Screen():
            return readiness.ask(command, desk)
        case Export():
            return privacy.export(command, desk)
        case Erase():
            return privacy.erase(command, desk)
        case ShowRetention():
            return privacy.show_retention(command, desk)
        case SetRetention():
            return privacy.set_retention(command, desk)
