"""What an action has at hand: the store of this instructor, the time, the library as she has it."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from bot.grammar.context import Context
from bot.ports import Store
from core.caution_record import shipped_cautions
from core.caution_rule import Cautions
from core.instructor import Instructor
from core.planner.search import Budget
from core.repertoire import Repertoire


@dataclass(frozen=True, slots=True)
class Desk:
    """The circumstances of one message, read once.

    Attributes:
        base: the library as it ships; `repertoire` has her own springs and exercises in it.
        now: this instant, aware, in UTC.
        elapsed_ms: milliseconds of a clock that only ever goes forward, for figures.
        budget: how much a plan may be searched for.
    """

    store: Store
    instructor: Instructor
    base: Repertoire
    repertoire: Repertoire
    context: Context
    chat: str
    now: datetime
    elapsed_ms: Callable[[], float]
    budget: Budget

    @property
    def zone(self) -> ZoneInfo:
        """Her zone; UTC until she has chosen one."""
        return ZoneInfo(self.instructor.zone or "UTC")

    @property
    def cautions(self) -> Cautions:
        """All cautions, read when they are first needed."""
        return shipped_cautions()
