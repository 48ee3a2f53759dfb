"""The library as one instructor has it: her own apparatus descriptions and exercises in it."""

from collections.abc import Iterable, Mapping

from core.apparatus import Apparatus, ApparatusId
from core.errors import CoreError, SpringError
from core.exercise import Exercise, ExerciseId
from core.record import Table, exercise_from_table
from core.repertoire import Repertoire
from core.translate import translate


def own_repertoire(
    shipped: Repertoire,
    described: Mapping[ApparatusId, Apparatus],
    tables: Iterable[Table],
) -> Repertoire:
    """The shipped library with her springs and her exercises; incomplete ones are left out.

    Every shipped exercise has its four settings in terms of her apparatus, so plans, options and
    equivalents follow her description without knowing of it.
    """
    apparatus = {**shipped.apparatus, **described}
    exercises: dict[ExerciseId, Exercise] = {}
    for e in shipped.exercises.values():
        mine = described.get(e.apparatus)
        try:
            exercises[e.id] = translate(e, shipped.apparatus[e.apparatus], mine) if mine else e
        except SpringError:
            continue  # her apparatus has no spring light, heavy or high enough for it
    for table in tables:
        try:
            exercise = exercise_from_table(table, apparatus)
        except CoreError:
            continue  # not complete yet, or its springs are gone: it says so when looked at
        exercises[exercise.id] = exercise
    return Repertoire(exercises, apparatus, shipped.acts)
