"""An instructor's own apparatus, exercises and remarks in a database."""

from copy import deepcopy
from typing import Any

from sqlalchemy import delete
from sqlmodel import Session, col, select

from core.apparatus import Apparatus, ApparatusId
from core.calibration import Reading
from core.record import apparatus_to_table
from storage.form import Json
from storage.tables import ApparatusRow, ExerciseRow, ReadingRow, RemarkRow


class SqlShelf:
    """What is hers of the library, inside one transaction."""

    def __init__(self, session: Session, owner: int) -> None:
        self._session = session
        self._owner = owner

    def apparatus(self) -> dict[ApparatusId, Apparatus]:
        """Her own descriptions, in the order first described."""
        query = select(ApparatusRow).where(ApparatusRow.owner == self._owner)
        rows = self._session.exec(query.order_by(col(ApparatusRow.id)))
        return {each.id: each for each in (row.to_core() for row in rows)}

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
        rows = self._session.exec(query.order_by(ReadingRow.token))
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
        query = select(ExerciseRow).where(
            ExerciseRow.owner == self._owner, col(ExerciseRow.retired).is_(False)
        )
        rows = self._session.exec(query.order_by(col(ExerciseRow.id)))
        return [_copy(row.form) for row in rows]

    def keep_exercise(self, exercise_id: str, table: Json) -> None:
        """Keep an exercise of her own in use, at the place it had if it had one."""
        row = self._exercise(exercise_id)
        if row is None:
            row = ExerciseRow(owner=self._owner, exercise=exercise_id, form=_copy(table))
        row.form, row.retired = _copy(table), False
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
        query = select(RemarkRow.text).where(
            RemarkRow.owner == self._owner, RemarkRow.exercise == exercise_id
        )
        return list(self._session.exec(query.order_by(col(RemarkRow.id))))

    def add_remark(self, exercise_id: str, text: str) -> None:
        """Keep a cue or note on an exercise."""
        self._session.add(RemarkRow(owner=self._owner, exercise=exercise_id, text=text))

    def _exercise(self, exercise_id: str) -> ExerciseRow | None:
        query = select(ExerciseRow).where(
            ExerciseRow.owner == self._owner, ExerciseRow.exercise == exercise_id
        )
        return self._session.exec(query).one_or_none()


def _copy(form: Json) -> dict[str, Any]:
    """A document that shares nothing with this one: what a caller does to hers stays hers."""
    return deepcopy(dict(form))
