"""Run the steps on the connection that opened the book, inside its transaction."""

from alembic import context

from sequencer.records.migrations.schema import METADATA

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=METADATA,
    transactional_ddl=True,
)
with context.begin_transaction():
    context.run_migrations()
