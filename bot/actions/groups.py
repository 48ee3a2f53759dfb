"""Groups: people who come together."""

from bot.commands import AddToGroup, DropGroup, LeaveGroup, ListGroups, ShowGroup
from bot.desk import Desk
from bot.errors import NoSuchGroupError, RefusedError
from bot.reply import Button, Part, Reply
from bot.taken_back import can_take_back
from bot.whom import several
from bot.wording import asking, people
from bot.wording.phrases import wrapped
from core.client import ClientError, ClientId, Group

LISTED = 24


def show(command: ShowGroup, desk: Desk) -> Reply:
    """Who is in a group."""
    group = _named(command.name, desk)
    who = _names(group, desk)
    rows = [Button(each, f"client {each}") for each in who]
    return Reply(
        (Part(people.in_group(group.name, who)),),
        (
            *(tuple(rows[at : at + 3]) for at in range(0, len(rows), 3)),
            (Button(people.WHAT_CHANGES, f"mods {group.name}"),),
        ),
        data={"group": {"name": group.name, "members": who}},
    )


def list_groups(_: ListGroups, desk: Desk) -> Reply:
    """Every group, each a button."""
    groups = [(group, _names(group, desk)) for group in desk.store.people.groups()]
    rows = [Button(group.name, f"group {group.name}") for group, _ in groups[:LISTED]]
    return Reply(
        (Part(people.groups(groups)),),
        tuple(tuple(rows[at : at + 3]) for at in range(0, len(rows), 3)),
        data={"groups": [{"name": group.name, "members": who} for group, who in groups]},
    )


def add(command: AddToGroup, desk: Desk) -> Reply:
    """People put into a group, all of them or none."""
    store = desk.store.people
    known = store.group(command.name)
    name = known.name if known else command.name
    said = ", ".join(command.people)
    coming = several(
        command.people, lambda typed, other: f"group {name} add {said.replace(typed, other)}", desk
    )
    before = known.members if known else ()
    members = tuple(dict.fromkeys((*before, *(each.id for each in coming))))
    return _kept(name, members, people.JOINED, [each.name for each in coming], desk)


def leave(command: LeaveGroup, desk: Desk) -> Reply:
    """People taken out of a group."""
    group = _named(command.name, desk)
    said = ", ".join(command.people)
    going = several(
        command.people,
        lambda typed, other: f"group {group.name} remove {said.replace(typed, other)}",
        desk,
    )
    ids = {each.id for each in going}
    names = [each.name for each in going]
    if not ids & set(group.members):
        return Reply(
            (Part(people.moved(people.WAS_NOT_IN, names, group.name)),),
            data={"group": {"name": group.name, "members": _names(group, desk)}},
        )
    members = tuple(each for each in group.members if each not in ids)
    return _kept(group.name, members, people.LEFT, names, desk)


def drop(command: DropGroup, desk: Desk) -> Reply:
    """A group forgotten; its people stay."""
    group = _named(command.name, desk)
    desk.store.people.drop_group(group.name, desk.now)
    can_take_back(desk)
    return Reply(
        (Part(wrapped(people.DROPPED.format(name=group.name))),),
        ((Button(asking.UNDO, "undo"),),),
        data={"group": None},
    )


def _kept(
    name: str, members: tuple[ClientId, ...], words: str, who: list[str], desk: Desk
) -> Reply:
    try:
        group = desk.store.people.set_group(name, members, desk.now)
    except ClientError as fault:
        raise RefusedError(str(fault)) from None
    can_take_back(desk)
    now = _names(group, desk)
    parts = [Part(people.moved(words, who, group.name)), Part(people.in_group(group.name, now))]
    return Reply(
        tuple(parts),
        ((Button(group.name, f"group {group.name}"), Button(asking.UNDO, "undo")),),
        data={"group": {"name": group.name, "members": now}},
    )


def _named(name: str, desk: Desk) -> Group:
    group = desk.store.people.group(name)
    if group is None:
        names = tuple(each.name for each in desk.store.people.groups())
        raise NoSuchGroupError(name, names)
    return group


def _names(group: Group, desk: Desk) -> list[str]:
    found = (desk.store.people.client(each) for each in group.members)
    return [each.name for each in found if each]
