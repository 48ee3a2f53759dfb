"""Classes, holidays, reminders and when she wants to hear of them, all sealed."""

import sqlalchemy as sa
import sqlmodel
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None

TABLES = ("class_entry", "away", "rhythm", "reminder")


def upgrade() -> None:
    """The next shape."""
    instant = sqlmodel.sql.sqltypes.UTCDateTime
    text = sqlmodel.sql.sqltypes.AutoString
    for table in TABLES:
        key = sa.ForeignKey("instructor.id", name=f"fk_{table}_owner", ondelete="CASCADE")
        op.create_table(
            table,
            sa.Column("owner", sa.Integer(), key, nullable=False),
            sa.Column("id", sa.Integer(), nullable=False),
            sa.Column("client", sa.Integer(), nullable=True),
            sa.Column("made_at", instant(), nullable=False),
            sa.Column("form", sa.LargeBinary(), nullable=False),
            *(
                (
                    sa.Column("due", instant(), nullable=True),
                    sa.Column("lease_until", instant(), nullable=True),
                    sa.Column("worker", text(), server_default="", nullable=False),
                )
                if table == "reminder"
                else ()
            ),
            sa.PrimaryKeyConstraint("owner", "id", name=f"pk_{table}"),
        )
    is_due = sa.text("due IS NOT NULL")
    op.create_index(
        "ix_reminder_due", "reminder", ["due"], sqlite_where=is_due, postgresql_where=is_due
    )
    op.create_index("ix_reminder_owner", "reminder", ["owner", "client"])


def downgrade() -> None:
    """The shape before, without a diary; what could be taken back in it no longer can."""
    for table in reversed(TABLES):
        op.drop_table(table)
    op.execute("DELETE FROM change")  # some are of the diary, and sealed: nobody can tell which
