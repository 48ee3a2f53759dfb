"""TOML or JSON tables <-> the values of the library; the only place that knows the field names."""

from collections.abc import Callable, Iterable, Mapping
from enum import StrEnum
from typing import Any, TypeVar

from core.apparatus import Apparatus, ApparatusId, Hook, Spring
from core.errors import CoreError, LibraryError
from core.exercise import (
    Demand,
    Direction,
    Exercise,
    ExerciseId,
    Level,
    Load,
    Modification,
    Muscle,
    Phase,
    Position,
    Reps,
    SeriesPlace,
    Springs,
    Tempo,
    Theme,
)

Table = Mapping[str, Any]
Word = TypeVar("Word", bound=StrEnum)

SHORT_NAME = 16  # characters of a name on a phone line of 36: number, clock, springs, repetitions

EXERCISE_FIELDS = frozenset(
    "id name short aliases apparatus level phases effort position directions themes muscles load "
    "springs reps tempo sides setup_s rig props safety demands modifications easier harder "
    "no_easier no_harder family series needs cues fault breath".split()
)


def apparatus_from_table(table: Table) -> Apparatus:
    """The apparatus a table describes.

    Raises:
        LibraryError: a field is missing or of the wrong kind.
    """
    try:
        return Apparatus(
            id=ApparatusId(table["id"]),
            name=table["name"],
            aliases=tuple(table.get("aliases", ())),
            springs=tuple(Spring(s["name"], s["count"], s["grade"]) for s in table["springs"]),
            hooks=tuple(Hook(h["name"], h["grade"]) for h in table["hooks"]),
            short=tuple(table.get("short", {}).items()),
            rig=tuple((part, tuple(states)) for part, states in table["rig"].items()),
            most=table["most"],
            change_s=table["change_s"],
            rig_s=table["rig_s"],
            swap_s=table["swap_s"],
            share=table["share"],
        )
    except (KeyError, TypeError, AttributeError) as fault:
        raise LibraryError(f"apparatus {table.get('id', '?')}: {fault!r}") from fault


def apparatus_to_table(apparatus: Apparatus) -> dict[str, Any]:
    """The table from which `apparatus_from_table` makes the same apparatus."""
    return {
        "id": apparatus.id,
        "name": apparatus.name,
        "aliases": list(apparatus.aliases),
        "springs": [
            {"name": s.name, "count": s.count, "grade": s.grade} for s in apparatus.springs
        ],
        "hooks": [{"name": h.name, "grade": h.grade} for h in apparatus.hooks],
        "short": dict(apparatus.short),
        "rig": {part: list(states) for part, states in apparatus.rig},
        "most": apparatus.most,
        "change_s": apparatus.change_s,
        "rig_s": apparatus.rig_s,
        "swap_s": apparatus.swap_s,
        "share": apparatus.share,
    }


def exercise_from_table(table: Table, apparatus: Mapping[ApparatusId, Apparatus]) -> Exercise:
    """The exercise a table describes, its springs read in the terms of its apparatus.

    Raises:
        LibraryError: a field is missing, unknown, or contradicts another; the message names the
            record, the field and what would be right.
    """
    where = str(table.get("id", "?"))
    unknown = set(table) - EXERCISE_FIELDS
    if unknown:
        raise LibraryError(f"{where}: unknown field {', '.join(sorted(unknown))}")
    try:
        on = apparatus[ApparatusId(table["apparatus"])]
        return _exercise(table, on)
    except KeyError as fault:
        raise LibraryError(f"{where}: field {fault} is missing or unknown") from fault
    except (TypeError, AttributeError) as fault:
        raise LibraryError(f"{where}: {fault}") from fault
    except CoreError as fault:
        raise LibraryError(f"{where}: {str(fault).removeprefix(where + ': ')}") from fault


def exercise_to_table(exercise: Exercise) -> dict[str, Any]:
    """The table from which `exercise_from_table` makes the same exercise."""
    tempo = exercise.tempo
    table: dict[str, Any] = {
        "id": exercise.id,
        "name": exercise.name,
        "short": exercise.short,
        "aliases": list(exercise.aliases),
        "apparatus": exercise.apparatus,
        "level": int(exercise.level),
        "phases": [phase.value for phase in Phase if phase in exercise.phases],
        "effort": exercise.effort,
        "position": exercise.position.value,
        "directions": sorted(exercise.directions),
        "themes": [theme.value for theme in exercise.themes],
        "muscles": {"primary": exercise.primary.value, "also": [m.value for m in exercise.also]},
        "load": exercise.load.value,
        "reps": {
            "from": exercise.reps.low,
            "to": exercise.reps.high,
            "usual": exercise.reps.usual,
        },
        "tempo": {"breaths": tempo.breaths} if tempo.breaths else {"seconds": tempo.seconds},
        "sides": exercise.sides,
        "setup_s": exercise.setup_s,
        "rig": dict(exercise.rig),
        "props": list(exercise.props),
        "safety": list(exercise.safety),
        "demands": sorted(exercise.demands),
        "modifications": [
            {"do": m.do, "removes": sorted(m.removes), "adds": sorted(m.adds)}
            for m in exercise.modifications
        ],
        "family": exercise.family,
        "needs": list(exercise.needs),
        "cues": list(exercise.cues),
        "fault": exercise.fault,
        "breath": exercise.breath,
    }
    if exercise.springs:
        springs = exercise.springs
        table["springs"] = {
            "usual": str(springs.usual),
            "easier": str(springs.easier),
            "harder": str(springs.harder),
            "limit": str(springs.limit),
        }
    if exercise.series:
        table["series"] = {"name": exercise.series.name, "place": exercise.series.place}
    for field in ("easier", "harder", "no_easier", "no_harder"):
        if getattr(exercise, field):
            table[field] = getattr(exercise, field)
    return table


def _exercise(table: Table, on: Apparatus) -> Exercise:
    name: str = table["name"]
    short: str = table.get("short", name)
    if len(short) > SHORT_NAME:
        raise LibraryError(f"{short!r} is longer than {SHORT_NAME}: give a `short` name")
    reps, tempo, muscles = table["reps"], table["tempo"], table["muscles"]
    series = table.get("series")
    rig = tuple(sorted(table.get("rig", {}).items()))
    states = dict(on.rig)
    for part, state in rig:
        if state not in states.get(part, ()):
            raise LibraryError(f"rig {part} = {state!r} is no state of the {on.name}")
    return Exercise(
        id=ExerciseId(table["id"]),
        name=name,
        short=short,
        aliases=tuple(table.get("aliases", ())),
        apparatus=on.id,
        level=_level(table["level"]),
        phases=frozenset(_words(Phase, table["phases"])),
        effort=table["effort"],
        position=_word(Position, table["position"]),
        directions=frozenset(_words(Direction, table.get("directions", ()))),
        themes=tuple(_words(Theme, table["themes"])),
        primary=_word(Muscle, muscles["primary"]),
        also=tuple(_words(Muscle, muscles.get("also", ()))),
        load=_word(Load, table["load"]),
        springs=_springs(table["springs"], on) if "springs" in table else None,
        reps=Reps(reps["from"], reps["to"], reps["usual"]),
        tempo=Tempo(tempo.get("breaths"), tempo.get("seconds")),
        sides=table.get("sides", 1),
        setup_s=table["setup_s"],
        rig=rig,
        props=tuple(table.get("props", ())),
        safety=tuple(table.get("safety", ())),
        demands=frozenset(_words(Demand, table.get("demands", ()))),
        modifications=tuple(
            Modification(
                do=m["do"],
                removes=frozenset(_words(Demand, m["removes"])),
                adds=frozenset(_words(Demand, m.get("adds", ()))),
            )
            for m in table.get("modifications", ())
        ),
        easier=_optional(table.get("easier"), ExerciseId),
        harder=_optional(table.get("harder"), ExerciseId),
        no_easier=table.get("no_easier", ""),
        no_harder=table.get("no_harder", ""),
        family=table["family"],
        series=SeriesPlace(series["name"], series["place"]) if series else None,
        needs=tuple(table.get("needs", ())),
        cues=tuple(table["cues"]),
        fault=table["fault"],
        breath=table["breath"],
    )


def _springs(table: Table, on: Apparatus) -> Springs:
    return Springs(*(on.parse(table[part]) for part in ("usual", "easier", "harder", "limit")))


def _level(number: int) -> Level:
    try:
        return Level(number)
    except ValueError as fault:
        raise LibraryError(f"level {number!r} is not 1, 2 or 3") from fault


def _optional(text: str | None, make: Callable[[str], ExerciseId]) -> ExerciseId | None:
    return make(text) if text else None


def _words(kind: type[Word], texts: Iterable[str]) -> tuple[Word, ...]:
    return tuple(_word(kind, text) for text in texts)


def _word(kind: type[Word], text: str) -> Word:
    try:
        return kind(text)
    except ValueError as fault:
        known = ", ".join(word.value for word in kind)
        raise LibraryError(f"{text!r} is no {kind.__name__.lower()}: {known}") from fault
