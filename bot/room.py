"""Who is in a class, as far as she has told: the people behind the name it is for."""

from bot.desk import Desk
from core.brief import ClassBrief
from core.client import Client
from core.room import Room
from storage.errors import KeyMissingError


def room_of(brief: ClassBrief, desk: Desk) -> Room | None:
    """The room of a class on its own day, today if it has none; None where nobody is known."""
    people = people_of(brief.group, desk)
    if not people:
        return None
    day = brief.starts.date() if brief.starts else desk.now.astimezone(desk.zone).date()
    return Room(people, day, desk.cautions, desk.repertoire)


def people_of(name: str, desk: Desk) -> tuple[Client, ...]:
    """The members of the group of this name, or the one client; nobody where there is neither."""
    if not name:
        return ()
    try:
        people = desk.store.people
    except KeyMissingError:
        return ()  # a store without keys keeps nobody
    group = people.group(name)
    if group:
        return tuple(people.some(group.members))
    client = people.client_named(name)
    return (client,) if client else ()
