"""The rows of what is kept about people. Their texts are sealed; see `storage.crypto`.

What stands here in the open: whose a row is, its number, which number it is about, and when it was
made. The last two are bound to the sealed text, and so can't be changed unseen.
"""

from datetime import datetime
from typing import Any

from sqlalchemy import JSON, ForeignKeyConstraint, Index, UniqueConstraint
from sqlmodel import Field

from storage.tables import OWNER, Row


def _about_a_client() -> ForeignKeyConstraint:
    return ForeignKeyConstraint(
        ["owner", "client"], ["client.owner", "client.id"], ondelete="CASCADE"
    )


class KeyRow(Row, table=True):
    """What a key that has sealed something here is recognised by."""

    __tablename__ = "sealing_key"

    number: int = Field(primary_key=True)
    mark: bytes


class ClientRow(Row, table=True):
    """A client; her flags stand in one field, so that none can be taken away unseen."""

    __tablename__ = "client"
    __table_args__ = (UniqueConstraint("owner", "name_key"),)

    owner: int = Field(foreign_key=OWNER, ondelete="CASCADE", primary_key=True)
    id: int = Field(primary_key=True)
    name_key: bytes
    name: bytes
    form: bytes
    flags: bytes


class ClientGroupRow(Row, table=True):
    """A group; its people stand in one field."""

    __tablename__ = "client_group"
    __table_args__ = (UniqueConstraint("owner", "name_key"),)

    owner: int = Field(foreign_key=OWNER, ondelete="CASCADE", primary_key=True)
    id: int = Field(primary_key=True)
    name_key: bytes
    name: bytes
    members: bytes


class NoteRow(Row, table=True):
    """A note on a client."""

    __tablename__ = "note"
    __table_args__ = (_about_a_client(), Index(None, "owner", "client", "made_at", "id"))

    owner: int = Field(primary_key=True)
    id: int = Field(primary_key=True)
    client: int
    made_at: datetime
    text: bytes


class DeclarationRow(Row, table=True):
    """What a client has answered or agreed to."""

    __tablename__ = "declaration"
    __table_args__ = (_about_a_client(), Index(None, "owner", "client", "made_at", "id"))

    owner: int = Field(primary_key=True)
    id: int = Field(primary_key=True)
    client: int
    made_at: datetime
    form: bytes


class AttendanceRow(Row, table=True):
    """A client and a class she was expected in; `made_at` is when the class began."""

    __tablename__ = "attendance"
    __table_args__ = (_about_a_client(), Index(None, "owner", "client", "made_at", "id"))

    owner: int = Field(primary_key=True)
    id: int = Field(primary_key=True)
    client: int
    made_at: datetime
    form: bytes


class ChangeRow(Row, table=True):
    """What a sheet was before it was changed; a change of a group is about no client."""

    __tablename__ = "change"

    owner: int = Field(foreign_key=OWNER, ondelete="CASCADE", primary_key=True)
    id: int = Field(primary_key=True)
    client: int | None
    made_at: datetime
    form: bytes


class AuditRow(Row, table=True):
    """That something was done; nothing of what it was done to."""

    __tablename__ = "audit"
    __table_args__ = (Index(None, "owner", "id"),)

    id: int = Field(default=None, primary_key=True)
    owner: int = Field(foreign_key=OWNER, ondelete="CASCADE")
    at: datetime
    what: str
    counts: dict[str, Any] = Field(sa_type=JSON)
