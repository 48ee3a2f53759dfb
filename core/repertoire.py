"""The immutable, indexed library: every exercise, apparatus and safety act by its id."""

import tomllib
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from importlib.resources import files
from typing import Any

from core.apparatus import Apparatus, ApparatusId
from core.errors import LibraryError
from core.exercise import Exercise, ExerciseId
from core.record import apparatus_from_table, exercise_from_table

DATA = files("core") / "library"
ELSEWHERE = ("cautions", "red-flags")  # what these files begin with; read where they are needed


@dataclass(frozen=True, slots=True, eq=False)
class Repertoire:
    """What can be chosen from; two are the same only if they are one object, so it can be a key.

    Attributes:
        exercises: id -> exercise, in the order of the library's files.
        apparatus: id -> apparatus, the instructor's own description where she gave one.
        acts: safety act id -> the sentence to say.
    """

    exercises: Mapping[ExerciseId, Exercise]
    apparatus: Mapping[ApparatusId, Apparatus]
    acts: Mapping[str, str]
    families: Mapping[str, tuple[Exercise, ...]] = field(init=False)
    by_apparatus: Mapping[ApparatusId, tuple[Exercise, ...]] = field(init=False)

    def __post_init__(self) -> None:
        families: defaultdict[str, list[Exercise]] = defaultdict(list)
        on: defaultdict[ApparatusId, list[Exercise]] = defaultdict(list)
        for exercise in self.exercises.values():
            families[exercise.family].append(exercise)
            on[exercise.apparatus].append(exercise)
        object.__setattr__(self, "families", {k: tuple(v) for k, v in families.items()})
        object.__setattr__(self, "by_apparatus", {k: tuple(v) for k, v in on.items()})

    def __getitem__(self, exercise_id: str) -> Exercise:
        return self.exercises[ExerciseId(exercise_id)]


@lru_cache(maxsize=1)
def shipped() -> Repertoire:
    """The library that ships with the project, read once.

    Raises:
        LibraryError: a file can't be read as TOML, or a record in it is wrong; the message names
            the file or the record.
    """
    tables = {
        entry.name: _read(entry.name, entry.read_text(encoding="utf-8"))
        for entry in sorted(DATA.iterdir(), key=lambda entry: entry.name)
        if entry.name.endswith(".toml") and not entry.name.startswith(ELSEWHERE)
    }
    apparatus = [apparatus_from_table(t) for t in tables["apparatus.toml"]["apparatus"]]
    acts = {act["id"]: act["say"] for act in tables["safety.toml"]["act"]}
    records = [record for table in tables.values() for record in table.get("exercise", ())]
    return build(records, apparatus, acts)


def build(
    records: Iterable[Mapping[str, Any]], apparatus: Iterable[Apparatus], acts: Mapping[str, str]
) -> Repertoire:
    """The repertoire of these records.

    Raises:
        LibraryError: a record is wrong or an id stands twice.
    """
    known = {each.id: each for each in apparatus}
    exercises: dict[ExerciseId, Exercise] = {}
    for record in records:
        exercise = exercise_from_table(record, known)
        if exercise.id in exercises:
            raise LibraryError(f"{exercise.id}: the id stands twice")
        exercises[exercise.id] = exercise
    return Repertoire(exercises, known, acts)


def _read(name: str, text: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as fault:
        raise LibraryError(f"{name}: {fault}") from fault
