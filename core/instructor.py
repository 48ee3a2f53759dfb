"""Who teaches, and what she usually asks for."""

from dataclasses import dataclass
from typing import NewType

from core.apparatus import ApparatusId

OwnerId = NewType("OwnerId", int)


@dataclass(frozen=True, slots=True)
class Habits:
    """Answers once given to "how long?" and "on what?", used when a brief leaves them out.

    Attributes:
        month_first: 3/4 is the fourth of March, not the third of April.
    """

    minutes: int | None = None
    apparatus: tuple[ApparatusId, ...] = ()
    month_first: bool = False


@dataclass(frozen=True, slots=True)
class Instructor:
    """An instructor; everything stored belongs to exactly one.

    Attributes:
        door: where she speaks from, e.g. "console:me" or "telegram:4711"; unique.
        zone: IANA name of her time zone; empty until she has chosen one.
    """

    id: OwnerId
    door: str
    zone: str = ""
    habits: Habits = Habits()
