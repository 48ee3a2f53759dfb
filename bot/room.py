"""Who is in a class, as far as she has told: the people behind the name it is for."""

from bot.desk import Desk
from core.brief import ClassBrief
from core.client import Client
from core.fold import fold
from core.room import Room
from storage.errors import KeyMissingError


def room_of(brief: ClassBrief, desk: Desk) -> Room | None:
    """The room of a class on its own day, today if it has none; None where nobody is known."""
    people = people_of(brief.group, desk)
    if not people:
        return None
    day = brief.starts.date() if brief.starts else desk.now.astimezone(desk.zone).date()
    return Room(people, day, desk.cautions, desk.repertoire, frozenset(brief.apparatus))


def people_of(name: str, desk: Desk) -> tuple[Client, ...]:
    """The members of the group of this name, or whoever it names one by one; nobody else."""
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
    if client:
        return (client,)
    pieces = name.replace("&", ",").replace("+", ",").replace(" and ", ",").split(",")
    named = [people.client_named(piece) for piece in pieces if fold(piece)]
    return tuple(dict.fromkeys(each for each in named if each))
