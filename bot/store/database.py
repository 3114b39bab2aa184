"""Engines and transactions. SQLite in one data folder; the same statements are meant for PostgreSQL.

1. One write transaction at a time. Every one begins with `BEGIN IMMEDIATE`: read-then-write in a deferred one fails at
   once when another has written, and no timeout helps.
2. `synchronous=FULL`: when a transaction is over, it is on disk.
3. Reading connections cannot write and see one moment, from their first statement to the end of their transaction.
4. Erased content is overwritten (`secure_delete`); what is left in the write-ahead log goes with the nightly
   checkpoint.
5. Errors leave this file as `StoreError`: `StoreBusy` when the same work may pass later, `StoreRefused` when the
   database says the rows themselves are wrong.
"""

from __future__ import annotations

import asyncio
import sqlite3
from collections.abc import AsyncIterator, Mapping, Sequence
from contextlib import asynccontextmanager
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING, Any

import aiosqlite
from sqlalchemy import Connection as SyncConnection
from sqlalchemy import Engine, Executable, Table, event
from sqlalchemy.dialects.sqlite import Insert as SqliteInsert
from sqlalchemy.dialects.sqlite import insert as sqlite_insert
from sqlalchemy.engine.interfaces import DBAPIConnection
from sqlalchemy.exc import OperationalError, SQLAlchemyError, StatementError
from sqlalchemy.exc import TimeoutError as PoolTimeout
from sqlalchemy.ext.asyncio import AsyncConnection, AsyncEngine, create_async_engine
from sqlalchemy.pool import PoolResetState

from bot.errors import StoreError
from bot.store.migrate import bring_up_to_date

if TYPE_CHECKING:
    from _typeshed import DataclassInstance
    from sqlalchemy.dialects.postgresql import Insert as PostgresInsert

Transaction = AsyncConnection
"""An open transaction, as the rooms of the store take it."""

EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
BUSY_TIMEOUT_MS = 5000
SECRET = "afterfrost_secret"
READERS = 4


def insert_into(tx: Transaction, table: Table) -> SqliteInsert | PostgresInsert:
    """An insert that knows ON CONFLICT, in the database's own dialect."""
    if tx.dialect.name == "sqlite":
        return sqlite_insert(table)
    from sqlalchemy.dialects.postgresql import insert as postgres_insert  # 40 ms that SQLite need not wait for

    return postgres_insert(table)


def values_of(row: DataclassInstance) -> dict[str, Any]:
    """A flat row as the values of a statement. (`dataclasses.asdict` copies deeply, at ten times the cost.)"""
    return {field: getattr(row, field) for field in row.__dataclass_fields__}


def secret_of(tx: Transaction) -> bytes:
    """The secret the database was opened with: it keys digests of addresses."""
    connection = tx.sync_connection
    return bytes(connection.get_execution_options().get(SECRET, b"")) if connection is not None else b""


def milliseconds(at: datetime) -> int:
    """An instant as it is stored: whole milliseconds since 1970 in UTC."""
    return (at - EPOCH) // timedelta(milliseconds=1)


def instant(at_ms: int) -> datetime:
    """A stored instant as an aware moment in UTC."""
    return EPOCH + timedelta(milliseconds=at_ms)


class StoreBusy(StoreError):
    """The database could not do it now (locked, no room, disk trouble). The same work may pass later."""


class StoreRefused(StoreError):
    """The database refused the rows themselves. Trying again changes nothing."""


class Database:
    """An open database: one writing engine, one reading engine."""

    def __init__(self, writer: AsyncEngine, reader: AsyncEngine) -> None:
        self._writer = writer
        self._reader = reader
        self._turn = asyncio.Lock()  # who writes: the writing engine, or the swift connection beside it
        self._swift: aiosqlite.Connection | None = None

    @classmethod
    async def open(cls, url: str, secret: bytes = b"") -> Database:
        """Bring the tables up to date and open the engines. `url` is for an asynchronous driver.

        `secret` keys the digests of addresses that must outlive what they were made from; see `secret_of`.
        """
        options = {SECRET: secret}
        await asyncio.to_thread(bring_up_to_date, url.replace("+aiosqlite", ""))
        if url.startswith("sqlite"):
            writer = create_async_engine(
                url,
                pool_size=1,
                max_overflow=0,
                pool_timeout=60,
                pool_reset_on_return=None,  # see `_end_transaction`
                hide_parameters=True,
                execution_options=options,
            )
            reader = create_async_engine(
                url, pool_size=READERS, max_overflow=0, hide_parameters=True, execution_options=options
            )
            _prepare_sqlite(writer, reader)
            await _switch_to_log(writer)
        else:
            writer = create_async_engine(url, hide_parameters=True, execution_options=options)
            reader = create_async_engine(
                url,
                hide_parameters=True,
                isolation_level="REPEATABLE READ",
                execution_options={"postgresql_readonly": True, **options},
            )
        return cls(writer, reader)

    @property
    def writer(self) -> AsyncEngine:
        """The writing engine, for those who watch it (tests count commits)."""
        return self._writer

    @asynccontextmanager
    async def write(self) -> AsyncIterator[Transaction]:
        """A transaction that may write. All of it is on disk when the block is over, or none of it happened."""
        try:
            async with self._turn, self._writer.begin() as connection:
                yield connection
        except SQLAlchemyError as error:
            raise _ours(error) from error

    @asynccontextmanager
    async def read(self) -> AsyncIterator[Transaction]:
        """A transaction that only looks, at one moment."""
        try:
            async with self._reader.connect() as connection:
                yield connection
        except SQLAlchemyError as error:
            raise _ours(error) from error

    async def write_swiftly(self, batch: Sequence[tuple[Executable, Sequence[Mapping[str, Any]]]]) -> None:
        """A transaction of statements that need no answer, each with the values of its executions.

        On SQLite all of it is done in one trip to the thread of a connection of its own: less than statement by
        statement through the layers above, which counts where it is done for every message that is sent.
        """
        if self._writer.dialect.name != "sqlite":
            async with self.write() as tx:
                for statement, values in batch:
                    await tx.execute(statement, list(values))
            return
        try:
            compiled = [_compiled(statement, values, self._writer.sync_engine) for statement, values in batch]
            async with self._turn:
                connection = self._swift = self._swift or await _swift_connection(self._writer)
                await connection._execute(_run_at_once, connection._conn, compiled)  # type: ignore[no-untyped-call]
        except sqlite3.OperationalError as error:
            raise StoreBusy(f"The database cannot be used now ({error}).") from error
        except sqlite3.Error as error:
            raise StoreRefused(f"The database refused a row ({type(error).__name__}).") from error
        except SQLAlchemyError as error:
            raise _ours(error) from error

    async def quick_check(self) -> str:
        """SQLite's own look for damage: "ok", or the first thing it found."""
        if self._reader.dialect.name != "sqlite":
            return "ok"
        async with self.read() as connection:
            found = await connection.exec_driver_sql("PRAGMA quick_check(1)")
            return str(found.scalar())

    async def empty_log(self) -> bool:
        """Move the write-ahead log into the database and cut it to nothing. False when a reader stood in the way."""
        if self._writer.dialect.name != "sqlite":
            return True
        async with self._writer.connect() as connection:
            driver = (await connection.get_raw_connection()).driver_connection
            if driver is None:
                raise StoreError("The database connection was lost; restart Afterfrost.")
            cursor = await driver.execute("PRAGMA wal_checkpoint(TRUNCATE)")
            row = await cursor.fetchone()
            await cursor.close()
            return bool(row[0] == 0)

    async def close(self) -> None:
        """Let go of every connection; their threads end with them."""
        if self._swift is not None:
            await self._swift.close()
        await self._reader.dispose()
        await self._writer.dispose()


Ready = tuple[str, list[tuple[Any, ...]]]


def _compiled(statement: Executable, values: Sequence[Mapping[str, Any]], engine: Engine) -> Ready:
    """A statement as SQLite's own words, with its values in their order. It is compiled once."""
    sql, names, fixed = _words_of(statement, engine)
    return sql, [tuple(given[name] if name in given else fixed[name] for name in names) for given in values]


_WORDS: dict[int, tuple[Executable, str, tuple[str, ...], dict[str, Any]]] = {}


def _words_of(statement: Executable, engine: Engine) -> tuple[str, tuple[str, ...], dict[str, Any]]:
    kept = _WORDS.get(id(statement))
    if kept is None:
        compiled = statement.compile(engine)  # type: ignore[attr-defined]
        kept = _WORDS[id(statement)] = (statement, str(compiled), tuple(compiled.positiontup), dict(compiled.params))
    return kept[1:]


async def _swift_connection(writer: AsyncEngine) -> aiosqlite.Connection:
    connection = await aiosqlite.connect(str(writer.url.database), isolation_level=None)
    await connection.executescript(_script(_writers_settings()))
    return connection


def _run_at_once(connection: sqlite3.Connection, batch: Sequence[Ready]) -> None:
    connection.execute("BEGIN IMMEDIATE")
    try:
        for sql, rows in batch:
            connection.executemany(sql, rows)
    except BaseException:
        connection.execute("ROLLBACK")
        raise
    connection.execute("COMMIT")


def _ours(error: SQLAlchemyError) -> StoreError:
    cause = error.orig if isinstance(error, StatementError) and error.orig is not None else error
    if isinstance(error, (OperationalError, PoolTimeout)):
        return StoreBusy(f"The database cannot be used now ({cause}). Check that its disk has room and is writable.")
    return StoreRefused(f"The database refused a row ({type(cause).__name__}); the log says where.")


def _prepare_sqlite(writer: AsyncEngine, reader: AsyncEngine) -> None:
    event.listen(writer.sync_engine, "connect", _set_up_writer)
    event.listen(reader.sync_engine, "connect", _set_up_reader)
    event.listen(writer.sync_engine, "reset", _end_transaction)
    event.listen(writer.sync_engine, "begin", _begin_immediate)
    event.listen(reader.sync_engine, "begin", _begin)


async def _switch_to_log(writer: AsyncEngine) -> None:
    """Connect the writer first: a database changes to write-ahead logging only while nobody reads it."""
    try:
        async with writer.begin() as connection:
            mode = (await connection.exec_driver_sql("PRAGMA journal_mode")).scalar()
    except SQLAlchemyError as error:
        await writer.dispose()
        raise _ours(error) from error
    if mode != "wal":
        await writer.dispose()
        raise StoreError(
            "The data folder is on a file system without shared memory (a network share?), which the database needs. "
            "Name a folder on a local disk in AFTERFROST_DATA."
        )


def _writers_settings() -> tuple[str, ...]:
    return (
        f"busy_timeout={BUSY_TIMEOUT_MS}",  # before the next one, which may have to wait
        "journal_mode=WAL",
        "synchronous=FULL",
        "foreign_keys=ON",
        "secure_delete=ON",
    )


def _set_up_writer(connection: DBAPIConnection, _record: object) -> None:
    connection.isolation_level = None
    _pragmas(connection, *_writers_settings())


def _set_up_reader(connection: DBAPIConnection, _record: object) -> None:
    connection.isolation_level = None
    _pragmas(connection, f"busy_timeout={BUSY_TIMEOUT_MS}", "query_only=ON")


def _end_transaction(connection: DBAPIConnection, _record: object, state: PoolResetState) -> None:
    """What was left open ends before the connection is given to the next. Asking first saves a trip to its thread."""
    if not state.terminate_only and connection.driver_connection.in_transaction:
        connection.rollback()


def _pragmas(connection: DBAPIConnection, *settings: str) -> None:
    """All in one trip to the connection's thread: one by one they would be a good part of a start."""
    connection.run_async(lambda driver: driver.executescript(_script(settings)))


def _script(settings: Sequence[str]) -> str:
    return "".join(f"PRAGMA {setting};" for setting in settings)


def _begin_immediate(connection: SyncConnection) -> None:
    _in_one_trip(connection, "BEGIN IMMEDIATE")


def _begin(connection: SyncConnection) -> None:
    _in_one_trip(connection, "BEGIN")


def _in_one_trip(connection: SyncConnection, words: str) -> None:
    """Past the cursors of the layer above, whose making, asking and closing are a trip to the thread each."""
    try:
        connection.connection.run_async(lambda driver: driver.execute(words))
    except sqlite3.Error as error:
        raise OperationalError(words, None, error) from error
    except BaseException:  # given up: what the thread may still begin must not meet the next transaction
        connection.invalidate()
        raise
