"""What is asked of the planner, and its answer when there is no plan."""

import hashlib
import json
from dataclasses import dataclass, field

from core.brief import ClassBrief
from core.codec import brief_to_json
from core.exercise import ExerciseId
from core.plan import Finding
from core.planner.search import Budget, usual
from core.repertoire import Repertoire
from core.room import Room
from core.taste import Taste
from core.timing import Pace


@dataclass(frozen=True, slots=True)
class Request:
    """A brief with all that shapes its plan.

    Attributes:
        turn: how often "another" was asked.
        recent: what the last classes of these people had, to be varied.
        room: who is in the class; nobody is given what they must avoid.
        taste: what her edits have shown she likes; it only chooses among sound plans.
    """

    brief: ClassBrief
    repertoire: Repertoire
    turn: int = 0
    recent: frozenset[ExerciseId] = frozenset()
    room: Room | None = None
    pace: Pace = Pace()
    budget: Budget = field(default_factory=usual)
    taste: Taste = Taste()

    @property
    def seed(self) -> int:
        """A number that depends on the brief and the turn alone, in every process alike."""
        text = json.dumps([brief_to_json(self.brief), self.turn], sort_keys=True)
        return int.from_bytes(hashlib.sha256(text.encode()).digest()[:6], "big")


@dataclass(frozen=True, slots=True)
class NoPlan:
    """No plan: `proven` when it can't exist, else none was found.

    Findings carry the cause, or the shortfalls of the nearest plan.
    """

    findings: tuple[Finding, ...]
    proven: bool
