"""Run by Alembic for each migration, on the connection that `storage.migrate` has opened."""

from alembic import context

from storage.tables import Row

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=Row.metadata,
    render_as_batch=True,  # SQLite can't change most of a table in place
)
with context.begin_transaction():
    context.run_migrations()
