"""The row of one instructor inside a transaction: read once, written back if it was changed."""

from collections.abc import Mapping
from typing import Any

from sqlalchemy import Connection, bindparam, select, update

from core.instructor import Instructor, OwnerId
from storage.form import habits_from_json
from storage.tables import InstructorRow

TABLE = InstructorRow.metadata.tables["instructor"]
KEPT = ("zone", "habits", "plans", "filed", "retention_days")  # what her transactions may change
THIS = TABLE.c.id == bindparam("of")
LOCKED = (
    select(TABLE.c.id, TABLE.c.door, TABLE.c.revoked, *(TABLE.c[name] for name in KEPT))
    .where(THIS)
    .with_for_update()
)


class Hers:
    """What an instructor's row says.

    Attributes:
        zone, habits, plans, filed, retention_days: see `storage.tables.InstructorRow`.
    """

    def __init__(self, row: Any) -> None:  # noqa: ANN401 - a row has no type of its own
        self.id = OwnerId(row.id)
        self.door: str = row.door
        self.revoked: bool = row.revoked
        self.zone: str = row.zone
        self.habits: Mapping[str, Any] = row.habits
        self.plans: int = row.plans
        self.filed: int = row.filed
        self.retention_days: int | None = row.retention_days
        self._read = self._values()

    def to_core(self) -> Instructor:
        """The instructor."""
        return Instructor(self.id, self.door, self.zone, habits_from_json(self.habits))

    def write(self, connection: Connection) -> None:
        """Write down what was changed."""
        values = self._values()
        changed = {name: values[name] for name in KEPT if values[name] != self._read[name]}
        if changed:
            connection.execute(update(TABLE).where(THIS).values(**changed), {"of": self.id})

    def _values(self) -> dict[str, Any]:
        return {name: getattr(self, name) for name in KEPT}


def locked(connection: Connection, owner: OwnerId) -> Hers | None:
    """Her row, which is her lock where the database does not lock as a whole anyway."""
    row = connection.execute(LOCKED, {"of": owner}).first()
    return None if row is None else Hers(row)
