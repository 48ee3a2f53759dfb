"""An instructor's own apparatus, exercises and remarks in a database."""

from typing import Any

from sqlalchemy import bindparam, delete
from sqlalchemy import select as columns
from sqlmodel import col, select

from core.apparatus import Apparatus, ApparatusId
from core.calibration import Reading
from core.record import apparatus_from_table, apparatus_to_table
from storage.cover import name_and, with_name
from storage.errors import SealError
from storage.form import Json
from storage.places import exercise_place, remark_place
from storage.tables import ApparatusRow, ExerciseRow, ReadingRow, RemarkRow, Row
from storage.tie import Tied

APPARATUS, EXERCISE = (Row.metadata.tables[name] for name in ("apparatus", "exercise"))
DESCRIBED = (
    columns(APPARATUS.c.form).where(APPARATUS.c.owner == bindparam("of")).order_by(APPARATUS.c.id)
)
ADDED = (
    columns(EXERCISE.c.exercise, EXERCISE.c.form)
    .where(EXERCISE.c.owner == bindparam("of"), EXERCISE.c.retired.is_(False))
    .order_by(EXERCISE.c.id)
)


class SqlShelf(Tied):
    """What is hers of the library, inside one transaction."""

    def apparatus(self) -> dict[ApparatusId, Apparatus]:
        """Her own descriptions, in the order first described."""
        self._tie.flush()
        rows = self._connection.execute(DESCRIBED, {"of": self._owner})
        found = (apparatus_from_table(row.form) for row in rows)
        return {each.id: each for each in found}

    def describe(self, apparatus: Apparatus) -> None:
        """Keep her description, replacing an earlier one."""
        query = select(ApparatusRow).where(
            ApparatusRow.owner == self._owner, ApparatusRow.apparatus == apparatus.id
        )
        form = apparatus_to_table(apparatus)
        row = self._session.exec(query).one_or_none()
        if row is None:
            row = ApparatusRow(owner=self._owner, apparatus=apparatus.id, form=form)
        row.form = form
        self._session.add(row)

    def undescribe(self, apparatus_id: ApparatusId) -> None:
        """Forget her description and her readings of an apparatus."""
        for table in (ApparatusRow, ReadingRow):
            self._session.exec(
                delete(table).where(
                    col(table.owner) == self._owner, col(table.apparatus) == apparatus_id
                )
            )

    def readings(self, apparatus_id: ApparatusId) -> tuple[Reading, ...]:
        """What scales showed on an apparatus, by spring."""
        query = select(ReadingRow).where(
            ReadingRow.owner == self._owner, ReadingRow.apparatus == apparatus_id
        )
        # Sorted here: databases differ in what comes first of two texts.
        rows = sorted(self._session.exec(query), key=lambda row: row.token)
        return tuple(row.to_core() for row in rows)

    def keep_reading(self, apparatus_id: ApparatusId, reading: Reading) -> None:
        """Keep what a scale showed, replacing an earlier reading of that spring."""
        self._session.merge(
            ReadingRow(
                owner=self._owner,
                apparatus=apparatus_id,
                token=reading.token,
                top_kg=reading.top_kg,
                bottom_kg=reading.bottom_kg,
                travel_m=reading.travel_m,
            )
        )

    def exercises(self) -> list[dict[str, Any]]:
        """Tables of her own exercises, in the order added, retired ones left out."""
        self._tie.flush()
        tables = []
        for row in self._connection.execute(ADDED, {"of": self._owner}):
            try:
                tables.append(self._cover.read_form(exercise_place(row.exercise), row.form))
            except SealError as fault:
                self._cover.fault(fault)
        return tables

    def keep_exercise(self, exercise_id: str, table: Json) -> None:
        """Keep an exercise of her own in use, at the place it had if it had one."""
        key = self._cover.key("exercise", exercise_id)
        form = self._cover.form(exercise_place(key), table)
        row = self._exercise(exercise_id)
        if row is None:
            row = ExerciseRow(owner=self._owner, exercise=key, form=form)
        row.exercise, row.form, row.retired = key, form, False
        self._session.add(row)

    def retire_exercise(self, exercise_id: str) -> bool:
        """Whether there was such an exercise in use; it no longer is."""
        row = self._exercise(exercise_id)
        if row is None or row.retired:
            return False
        row.retired = True
        return True

    def remarks(self, exercise_id: str) -> list[str]:
        """Her own cues and notes on an exercise, in the order written."""
        known = self._cover.keys("remark", exercise_id)
        query = select(RemarkRow).where(
            RemarkRow.owner == self._owner, col(RemarkRow.exercise).in_(known)
        )
        texts = []
        for row in self._session.exec(query.order_by(col(RemarkRow.id))):
            try:
                kept = self._cover.read(remark_place(row.exercise, row.id), row.text)
            except SealError as fault:
                self._cover.fault(fault)
            else:
                texts.append(name_and(row.exercise, kept)[1])
        return texts

    def add_remark(self, exercise_id: str, text: str) -> None:
        """Keep a cue or note on an exercise."""
        key = self._cover.key("remark", exercise_id)
        row = RemarkRow(owner=self._owner, exercise=key, text="")
        self._session.add(row)
        self._session.flush()  # it is bound to its number, which the database gives
        kept = with_name(key, exercise_id, text)
        row.text = self._cover.text(remark_place(key, row.id), kept)

    def _exercise(self, exercise_id: str) -> ExerciseRow | None:
        known = self._cover.keys("exercise", exercise_id)
        query = select(ExerciseRow).where(
            ExerciseRow.owner == self._owner, col(ExerciseRow.exercise).in_(known)
        )
        return self._session.exec(query).one_or_none()
