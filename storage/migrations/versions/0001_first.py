"""Instructors, and what belongs to each."""

import sqlalchemy as sa
import sqlmodel
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """The next shape."""
    text = sqlmodel.sql.sqltypes.AutoString
    instant = sqlmodel.sql.sqltypes.UTCDateTime
    op.create_table(
        "instructor",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("door", text(), nullable=False),
        sa.Column("zone", text(), nullable=False),
        sa.Column("habits", sa.JSON(), nullable=False),
        sa.Column("plans", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_instructor"),
        sa.UniqueConstraint("door", name="uq_instructor_door"),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "code",
        sa.Column("digest", sa.LargeBinary(), nullable=False),
        sa.Column("expires", instant(), nullable=False),
        sa.PrimaryKeyConstraint("digest", name="pk_code"),
    )
    op.create_table(
        "plan",
        _owner("plan"),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("group_name", text(), nullable=False),
        sa.Column("group_key", text(), nullable=False),
        sa.Column("made_at", instant(), nullable=False),
        sa.Column("form", sa.JSON(), nullable=False),
        sa.PrimaryKeyConstraint("owner", "number", name="pk_plan"),
    )
    op.create_index("ix_plan_owner", "plan", ["owner", "group_key", "number"])
    op.create_table(
        "kept_class",
        _owner("kept_class"),
        sa.Column("name_key", text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("name", text(), nullable=False),
        sa.Column("plan", sa.Integer(), nullable=False),
        sa.Column("retired", sa.Boolean(), nullable=False),
        sa.PrimaryKeyConstraint("owner", "name_key", "version", name="pk_kept_class"),
    )
    op.create_table(
        "talk",
        _owner("talk"),
        sa.Column("chat", text(), nullable=False),
        sa.Column("form", sa.JSON(), nullable=False),
        sa.PrimaryKeyConstraint("owner", "chat", name="pk_talk"),
    )
    op.create_table(
        "line",
        _owner("line"),
        sa.Column("token", text(), nullable=False),
        sa.Column("line", text(), nullable=False),
        sa.PrimaryKeyConstraint("owner", "token", name="pk_line"),
    )
    op.create_table(
        "apparatus",
        sa.Column("id", sa.Integer(), nullable=False),
        _owner("apparatus"),
        sa.Column("apparatus", text(), nullable=False),
        sa.Column("form", sa.JSON(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_apparatus"),
        sa.UniqueConstraint("owner", "apparatus", name="uq_apparatus_owner"),
    )
    op.create_table(
        "reading",
        _owner("reading"),
        sa.Column("apparatus", text(), nullable=False),
        sa.Column("token", text(), nullable=False),
        sa.Column("top_kg", sa.Float(), nullable=False),
        sa.Column("bottom_kg", sa.Float(), nullable=False),
        sa.Column("travel_m", sa.Float(), nullable=False),
        sa.PrimaryKeyConstraint("owner", "apparatus", "token", name="pk_reading"),
    )
    op.create_table(
        "exercise",
        sa.Column("id", sa.Integer(), nullable=False),
        _owner("exercise"),
        sa.Column("exercise", text(), nullable=False),
        sa.Column("form", sa.JSON(), nullable=False),
        sa.Column("retired", sa.Boolean(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_exercise"),
        sa.UniqueConstraint("owner", "exercise", name="uq_exercise_owner"),
    )
    op.create_table(
        "remark",
        sa.Column("id", sa.Integer(), nullable=False),
        _owner("remark"),
        sa.Column("exercise", text(), nullable=False),
        sa.Column("text", text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_remark"),
    )
    op.create_index("ix_remark_owner", "remark", ["owner", "exercise", "id"])


def downgrade() -> None:
    """The shape before."""
    tables = (
        "remark",
        "exercise",
        "reading",
        "apparatus",
        "line",
        "talk",
        "kept_class",
        "plan",
        "code",
    )
    for table in (*tables, "instructor"):
        op.drop_table(table)


def _owner(table: str) -> sa.Column[int]:
    """Whose a row is; it goes when its instructor goes."""
    key = sa.ForeignKey("instructor.id", name=f"fk_{table}_owner", ondelete="CASCADE")
    return sa.Column("owner", sa.Integer(), key, nullable=False)
