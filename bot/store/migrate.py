"""Brings a database to today's tables at start, in one transaction, before anything else opens it.

Alembic is imported only when there is something to do: reading the version takes a millisecond, Alembic a quarter of a
second.
"""

from __future__ import annotations

from pathlib import Path

from sqlalchemy import Connection, NullPool, create_engine, event, inspect, text
from sqlalchemy.engine.interfaces import DBAPIConnection
from sqlalchemy.exc import DBAPIError

from bot.errors import StoreError

VERSIONS = ("0001", "0002", "0003", "0004", "0005")
"""Every step of `migrations/versions`, oldest first. A new step adds its number here."""


def bring_up_to_date(url: str) -> None:
    """Make or upgrade the tables. Starting again changes nothing.

    Raises `StoreError` for a database of a newer Afterfrost, of something else, or one that cannot be opened.
    """
    engine = create_engine(url, poolclass=NullPool, hide_parameters=True)
    if engine.dialect.name == "sqlite":
        event.listen(engine, "connect", _leave_transactions_to_us)
        event.listen(engine, "begin", _begin_immediate)
    try:
        with engine.begin() as connection:
            _upgrade(connection)
    except DBAPIError as error:
        raise StoreError(
            f"The database cannot be brought up to date ({error.orig}). "
            "Check that its folder is writable and has room, or put back a backup."
        ) from error
    finally:
        engine.dispose()


def _leave_transactions_to_us(connection: DBAPIConnection, _record: object) -> None:
    connection.isolation_level = None


def _begin_immediate(connection: Connection) -> None:
    connection.exec_driver_sql("BEGIN IMMEDIATE")


def _upgrade(connection: Connection) -> None:
    version = _version_of(connection)
    if version == VERSIONS[-1]:
        return
    if version is not None and version not in VERSIONS:
        raise StoreError(
            f"The database was written by a newer Afterfrost (version {version}; this one knows up to {VERSIONS[-1]}). "
            "Start the newer one, or put back the backup made before it."
        )
    from alembic import command
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(Path(__file__).parent / "migrations"))
    config.attributes["connection"] = connection
    command.upgrade(config, "head")


def _version_of(connection: Connection) -> str | None:
    tables = inspect(connection).get_table_names()
    if "alembic_version" in tables:
        return connection.execute(text("SELECT version_num FROM alembic_version")).scalar()
    if tables:
        raise StoreError("The database holds tables that are not Afterfrost's. Name another folder in AFTERFROST_DATA.")
    return None
