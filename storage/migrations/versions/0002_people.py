"""People, their notes and groups, sealed; changes, the audit trail, and who is let in."""

import sqlalchemy as sa
import sqlmodel
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

NEW = ("filed", "retention_days", "admitted_at", "revoked")  # columns of an instructor


def upgrade() -> None:
    """The next shape."""
    instant = sqlmodel.sql.sqltypes.UTCDateTime
    zero = sa.Column("filed", sa.Integer(), server_default="0", nullable=False)
    inside = sa.Column("revoked", sa.Boolean(), server_default=sa.false(), nullable=False)
    op.add_column("instructor", zero)
    op.add_column("instructor", sa.Column("retention_days", sa.Integer(), nullable=True))
    op.add_column("instructor", sa.Column("admitted_at", instant(), nullable=True))
    op.add_column("instructor", inside)
    op.create_table(
        "sealing_key",
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("mark", sa.LargeBinary(), nullable=False),
        sa.PrimaryKeyConstraint("number", name="pk_sealing_key"),
    )
    for table, texts in (("client", ("form", "flags")), ("client_group", ("members",))):
        op.create_table(
            table,
            _owner(table),
            sa.Column("id", sa.Integer(), nullable=False),
            *_sealed("name_key", "name", *texts),
            sa.PrimaryKeyConstraint("owner", "id", name=f"pk_{table}"),
            sa.UniqueConstraint("owner", "name_key", name=f"uq_{table}_owner"),
        )
    for table, text in (("note", "text"), ("declaration", "form")):
        op.create_table(
            table,
            sa.Column("owner", sa.Integer(), nullable=False),
            sa.Column("id", sa.Integer(), nullable=False),
            sa.Column("client", sa.Integer(), nullable=False),
            sa.Column("made_at", instant(), nullable=False),
            *_sealed(text),
            sa.PrimaryKeyConstraint("owner", "id", name=f"pk_{table}"),
            sa.ForeignKeyConstraint(
                ["owner", "client"],
                ["client.owner", "client.id"],
                name=f"fk_{table}_owner",
                ondelete="CASCADE",
            ),
        )
        op.create_index(f"ix_{table}_owner", table, ["owner", "client", "made_at", "id"])
    op.create_table(
        "change",
        _owner("change"),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("client", sa.Integer(), nullable=True),
        sa.Column("made_at", instant(), nullable=False),
        *_sealed("form"),
        sa.PrimaryKeyConstraint("owner", "id", name="pk_change"),
    )
    op.create_table(
        "audit",
        sa.Column("id", sa.Integer(), nullable=False),
        _owner("audit"),
        sa.Column("at", instant(), nullable=False),
        sa.Column("what", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("counts", sa.JSON(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_audit"),
    )
    op.create_index("ix_audit_owner", "audit", ["owner", "id"])


def downgrade() -> None:
    """The shape before. Plans that are covered wait unread for the next upgrade.

    That shape can't keep anybody out who was once let in, so her door gets another name.
    """
    bind = op.get_bind()
    bind.execute(sa.text("UPDATE instructor SET door = 'revoked ' || door WHERE revoked"))
    for table in ("audit", "change", "declaration", "note", "client_group", "client"):
        op.drop_table(table)
    op.drop_table("sealing_key")
    # Covered texts would be taken for what somebody typed; the next program makes them anew.
    for table, column in (("talk", "form"), ("line", "line")):
        where = sa.table(table, sa.column(column))
        covered = sa.cast(where.c[column], sa.Text()).like("%sealed:%")
        bind.execute(sa.delete(where).where(covered))
    for column in NEW:
        op.drop_column("instructor", column)


def _owner(table: str) -> sa.Column[int]:
    """Whose a row is; it goes when its instructor goes."""
    key = sa.ForeignKey("instructor.id", name=f"fk_{table}_owner", ondelete="CASCADE")
    return sa.Column("owner", sa.Integer(), key, nullable=False)


def _sealed(*names: str) -> list[sa.Column[bytes]]:
    return [sa.Column(name, sa.LargeBinary(), nullable=False) for name in names]
