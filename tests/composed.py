"""Whole classes from the shipped library, made once and kept for the tests that only read them."""

from functools import lru_cache
from typing import TypeVar

from core.aims import aim, bar
from core.apparatus import ApparatusId
from core.brief import Aim, Bar, ClassBrief
from core.exercise import ExerciseId, Level
from core.plan import ClassPlan
from core.planner.compose import compose
from core.planner.request import NoPlan, Request
from core.planner.search import Budget
from core.repertoire import shipped

Word = TypeVar("Word", Aim, Bar)

QUICK = Budget(anneals=2, length=6000, last=3000)  # enough for a plan, not for the best one


def asked(
    minutes: int = 45,
    apparatus: tuple[str, ...] = ("chair", "mat"),
    *,
    focus: tuple[str, ...] = (),
    without: tuple[str, ...] = (),
    must: tuple[str, ...] = (),
    level: Level | None = None,
    people: int = 4,
) -> ClassBrief:
    """A brief in the words people use."""
    return ClassBrief(
        minutes,
        tuple(ApparatusId(name) for name in apparatus),
        level=level,
        focus=tuple(_known(aim(word)) for word in focus),
        without=tuple(_known(bar(word)) for word in without),
        must=tuple(ExerciseId(name) for name in must),
        people=people,
    )


@lru_cache(maxsize=64)
def composed(brief: ClassBrief) -> ClassPlan:
    """The plan of a brief that has one."""
    plan = compose(Request(brief, shipped(), budget=QUICK))
    assert not isinstance(plan, NoPlan), plan
    return plan


def _known(word: Word | None) -> Word:
    assert word is not None
    return word
