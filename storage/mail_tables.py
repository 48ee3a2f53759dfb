"""The rows of what comes in and goes out: updates, letters, whose turn it is, how fast.

Bodies are sealed. What is done keeps its number, so that it is known when it comes again, and
loses its body; it goes altogether when nobody can send it again.
"""

from datetime import datetime

from sqlalchemy import BigInteger, Column, Index, Integer, UniqueConstraint, text
from sqlmodel import Field

from storage.tables import OWNER, Row

OPEN = text("state = 0")  # most rows are done, and what is looked for all the time is not

LONG = BigInteger().with_variant(Integer, "sqlite")  # SQLite counts up by itself in INTEGER only


class InboxRow(Row, table=True):
    """An update of the channel.

    Attributes:
        number: what the channel calls it.
        chat: whose lane it waits in.
        state: see `storage.mail.State`.
        attempts: how many workers have died over it.
        error: why it was given up.
    """

    __tablename__ = "inbox"
    __table_args__ = (
        Index("ix_inbox_chat", "chat", "number", sqlite_where=OPEN, postgresql_where=OPEN),
        Index("ix_inbox_arrived", "arrived"),
    )

    number: int = Field(sa_column=Column(BigInteger, primary_key=True, autoincrement=False))
    chat: str
    body: bytes | None
    arrived: datetime
    state: int = 0
    attempts: int = 0
    error: str | None = None


class OutboxRow(Row, table=True):
    """A message of ours, one bubble on the phone.

    Attributes:
        owner: whose it is; nobody's when a stranger is answered.
        post, part: what it belongs to, and its place there; given once only.
        due: not before this instant.
        attempts: how often sending it has failed or ended unknown.
        error: the type of the last failure.
        message: what the channel calls it, once it is there.
    """

    __tablename__ = "outbox"
    __table_args__ = (
        UniqueConstraint("post", "part"),
        Index("ix_outbox_chat", "chat", "due", "id", sqlite_where=OPEN, postgresql_where=OPEN),
        Index("ix_outbox_due", "due", sqlite_where=OPEN, postgresql_where=OPEN),
        Index("ix_outbox_owner", "owner", sqlite_where=OPEN, postgresql_where=OPEN),
        Index("ix_outbox_made_at", "made_at"),
    )

    id: int = Field(default=None, sa_column=Column(LONG, primary_key=True))
    owner: int | None = Field(default=None, foreign_key=OWNER, ondelete="CASCADE")
    chat: str
    post: str
    part: int
    body: bytes | None
    made_at: datetime
    due: datetime
    state: int = 0
    attempts: int = 0
    error: str | None = None
    message: int | None = Field(default=None, sa_column=Column(BigInteger))


class LaneRow(Row, table=True):
    """A chat, which one worker has at a time.

    Attributes:
        lease_until: until when it is the worker's, who renews it while alive.
        quiet_until: nothing is sent there before this instant.
        recent: when messages were sent there lately, in seconds, as JSON; kept for groups.
    """

    __tablename__ = "lane"
    __table_args__ = (Index("ix_lane_worker", "worker"),)

    chat: str = Field(primary_key=True)
    worker: str | None = None
    lease_until: datetime | None = None
    quiet_until: datetime | None = None
    recent: str = "[]"


class PaceRow(Row, table=True):
    """How fast a channel is written to by all workers together.

    Attributes:
        quiet_until: the channel asked to be left alone until this instant.
        spent: when how many messages were allowed lately, in seconds, as JSON.
    """

    __tablename__ = "pace"

    channel: str = Field(primary_key=True)
    quiet_until: datetime | None = None
    spent: str = "[]"
