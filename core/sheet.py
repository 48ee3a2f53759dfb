"""A class as it hangs on the wall: rows, what changes before each, who needs what, the room.

Values only: how they are worded and set is for others. What is said of a person here is what she
does instead, never why.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import ceil

from core.apparatus import Apparatus, ApparatusId, SpringSetting
from core.caution import Kind, Reason, Verdict
from core.client import Client
from core.exercise import Exercise, ExerciseId, Load, Phase, Position
from core.plan import ClassPlan, Item
from core.repertoire import Repertoire


@dataclass(frozen=True, slots=True)
class Option:
    """An easier or harder way: other springs, another rung of the ladder, or both as a choice."""

    harder: bool
    springs: SpringSetting | None = None
    exercise: Exercise | None = None


@dataclass(frozen=True, slots=True)
class SheetRow:
    """One exercise, and what has to be done before it can begin.

    Attributes:
        moved: the room goes to another apparatus.
        new_springs: everybody changes springs; the first setting is part of the set-up.
        new_position: the body changes position.
        rig: parts of the apparatus to be set, and how.
        cues: what to say, her own words first.
        needing: indices of the people who do something else here.
    """

    item: Item
    moved: bool
    new_springs: bool
    new_position: bool
    rig: tuple[tuple[str, str], ...]
    options: tuple[Option, ...]
    cues: tuple[str, ...]
    needing: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Need:
    """What somebody does instead, at every place where it is the same."""

    places: tuple[int, ...]
    kind: Kind
    changes: tuple[str, ...] = ()
    swap: Exercise | None = None


@dataclass(frozen=True, slots=True, repr=False)
class PersonRow:
    """One person: her own settings, and what she does instead.

    Attributes:
        waits: nothing is done before a clinician has been asked; `stop` is stronger still.
        all_through: something is minded whatever is taught.
    """

    name: str
    springs: tuple[tuple[ApparatusId, str], ...]
    needs: tuple[Need, ...]
    waits: bool = False
    stop: bool = False
    all_through: bool = False


@dataclass(frozen=True, slots=True)
class Station:
    """An apparatus as it stands when the class begins, or is moved to at a place."""

    apparatus: Apparatus
    count: int
    springs: SpringSetting
    rig: tuple[tuple[str, str], ...]
    place: int


@dataclass(frozen=True, slots=True)
class RunSheet:
    """A class on paper.

    Attributes:
        props: each prop with the places that use it.
        acts: safety acts in the order they are first needed, as ids of the library.
    """

    plan: ClassPlan
    rows: tuple[SheetRow, ...]
    people: tuple[PersonRow, ...]
    stations: tuple[Station, ...]
    props: tuple[tuple[str, tuple[int, ...]], ...]
    acts: tuple[str, ...]

    def phases(self) -> tuple[tuple[Phase, int, int], ...]:
        """Each part of the class with its first and last second, without a gap."""
        ends = [items[-1].end_s for _, items in self.plan.sections()]
        starts = [self.plan.opening_s, *ends]
        return tuple(
            (phase, start, end)
            for (phase, _), start, end in zip(self.plan.sections(), starts, ends, strict=False)
        )

    def positions(self) -> tuple[tuple[Position, int, int], ...]:
        """Each stretch of the class in one position, with its first and last second."""
        found: list[tuple[Position, int, int]] = []
        for row in self.rows:
            item = row.item
            position = item.step.exercise.position
            if found and not row.new_position:
                found[-1] = (position, found[-1][1], item.end_s)
            else:
                found.append((position, item.start_s, item.end_s))
        return tuple(found)


@dataclass(frozen=True, slots=True, repr=False)
class Minding:
    """A person, what she does at each place, and what holds for her whatever is taught."""

    client: Client
    verdicts: Sequence[Verdict]
    always: Sequence[Reason] = ()


def run_sheet(
    plan: ClassPlan,
    repertoire: Repertoire,
    people: Sequence[Minding] = (),
    said: Mapping[ExerciseId, Sequence[str]] | None = None,
) -> RunSheet:
    """The sheet of a plan.

    Args:
        people: everybody in the class, with a verdict for each of its places.
        said: the instructor's own cues for an exercise.
    """
    own = said or {}
    rows: list[SheetRow] = []
    stations: list[Station] = []
    set_up: dict[str, str] = {}
    last: Item | None = None
    for k, item in enumerate(plan.items):
        e = item.step.exercise
        before = last.step.exercise if last else None
        moved = before is not None and before.apparatus != e.apparatus
        if last is None or moved:
            here = list(_stay(plan.items[k:]))
            set_up = _first_states(here)
            on = repertoire.apparatus[e.apparatus]
            count = ceil(plan.brief.people / max(1, on.share))
            stations.append(Station(on, count, item.step.springs, tuple(set_up.items()), item.n))
        rows.append(
            SheetRow(
                item=item,
                moved=moved,
                new_springs=last is not None
                and not moved
                and last.step.springs != item.step.springs,
                new_position=before is None or before.position is not e.position,
                rig=tuple((part, state) for part, state in e.rig if set_up.get(part) != state),
                options=_options(item, repertoire),
                cues=(*own.get(e.id, ()), *e.cues),
                needing=tuple(
                    at
                    for at, each in enumerate(people)
                    if each.verdicts[k].kind is not Kind.FINE and not _waits(each)
                ),
            )
        )
        set_up |= dict(e.rig)
        last = item
    return RunSheet(
        plan=plan,
        rows=tuple(rows),
        people=tuple(_person(each, plan) for each in people),
        stations=tuple(stations),
        props=_props(plan),
        acts=tuple(dict.fromkeys(act for item in plan.items for act in item.step.exercise.safety)),
    )


def _stay(items: Sequence[Item]) -> Iterable[Item]:
    """The items from here that stay on the apparatus of the first."""
    for item in items:
        if item.step.exercise.apparatus != items[0].step.exercise.apparatus:
            return
        yield item


def _first_states(items: Sequence[Item]) -> dict[str, str]:
    """Each part of the rig in the state it is first wanted in: the clock counts it as ready."""
    found: dict[str, str] = {}
    for item in items:
        for part, state in item.step.exercise.rig:
            found.setdefault(part, state)
    return found


def _options(item: Item, repertoire: Repertoire) -> tuple[Option, ...]:
    """What makes it easier and harder than it stands in the class."""
    e = item.step.exercise
    on = repertoire.apparatus[e.apparatus]
    found: list[Option] = []
    for harder, rung in ((False, e.easier), (True, e.harder)):
        springs = None
        if e.springs and e.load in (Load.RESIST, Load.ASSIST):
            heavier = harder == (e.load is Load.RESIST)
            ways = [e.springs.usual, e.springs.harder if harder else e.springs.easier]
            here = on.rank(item.step.springs)
            right = [w for w in ways if (on.rank(w) > here if heavier else on.rank(w) < here)]
            springs = right[-1] if right else None
        other = repertoire.exercises.get(rung) if rung else None
        if springs is not None or other:
            found.append(Option(harder, springs, other))
    return tuple(found)


def _person(who: Minding, plan: ClassPlan) -> PersonRow:
    client, stop = who.client, any(v.stop for v in who.verdicts)
    here = {item.step.exercise.apparatus for item in plan.items}
    springs = tuple((on, typed) for on, typed in client.springs if on in here)
    if _waits(who):
        return PersonRow(client.name, springs, (), waits=True, stop=stop)
    same: dict[tuple[Kind, tuple[str, ...], Exercise | None], list[int]] = {}
    for item, v in zip(plan.items, who.verdicts, strict=True):
        if v.kind is not Kind.FINE:
            words = v.swap_change.words if v.swap else v.change.words
            same.setdefault((v.kind, words, v.swap), []).append(item.n)
    needs = tuple(Need(tuple(at), *what) for what, at in same.items())
    minded = any(not reason.only_note for reason in who.always)
    return PersonRow(client.name, springs, needs, stop=stop, all_through=minded)


def _waits(who: Minding) -> bool:
    return any(reason.binding for reason in who.always) or any(
        reason.binding for v in who.verdicts for reason in v.reasons
    )


def _props(plan: ClassPlan) -> tuple[tuple[str, tuple[int, ...]], ...]:
    found: dict[str, list[int]] = {}
    for item in plan.items:
        for prop in item.step.exercise.props:
            found.setdefault(prop, []).append(item.n)
    return tuple((prop, tuple(places)) for prop, places in found.items())
