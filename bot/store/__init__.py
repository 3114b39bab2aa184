"""The store: tables, migrations and every statement. Nothing outside this room imports SQLAlchemy.

Each kind of row has a room of its own (`homeowners`, `inbox`, `outbox`, `reminders`, `photos`, `handovers`) with plain
functions that take an open transaction. `Store` opens the data folder and gives out transactions.
"""
