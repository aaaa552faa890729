"""Run the migrations on the connection that `cringle.book.migrate` hands over."""

from __future__ import annotations

from alembic import context

context.configure(connection=context.config.attributes["connection"], transactional_ddl=False)
context.run_migrations()
