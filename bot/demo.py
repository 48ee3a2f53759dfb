"""An invented studio, so that a fresh machine shows something. Every name in it is made up."""

from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime

from bot.ports import Store, Vault
from core.aims import aim
from core.apparatus import ApparatusId
from core.brief import ClassBrief
from core.caution_record import shipped_cautions
from core.client import ClientId
from core.exercise import Level
from core.flag_words import read_flags
from core.planner.compose import compose
from core.planner.request import NoPlan, Request
from core.repertoire import Repertoire
from storage.errors import KeyMissingError

DOOR = "console:me"


@dataclass(frozen=True, slots=True)
class _Person:
    name: str
    level: Level
    groups: tuple[str, ...]
    chair: str = ""
    goal: str = ""
    flags: tuple[str, ...] = ()


PEOPLE = (
    _Person("ANA", Level.FUNDAMENTAL, ("dawn",), "3", "stronger back", ("left wrist marked",)),
    _Person("BO", Level.INTERMEDIATE, ("dawn", "harbour"), "3+2"),
    _Person("CLEO", Level.FUNDAMENTAL, ("harbour",), flags=("right knee mild", "glaucoma")),
)


@dataclass(frozen=True, slots=True)
class _Class:
    group: str
    minutes: int
    apparatus: str
    focus: str
    people: int


CLASSES = (
    _Class("harbour", 45, "mat", "back", 6),
    _Class("dawn", 50, "chair", "legs", 4),
)


def fill(vault: Vault, repertoire: Repertoire, now: datetime, zone: str) -> bool:
    """Whether the studio was filled; one that has plans already stays as it is."""
    owner = vault.admit(DOOR, zone)
    with vault.begin(owner) as store:
        if store.latest_plan(repertoire) is not None:
            return False
        for each in CLASSES:
            focus = aim(each.focus)
            brief = ClassBrief(
                minutes=each.minutes,
                apparatus=(ApparatusId(each.apparatus),),
                focus=(focus,) if focus else (),
                people=each.people,
                group=each.group,
            )
            plan = compose(Request(brief, repertoire))
            if not isinstance(plan, NoPlan):
                store.add_plan(plan, repertoire, now)
        with suppress(KeyMissingError):  # nobody is kept where there is no key
            _people(store, now)
    return True


def _people(store: Store, now: datetime) -> None:
    """Invented people with a few flags, in the groups of the classes."""
    members: dict[str, list[ClientId]] = {}
    for each in PEOPLE:
        springs = [(ApparatusId("chair"), each.chair)] if each.chair else []
        goals = [each.goal] if each.goal else []
        client = store.people.add_client(
            each.name, now, level=each.level, goals=goals, springs=springs
        )
        for text in each.flags:
            for read in read_flags(text, now.date(), shipped_cautions()).read:
                store.people.add_flag(client.id, read.flag, now)
        for group in each.groups:
            members.setdefault(group, []).append(client.id)
    for group, ids in members.items():
        store.people.set_group(group, ids, now)
