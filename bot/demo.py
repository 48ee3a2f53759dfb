"""An invented studio, so that a fresh machine shows something. Every name in it is made up."""

from dataclasses import dataclass
from datetime import datetime

from bot.ports import Vault
from core.aims import aim
from core.apparatus import ApparatusId
from core.brief import ClassBrief
from core.planner.compose import compose
from core.planner.request import NoPlan, Request
from core.repertoire import Repertoire

DOOR = "console:me"


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
    return True
