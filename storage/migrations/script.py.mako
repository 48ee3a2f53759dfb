"""${message}."""

import sqlalchemy as sa
import sqlmodel
from alembic import op
${imports if imports else ""}
revision = ${repr(up_revision)}
down_revision = ${repr(down_revision)}
branch_labels = ${repr(branch_labels)}
depends_on = ${repr(depends_on)}


def upgrade() -> None:
    """The next shape."""
    ${upgrades if upgrades else "pass"}


def downgrade() -> None:
    """The shape before."""
    ${downgrades if downgrades else "pass"}
