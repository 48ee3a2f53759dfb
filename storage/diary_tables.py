"""The rows of the diary and of reminders. Their texts are sealed; see `storage.crypto`.

In the open stands when a reminder is due next, because everybody's are asked for at once.
"""

from datetime import datetime

from sqlalchemy import Index, text
from sqlmodel import Field

from storage.tables import OWNER, Row

DUE = text("due IS NOT NULL")


class ClassEntryRow(Row, table=True):
    """A class in the diary, with what was moved or called off in the same field."""

    __tablename__ = "class_entry"

    owner: int = Field(foreign_key=OWNER, ondelete="CASCADE", primary_key=True)
    id: int = Field(primary_key=True)
    client: int | None
    made_at: datetime
    form: bytes


class AwayRow(Row, table=True):
    """Days on which she teaches nothing."""

    __tablename__ = "away"

    owner: int = Field(foreign_key=OWNER, ondelete="CASCADE", primary_key=True)
    id: int = Field(primary_key=True)
    client: int | None
    made_at: datetime
    form: bytes


class RhythmRow(Row, table=True):
    """When she wants to hear something; there is one at most."""

    __tablename__ = "rhythm"

    owner: int = Field(foreign_key=OWNER, ondelete="CASCADE", primary_key=True)
    id: int = Field(primary_key=True)
    client: int | None
    made_at: datetime
    form: bytes


class ReminderRow(Row, table=True):
    """Something to be said at a time.

    Attributes:
        due: the instant it is to be said next; None when it is not.
        lease_until: until when a worker has it in hand.
        worker: which one.
    """

    __tablename__ = "reminder"
    __table_args__ = (
        # Only what is due some day stands in it, so it stays small and its beginning is the answer.
        Index("ix_reminder_due", "due", sqlite_where=DUE, postgresql_where=DUE),
        Index("ix_reminder_owner", "owner", "client"),
    )

    owner: int = Field(foreign_key=OWNER, ondelete="CASCADE", primary_key=True)
    id: int = Field(primary_key=True)
    client: int | None
    made_at: datetime
    form: bytes
    due: datetime | None
    lease_until: datetime | None
    worker: str = Field(default="", sa_column_kwargs={"server_default": ""})
