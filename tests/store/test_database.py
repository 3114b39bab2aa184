from __future__ import annotations

import asyncio
import random
import sqlite3
from collections.abc import AsyncIterator
from contextlib import closing
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pytest
from sqlalchemy import text

from bot.store.database import Database, StoreBusy, StoreRefused, instant, milliseconds

NEW_HOMEOWNER = text(
    "INSERT INTO homeowner (rev, channel, address, created_ms, heard_ms) VALUES (0, 'web', :address, 0, 0)"
)


@pytest.fixture
async def database(tmp_path: Path) -> AsyncIterator[Database]:
    opened = await Database.open(f"sqlite+aiosqlite:///{tmp_path / 'a.db'}")
    yield opened
    await opened.close()


@pytest.mark.parametrize(
    ("pragma", "expected"),
    [("journal_mode", "wal"), ("synchronous", 2), ("foreign_keys", 1), ("busy_timeout", 5000), ("secure_delete", 1)],
)
async def test_the_writing_connection_is_set_up_for_durability(
    database: Database, pragma: str, expected: object
) -> None:
    """What is promised about durability is what the connection really does."""
    async with database.write() as tx:
        assert (await tx.exec_driver_sql(f"PRAGMA {pragma}")).scalar() == expected


async def test_reading_connections_cannot_write(database: Database) -> None:
    """Whatever a reader is given to do, it changes nothing."""
    with pytest.raises(StoreBusy, match="readonly"):
        async with database.read() as tx:
            await tx.execute(NEW_HOMEOWNER, {"address": "anna"})


async def test_a_reader_sees_one_moment(database: Database) -> None:
    """What is committed while somebody reads does not show in the middle of their transaction."""
    async with database.read() as tx:
        before = (await tx.execute(text("SELECT count(*) FROM homeowner"))).scalar()
        async with database.write() as other:
            await other.execute(NEW_HOMEOWNER, {"address": "anna"})
        after = (await tx.execute(text("SELECT count(*) FROM homeowner"))).scalar()

    assert (before, after) == (0, 0)


async def test_read_then_write_in_many_tasks_never_finds_the_database_locked(database: Database) -> None:
    """Transactions that write take their turn from the beginning, so none fails half-way."""

    async def add_one_more() -> None:
        async with database.write() as tx:
            count = (await tx.execute(text("SELECT count(*) FROM homeowner"))).scalar()
            await asyncio.sleep(0)
            await tx.execute(NEW_HOMEOWNER, {"address": f"number {count}"})

    await asyncio.gather(*(add_one_more() for _ in range(40)))

    async with database.read() as tx:
        assert (await tx.execute(text("SELECT count(DISTINCT address) FROM homeowner"))).scalar() == 40


async def test_a_write_transaction_holds_the_lock_from_its_beginning(database: Database, tmp_path: Path) -> None:
    """Another program cannot write between what was read and what is written on the strength of it."""
    async with database.write() as tx:
        await tx.execute(text("SELECT count(*) FROM homeowner"))
        with closing(sqlite3.connect(tmp_path / "a.db", timeout=0, isolation_level=None)) as other:
            with pytest.raises(sqlite3.OperationalError, match="locked"):
                other.execute("BEGIN IMMEDIATE")


async def test_a_write_that_another_program_stands_in_the_way_of_may_pass_later(
    database: Database, tmp_path: Path
) -> None:
    """The lock is waited for, then the caller is told to come again; nothing is left behind by the attempt."""
    async with database.write() as tx:
        await tx.execute(text("PRAGMA busy_timeout=50"))
    with closing(sqlite3.connect(tmp_path / "a.db", isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(StoreBusy, match="locked"):
            await _write_one(database, "anna")
        other.execute("ROLLBACK")

    await _write_one(database, "bert")


async def test_who_gives_up_waiting_for_the_lock_leaves_no_transaction_open(database: Database, tmp_path: Path) -> None:
    """The lock may be got after nobody wants it any more."""
    with closing(sqlite3.connect(tmp_path / "a.db", isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        waiting = asyncio.create_task(_write_one(database, "anna"))
        await asyncio.sleep(0.1)
        waiting.cancel()
        await asyncio.gather(waiting, return_exceptions=True)
        other.execute("ROLLBACK")

    await _write_one(database, "bert")
    async with database.read() as tx:
        assert (await tx.execute(text("SELECT address FROM homeowner"))).scalars().all() == ["bert"]


async def _write_one(database: Database, address: str) -> None:
    async with database.write() as tx:
        await tx.execute(NEW_HOMEOWNER, {"address": address})


async def test_nothing_of_a_failed_transaction_stays(database: Database) -> None:
    """All or nothing."""
    with pytest.raises(ZeroDivisionError):
        async with database.write() as tx:
            await tx.execute(NEW_HOMEOWNER, {"address": "anna"})
            raise ZeroDivisionError

    async with database.read() as tx:
        assert (await tx.execute(text("SELECT count(*) FROM homeowner"))).scalar() == 0


@pytest.mark.parametrize(
    "statement",
    [
        "INSERT INTO contact (channel, address, homeowner_id) VALUES ('web', 'anna', 77)",  # whose?
        "INSERT INTO contact (channel, address, homeowner_id) VALUES ('web', NULL, 1)",
        "INSERT INTO homeowner (rev, channel, address, created_ms, heard_ms) VALUES ('many', 'web', 'anna', 0, 0)",
    ],
)
async def test_rows_that_are_wrong_are_refused(database: Database, statement: str) -> None:
    """Foreign keys, missing values and wrong kinds are told apart from a database that is busy."""
    with pytest.raises(StoreRefused):
        async with database.write() as tx:
            await tx.execute(text(statement))


async def test_callers_who_give_up_leave_the_connections_in_order(database: Database) -> None:
    """A web page that is closed in the middle of a read or a write must not spoil it for the next one."""
    chance = random.Random(3)

    async def write_one(number: int) -> None:
        async with database.write() as tx:
            await tx.execute(NEW_HOMEOWNER, {"address": f"one of {number}"})
            await tx.execute(NEW_HOMEOWNER, {"address": f"two of {number}"})

    async def read_some() -> None:
        async with database.read() as tx:
            await tx.execute(text("SELECT * FROM homeowner"))

    for number in range(120):
        tasks = [asyncio.create_task(write_one(number)), asyncio.create_task(read_some())]
        await asyncio.sleep(chance.uniform(0, 0.003))
        for task in tasks:
            task.cancel()
        await asyncio.gather(*tasks, return_exceptions=True)

    await write_one(999)
    async with database.read() as tx:
        rows = (await tx.execute(text("SELECT substr(address, 8), count(*) FROM homeowner GROUP BY 1"))).all()
    assert {count for _, count in rows} == {2}
    assert ("999", 2) in [tuple(row) for row in rows]


async def test_an_id_is_never_given_out_twice(database: Database) -> None:
    """Not even after the row with the highest one was erased."""
    async with database.write() as tx:
        await tx.execute(NEW_HOMEOWNER, {"address": "anna"})
        await tx.execute(text("DELETE FROM homeowner"))
        await tx.execute(NEW_HOMEOWNER, {"address": "bert"})
        assert (await tx.execute(text("SELECT id FROM homeowner"))).scalar() == 2


async def test_the_log_can_be_emptied(database: Database, tmp_path: Path) -> None:
    """After the nightly checkpoint the log file holds nothing."""
    async with database.write() as tx:
        await tx.execute(NEW_HOMEOWNER, {"address": "anna"})
    assert (tmp_path / "a.db-wal").stat().st_size > 0

    assert await database.empty_log()
    assert (tmp_path / "a.db-wal").stat().st_size == 0


async def test_a_reader_in_the_way_of_emptying_the_log_is_no_error(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Then the log is emptied another night."""
    monkeypatch.setattr("bot.store.database.BUSY_TIMEOUT_MS", 10)
    database = await Database.open(f"sqlite+aiosqlite:///{tmp_path / 'a.db'}")
    async with database.write() as tx:
        await tx.execute(NEW_HOMEOWNER, {"address": "anna"})
    async with database.read() as tx:
        await tx.execute(text("SELECT count(*) FROM homeowner"))
        assert not await database.empty_log()
    await database.close()


async def test_damage_is_found(tmp_path: Path) -> None:
    """The nightly look says what is wrong with a file whose pages were overwritten."""
    file = tmp_path / "a.db"
    database = await Database.open(f"sqlite+aiosqlite:///{file}")
    async with database.write() as tx:
        for number in range(200):
            await tx.execute(NEW_HOMEOWNER, {"address": f"number {number} {'x' * 100}"})
    await database.empty_log()
    assert await database.quick_check() == "ok"
    await database.close()

    content = bytearray(file.read_bytes())
    content[-3 * 4096 : -2 * 4096] = b"\xff" * 4096
    file.write_bytes(bytes(content))
    damaged = await Database.open(f"sqlite+aiosqlite:///{file}")
    assert await damaged.quick_check() != "ok"
    await damaged.close()


def test_instants_survive_as_milliseconds() -> None:
    """To the millisecond, in any zone, on both sides of 1970."""
    for at in (
        datetime(2026, 3, 8, 7, 30, 0, 123_000, tzinfo=UTC),
        datetime(1969, 12, 31, 23, 59, 59, 999_000, tzinfo=UTC),
        datetime(2026, 1, 1, 0, 0, tzinfo=timezone(timedelta(hours=-5))),
    ):
        assert instant(milliseconds(at)) == at
