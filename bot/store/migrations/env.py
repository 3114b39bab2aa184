"""Run by Alembic. The connection comes from `bot/store/migrate.py`, inside one transaction: all steps or none."""

from alembic import context

from bot.store.desk_schema import metadata

connection = context.config.attributes["connection"]
context.configure(connection=connection, target_metadata=metadata)
context.run_migrations()
