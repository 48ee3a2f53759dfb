"""The rows of the database. They are read and written on this floor only."""

from datetime import datetime
from typing import Any, ClassVar

from sqlalchemy import JSON, Index, MetaData, UniqueConstraint, false
from sqlmodel import Field, SQLModel

from core.apparatus import Apparatus
from core.calibration import Reading
from core.instructor import Instructor, OwnerId
from core.record import apparatus_from_table
from core.saved import KeptClass
from storage.form import habits_from_json

# A migration can only change a constraint that has a name, and SQLite gives none by itself.
NAMES = {
    "pk": "pk_%(table_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s",
    "uq": "uq_%(table_name)s_%(column_0_name)s",
    "ix": "ix_%(table_name)s_%(column_0_name)s",
}
OWNER = "instructor.id"  # whose a row is; it goes when its instructor goes


class Row(SQLModel):
    """What all rows share."""

    metadata: ClassVar[MetaData] = MetaData(naming_convention=NAMES)


class InstructorRow(Row, table=True):
    """An instructor.

    Attributes:
        plans: how many plans were ever kept, which is the number of the last one.
        filed: the number last given to a sheet about people; it rises with every change of them.
        retention_days: for how long notes are kept; None for ever.
        admitted_at: when she was let in, where it is known.
        revoked: whether she is no longer let in.
        turn: how many transactions have changed anything of hers, where only that tells.
    """

    __tablename__ = "instructor"
    # The number of an instructor who has left is never given to another.
    __table_args__ = (UniqueConstraint("door"), {"sqlite_autoincrement": True})

    id: int = Field(default=None, primary_key=True)
    door: str
    zone: str
    habits: dict[str, Any] = Field(sa_type=JSON)
    plans: int = 0
    filed: int = Field(default=0, sa_column_kwargs={"server_default": "0"})
    retention_days: int | None = None
    admitted_at: datetime | None = None
    revoked: bool = Field(default=False, sa_column_kwargs={"server_default": false()})
    turn: int = Field(default=0, sa_column_kwargs={"server_default": "0"})

    def to_core(self) -> Instructor:
        """The instructor of this row."""
        return Instructor(OwnerId(self.id), self.door, self.zone, habits_from_json(self.habits))


class CodeRow(Row, table=True):
    """The digest of a one-time code nobody has used yet; it belongs to nobody."""

    __tablename__ = "code"

    digest: bytes = Field(primary_key=True)
    expires: datetime


class PlanRow(Row, table=True):
    """A kept plan in its public form, covered where there are keys.

    Attributes:
        starts: when its class begins on her wall, in ISO form; "" without a time, None while
            nobody has looked since the column came.
    """

    __tablename__ = "plan"
    __table_args__ = (
        Index(None, "owner", "group_key", "number"),
        Index("ix_plan_starts", "owner", "starts", "number"),
    )

    owner: int = Field(foreign_key=OWNER, ondelete="CASCADE", primary_key=True)
    number: int = Field(primary_key=True)
    group_name: str
    group_key: str
    starts: str | None = None
    made_at: datetime
    form: dict[str, Any] = Field(sa_type=JSON)


class KeptClassRow(Row, table=True):
    """A version of a class kept under a name."""

    __tablename__ = "kept_class"

    owner: int = Field(foreign_key=OWNER, ondelete="CASCADE", primary_key=True)
    name_key: str = Field(primary_key=True)
    version: int = Field(primary_key=True)
    name: str
    plan: int
    retired: bool = False

    def to_core(self) -> KeptClass:
        """The kept class of this row."""
        return KeptClass(self.name, self.version, self.plan)


class TalkRow(Row, table=True):
    """What the conversation in a chat is about."""

    __tablename__ = "talk"

    owner: int = Field(foreign_key=OWNER, ondelete="CASCADE", primary_key=True)
    chat: str = Field(primary_key=True)
    form: dict[str, Any] = Field(sa_type=JSON)


class LineRow(Row, table=True):
    """The line a button stands for."""

    __tablename__ = "line"

    owner: int = Field(foreign_key=OWNER, ondelete="CASCADE", primary_key=True)
    token: str = Field(primary_key=True)
    line: str


class ApparatusRow(Row, table=True):
    """An instructor's own description of an apparatus."""

    __tablename__ = "apparatus"
    __table_args__ = (UniqueConstraint("owner", "apparatus"),)

    id: int = Field(default=None, primary_key=True)
    owner: int = Field(foreign_key=OWNER, ondelete="CASCADE")
    apparatus: str
    form: dict[str, Any] = Field(sa_type=JSON)

    def to_core(self) -> Apparatus:
        """The apparatus of this row."""
        return apparatus_from_table(self.form)


class ReadingRow(Row, table=True):
    """What a scale showed at one spring of an apparatus."""

    __tablename__ = "reading"

    owner: int = Field(foreign_key=OWNER, ondelete="CASCADE", primary_key=True)
    apparatus: str = Field(primary_key=True)
    token: str = Field(primary_key=True)
    top_kg: float
    bottom_kg: float
    travel_m: float

    def to_core(self) -> Reading:
        """The reading of this row."""
        return Reading(self.token, self.top_kg, self.bottom_kg, self.travel_m)


class ExerciseRow(Row, table=True):
    """An exercise of an instructor's own, as its table."""

    __tablename__ = "exercise"
    __table_args__ = (UniqueConstraint("owner", "exercise"),)

    id: int = Field(default=None, primary_key=True)
    owner: int = Field(foreign_key=OWNER, ondelete="CASCADE")
    exercise: str
    form: dict[str, Any] = Field(sa_type=JSON)
    retired: bool = False


class RemarkRow(Row, table=True):
    """A cue or note on an exercise."""

    __tablename__ = "remark"
    __table_args__ = (Index(None, "owner", "exercise", "id"),)

    id: int = Field(default=None, primary_key=True)
    owner: int = Field(foreign_key=OWNER, ondelete="CASCADE")
    exercise: str
    text: str


class TaughtRow(Row, table=True):
    """A class that was taught; who was there is kept with the people, sealed."""

    __tablename__ = "taught"
    __table_args__ = (Index(None, "owner", "at"),)

    owner: int = Field(foreign_key=OWNER, ondelete="CASCADE", primary_key=True)
    plan: int = Field(primary_key=True)
    at: datetime
    form: dict[str, Any] = Field(sa_type=JSON)


class LearnedRow(Row, table=True):
    """What was learned of an instructor's ways, by what it is about."""

    __tablename__ = "learned"

    owner: int = Field(foreign_key=OWNER, ondelete="CASCADE", primary_key=True)
    about: str = Field(primary_key=True)
    form: dict[str, Any] = Field(sa_type=JSON)
