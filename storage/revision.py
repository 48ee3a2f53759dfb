"""Which shape a database has, asked without the migrations' library, which is slow to load."""

from sqlalchemy import Connection, inspect, text

HEAD = "0006"  # the newest migration; a test keeps it so


def is_current(connection: Connection) -> bool:
    """Whether the database has exactly the newest shape."""
    if not inspect(connection).has_table("alembic_version"):
        return False
    rows = connection.execute(text("SELECT version_num FROM alembic_version"))
    return [row[0] for row in rows] == [HEAD]
