"""Run by Alembic for each migration, on the connection that `storage.migrate` has opened."""

from alembic import context

from storage import diary_tables, mail_tables, people_tables

TABLES = (mail_tables, people_tables, diary_tables)  # they import the rest

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=TABLES[0].Row.metadata,
    render_as_batch=True,  # SQLite can't change most of a table in place
)
with context.begin_transaction():
    context.run_migrations()
