"""The database's history, one file a step, run by Alembic at start."""
