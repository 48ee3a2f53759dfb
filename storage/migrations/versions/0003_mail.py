"""What comes in and goes out: an inbox, an outbox, lanes and pace."""

import sqlalchemy as sa
import sqlmodel
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None

TABLES = ("pace", "lane", "outbox", "inbox")


def upgrade() -> None:
    """The next shape."""
    instant = sqlmodel.sql.sqltypes.UTCDateTime
    string = sqlmodel.sql.sqltypes.AutoString
    waiting = sa.text("state = 0")
    partial = {"sqlite_where": waiting, "postgresql_where": waiting}
    op.create_table(
        "inbox",
        sa.Column("number", sa.BigInteger(), autoincrement=False, nullable=False),
        sa.Column("chat", string(), nullable=False),
        sa.Column("body", sa.LargeBinary(), nullable=True),
        sa.Column("arrived", instant(), nullable=False),
        sa.Column("state", sa.Integer(), nullable=False),
        sa.Column("attempts", sa.Integer(), nullable=False),
        sa.Column("error", string(), nullable=True),
        sa.PrimaryKeyConstraint("number", name="pk_inbox"),
    )
    op.create_index("ix_inbox_chat", "inbox", ["chat", "number"], **partial)
    op.create_index("ix_inbox_arrived", "inbox", ["arrived"])
    op.create_table(
        "outbox",
        sa.Column("id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column(
            "owner",
            sa.Integer(),
            sa.ForeignKey("instructor.id", name="fk_outbox_owner", ondelete="CASCADE"),
            nullable=True,
        ),
        sa.Column("chat", string(), nullable=False),
        sa.Column("post", string(), nullable=False),
        sa.Column("part", sa.Integer(), nullable=False),
        sa.Column("body", sa.LargeBinary(), nullable=True),
        sa.Column("made_at", instant(), nullable=False),
        sa.Column("due", instant(), nullable=False),
        sa.Column("state", sa.Integer(), nullable=False),
        sa.Column("attempts", sa.Integer(), nullable=False),
        sa.Column("error", string(), nullable=True),
        sa.Column("message", sa.BigInteger(), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_outbox"),
        sa.UniqueConstraint("post", "part", name="uq_outbox_post"),
    )
    op.create_index("ix_outbox_chat", "outbox", ["chat", "due", "id"], **partial)
    op.create_index("ix_outbox_due", "outbox", ["due"], **partial)
    op.create_index("ix_outbox_owner", "outbox", ["owner"], **partial)
    op.create_index("ix_outbox_made_at", "outbox", ["made_at"])
    op.create_table(
        "lane",
        sa.Column("chat", string(), nullable=False),
        sa.Column("worker", string(), nullable=True),
        sa.Column("lease_until", instant(), nullable=True),
        sa.Column("quiet_until", instant(), nullable=True),
        sa.Column("recent", string(), nullable=False),
        sa.PrimaryKeyConstraint("chat", name="pk_lane"),
    )
    op.create_index("ix_lane_worker", "lane", ["worker"])
    op.create_table(
        "pace",
        sa.Column("channel", string(), nullable=False),
        sa.Column("quiet_until", instant(), nullable=True),
        sa.Column("spent", string(), nullable=False),
        sa.PrimaryKeyConstraint("channel", name="pk_pace"),
    )
    op.add_column("instructor", sa.Column("turn", sa.Integer(), server_default="0", nullable=False))


def downgrade() -> None:
    """The shape before; messages that wait to be sent are lost."""
    op.drop_column("instructor", "turn")
    for table in TABLES:
        op.drop_table(table)
