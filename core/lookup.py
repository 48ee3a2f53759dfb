"""Finding exercises by what they are: words, ladders, stand-ins."""

from collections.abc import Sequence
from dataclasses import dataclass

from core.apparatus import ApparatusId
from core.brief import Aim, Bar
from core.exercise import Exercise, Level, Position
from core.repertoire import Repertoire


@dataclass(frozen=True, slots=True)
class Wanted:
    """What an exercise has to be; an empty part asks for nothing."""

    apparatus: tuple[ApparatusId, ...] = ()
    positions: tuple[Position, ...] = ()
    aims: tuple[Aim, ...] = ()
    levels: tuple[Level, ...] = ()
    without: tuple[Bar, ...] = ()
    props: tuple[str, ...] = ()

    def met_by(self, e: Exercise) -> bool:
        """Whether the exercise is all of it."""
        return (
            (not self.apparatus or e.apparatus in self.apparatus)
            and (not self.positions or e.position in self.positions)
            and (not self.levels or e.level in self.levels)
            and all(serves(aim, e) for aim in self.aims)
            and all(prop in e.props for prop in self.props)
            and not any(bar.rules_out(e) for bar in self.without)
        )


def serves(aim: Aim, e: Exercise) -> bool:
    """Whether the exercise does what the aim names, mainly or beside."""
    return bool(
        aim.themes & set(e.themes)
        or aim.muscles & {e.primary, *e.also}
        or aim.directions & e.directions
    )


def find(wanted: Wanted, repertoire: Repertoire) -> tuple[Exercise, ...]:
    """Every exercise that is all of it, the easiest and then the gentlest first."""
    met = [e for e in repertoire.exercises.values() if wanted.met_by(e)]
    return tuple(sorted(met, key=lambda e: (e.level, e.effort, e.id)))


def ladder(e: Exercise, repertoire: Repertoire) -> tuple[Exercise, ...]:
    """Its ladder from the easiest rung to the hardest, itself included."""
    down: list[Exercise] = []
    seen = {e.id}
    at = e
    while at.easier and at.easier in repertoire.exercises and at.easier not in seen:
        at = repertoire[at.easier]
        seen.add(at.id)
        down.append(at)
    up: list[Exercise] = []
    at = e
    while at.harder and at.harder in repertoire.exercises and at.harder not in seen:
        at = repertoire[at.harder]
        seen.add(at.id)
        up.append(at)
    return (*reversed(down), e, *up)


def stand_ins(
    e: Exercise, without: Sequence[Bar], repertoire: Repertoire, most: int = 5
) -> tuple[Exercise, ...]:
    """The exercises most like this one that keep its aim and lack what is barred.

    The aim is its main theme or its primary muscle, in a phase where it can stand, at its level or
    below; the same apparatus comes first.
    """
    fit = [
        o
        for o in repertoire.exercises.values()
        if o.id != e.id
        and o.level <= e.level
        and o.phases & e.phases
        and (e.themes[0] in o.themes or o.primary is e.primary)
        and not any(bar.rules_out(o) for bar in without)
    ]
    return tuple(sorted(fit, key=lambda o: (-likeness(e, o), o.id))[:most])


def likeness(e: Exercise, o: Exercise) -> float:
    """How much two exercises are alike, in points without a unit (house choice)."""
    same = len(set(e.themes) & set(o.themes)) + len(e.directions & o.directions)
    return (
        2 * same
        + 2 * (e.themes[0] is o.themes[0])
        + 2 * (e.primary is o.primary)
        + 3 * (e.apparatus == o.apparatus)
        + 2 * (e.family == o.family)
        + (e.position is o.position)
        + (e.springs == o.springs)
        - abs(e.level - o.level)
        - abs(e.effort - o.effort) / 2
    )
