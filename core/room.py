"""Who is in the class, and what each of them does instead of an exercise as it is written."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from core.apparatus import ApparatusId
from core.caution import Kind, Minded, Verdict, judge, minded
from core.caution_rule import Cautions
from core.client import Client
from core.exercise import Exercise, ExerciseId
from core.repertoire import Repertoire

# Points a minute that an exercise loses for each person who needs a change or a stand-in: a class
# that suits everybody as it stands runs more quietly (house choice).
MODIFIED, SWAPPED = 2, 6


@dataclass(frozen=True, slots=True, eq=False)
class Room:
    """The people of a class on its day.

    A person for whom everything waits on a clinician binds nobody's class: she is named, and the
    class is planned for the others.

    Attributes:
        on: the apparatus of the class, where a stand-in has to be; any if there is none.
    """

    people: tuple[Client, ...]
    today: date
    cautions: Cautions
    repertoire: Repertoire
    on: frozenset[ApparatusId] = frozenset()
    _minds: tuple[Minded, ...] = field(init=False, repr=False)
    _seen: dict[ExerciseId, tuple[Verdict, ...]] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        minds = tuple(minded(client.flags, self.today, self.cautions) for client in self.people)
        object.__setattr__(self, "_minds", minds)
        object.__setattr__(self, "_seen", {})

    def waiting(self) -> tuple[Client, ...]:
        """Those who do nothing before a clinician has answered."""
        return tuple(c for c, m in zip(self.people, self._minds, strict=True) if m.binding)

    def verdicts(self, e: Exercise) -> tuple[Verdict, ...]:
        """What each person does with an exercise, in the order of the people."""
        found = self._seen.get(e.id)
        if found is None:
            found = tuple(
                judge(client.id, e, mind, self.repertoire, self.on)
                for client, mind in zip(self.people, self._minds, strict=True)
            )
            self._seen[e.id] = found
        return found

    def names(self) -> Mapping[int, str]:
        """Client number -> name."""
        return {client.id: client.name for client in self.people}

    def barred_for(self, e: Exercise) -> tuple[tuple[Client, Verdict], ...]:
        """Those who may not do it at all, so that the class does without it."""
        return tuple(
            (client, verdict)
            for client, mind, verdict in zip(
                self.people, self._minds, self.verdicts(e), strict=True
            )
            if not mind.binding and verdict.kind in (Kind.LEAVE_OUT, Kind.ASK_FIRST)
        )

    def price(self, e: Exercise) -> int:
        """Points a minute that its changes and stand-ins cost."""
        kinds = [verdict.kind for verdict in self.verdicts(e)]
        return MODIFIED * kinds.count(Kind.MODIFY) + SWAPPED * kinds.count(Kind.SWAP)
