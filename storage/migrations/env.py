"""Run by Alembic for each migration, on the connection that `storage.migrate` has opened."""

from alembic import context

from storage.people_tables import ClientRow

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=ClientRow.metadata,  # of all tables: those about people import the rest
    render_as_batch=True,  # SQLite can't change most of a table in place
)
with context.begin_transaction():
    context.run_migrations()
