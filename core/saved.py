"""A kept plan, as the store hands it out."""

from dataclasses import dataclass
from datetime import datetime

from core.plan import ClassPlan


@dataclass(frozen=True, slots=True)
class SavedPlan:
    """A plan and its number with this instructor, counted from 1."""

    number: int
    plan: ClassPlan
    made_at: datetime


@dataclass(frozen=True, slots=True)
class DatedPlan:
    """The number of a plan and when its class begins, on the instructor's wall."""

    number: int
    starts: datetime


@dataclass(frozen=True, slots=True)
class KeptClass:
    """A class kept under a name; each time it is kept again it gets the next version.

    Attributes:
        plan: the number of the plan that the latest version is.
    """

    name: str
    version: int
    plan: int
