"""Taught classes, who was in them, and what is learned from them."""

import sqlalchemy as sa
import sqlmodel
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """The next shape."""
    instant = sqlmodel.sql.sqltypes.UTCDateTime
    string = sqlmodel.sql.sqltypes.AutoString
    op.create_table(
        "taught",
        _owner("taught"),
        sa.Column("plan", sa.Integer(), nullable=False),
        sa.Column("at", instant(), nullable=False),
        sa.Column("form", sa.JSON(), nullable=False),
        sa.PrimaryKeyConstraint("owner", "plan", name="pk_taught"),
    )
    op.create_index("ix_taught_owner", "taught", ["owner", "at"])
    op.create_table(
        "learned",
        _owner("learned"),
        sa.Column("about", string(), nullable=False),
        sa.Column("form", sa.JSON(), nullable=False),
        sa.PrimaryKeyConstraint("owner", "about", name="pk_learned"),
    )
    op.create_table(
        "attendance",
        sa.Column("owner", sa.Integer(), nullable=False),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("client", sa.Integer(), nullable=False),
        sa.Column("made_at", instant(), nullable=False),
        sa.Column("form", sa.LargeBinary(), nullable=False),
        sa.PrimaryKeyConstraint("owner", "id", name="pk_attendance"),
        sa.ForeignKeyConstraint(
            ["owner", "client"],
            ["client.owner", "client.id"],
            name="fk_attendance_owner",
            ondelete="CASCADE",
        ),
    )
    op.create_index("ix_attendance_owner", "attendance", ["owner", "client", "made_at", "id"])


def downgrade() -> None:
    """The shape before."""
    for table in ("attendance", "learned", "taught"):
        op.drop_table(table)


def _owner(table: str) -> sa.Column[int]:
    """Whose a row is; it goes when its instructor goes."""
    key = sa.ForeignKey("instructor.id", name=f"fk_{table}_owner", ondelete="CASCADE")
    return sa.Column("owner", sa.Integer(), key, nullable=False)
