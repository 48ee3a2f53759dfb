"""The smallest change of an exercise that takes away all that is minded about a person."""

from dataclasses import dataclass
from itertools import combinations

from core.caution_rule import Rule
from core.exercise import Demand, Exercise, Modification


@dataclass(frozen=True, slots=True)
class Change:
    """What is done differently: changes of the library, and changes a rule names itself."""

    modifications: tuple[Modification, ...] = ()
    rules: tuple[Rule, ...] = ()

    def __bool__(self) -> bool:
        return bool(self.modifications or self.rules)

    @property
    def words(self) -> tuple[str, ...]:
        """Each change as it is said."""
        if not self:
            return ()
        return tuple(
            dict.fromkeys((*(m.do for m in self.modifications), *(r.change for r in self.rules)))
        )


def smallest_change(
    exercise: Exercise, barred: frozenset[Demand]
) -> tuple[Modification, ...] | None:
    """The fewest changes after which nothing barred is asked; None when no set does it.

    Among equal numbers the one that adds fewest demands, then the one that takes away least beyond
    what it must, then the one the library lists first.
    """
    needed = exercise.demands & barred
    if not needed:
        return ()
    usable = [m for m in exercise.modifications if not m.adds & barred and m.removes & needed]
    if not needed <= frozenset[Demand]().union(*(m.removes for m in usable)):
        return None
    for size in range(1, len(usable) + 1):
        found = [
            chosen
            for chosen in combinations(usable, size)
            if needed <= frozenset[Demand]().union(*(m.removes for m in chosen))
        ]
        if found:
            return min(found, key=_cost)
    return None


def _cost(chosen: tuple[Modification, ...]) -> tuple[int, int]:
    adds = frozenset[Demand]().union(*(m.adds for m in chosen))
    removes = frozenset[Demand]().union(*(m.removes for m in chosen))
    return len(adds), len(removes)
