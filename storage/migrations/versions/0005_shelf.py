"""When a plan's class begins; kept names, exercises of her own and remarks may be covered."""

import sqlalchemy as sa
import sqlmodel
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None

SIGN = "\x02sealed:"
ASIDE = "aside "  # before the key of a covered row that was in use when the database went back
KEYS = (("kept_class", "name_key"), ("exercise", "exercise"))


def upgrade() -> None:
    """The next shape. What was put aside on the way back is in use again."""
    starts = sa.Column("starts", sqlmodel.sql.sqltypes.AutoString(), nullable=True)
    op.add_column("plan", starts)
    op.create_index("ix_plan_starts", "plan", ["owner", "starts", "number"])
    for name, key in KEYS:
        rows = _rows(name, key)
        op.execute(
            sa.update(rows)
            .where(rows.c[key].startswith(ASIDE + SIGN, autoescape=True))
            .values({key: sa.func.substr(rows.c[key], len(ASIDE) + 1), "retired": False})
        )


def downgrade() -> None:
    """The shape before, which can't read covered names: it sees them as put away, until the next.

    Covered remarks stand under no exercise that it asks for, and covered buttons likewise.
    """
    op.drop_index("ix_plan_starts", "plan")
    op.drop_column("plan", "starts")
    for name, key in KEYS:
        rows = _rows(name, key)
        op.execute(
            sa.update(rows)
            .where(rows.c[key].startswith(SIGN, autoescape=True), rows.c.retired.is_(sa.false()))
            .values({key: sa.literal(ASIDE) + rows.c[key], "retired": True})
        )


def _rows(name: str, key: str) -> sa.TableClause:
    return sa.table(name, sa.column(key, sa.String()), sa.column("retired", sa.Boolean()))
