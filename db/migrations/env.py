"""How Alembic meets the database: on the connection that ``db.migrate`` hands over."""

from __future__ import annotations

from alembic import context

from db.models import Base

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=Base.metadata,
    # SQLite can roll table changes back too, now that we begin its transactions ourselves.
    transactional_ddl=True,
    render_as_batch=True,
)
with context.begin_transaction():
    context.run_migrations()
