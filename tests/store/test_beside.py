"""A command on a folder that a service may be running on."""

from __future__ import annotations

import asyncio
from pathlib import Path

import pytest
from sqlalchemy import text

from bot.errors import StoreError
from bot.service import Act, Service
from bot.store import audits, operators
from bot.store.audits import Deed
from bot.store.beside import beside
from bot.store.lock import FolderLock
from bot.store.operators import NewOperator
from bot.store.store import DATABASE_FILE
from bot.talk.incoming import PersonSaid
from tests.fakes.house import House, open_house
from tests.fakes.small_talk import TALK


@pytest.fixture
async def other(house: House):  # type: ignore[no-untyped-def]
    """A second opening of the folder, as a command has it."""
    async with beside(house.folder, TALK.upgrade) as store:
        yield store


async def test_a_command_opens_a_folder_that_is_in_use(house: House, other) -> None:  # type: ignore[no-untyped-def]
    """Each sees what the other wrote."""
    await house.hear("ann", "hello")
    async with other.database.write() as tx:
        await operators.add(tx, NewOperator(name="Ruth", role="keeper", made_ms=0))
    async with house.store.database.read() as tx:
        known = await operators.by_name(tx, "Ruth")

    assert known is not None
    assert await other.find_homeowner("web", "ann") is not None


async def test_both_write_at_the_same_time_and_nothing_is_lost(house: House, other) -> None:  # type: ignore[no-untyped-def]
    """Messages are taken in while a command writes a hundred rows, each in a transaction of its own."""

    async def write() -> None:
        for number in range(100):
            async with other.database.write() as tx:
                await audits.note(tx, Deed(at_ms=number, operator_id=None, act="drew", about=f"region {number}"))

    await asyncio.gather(write(), *(house.hear(f"home {number}", "hello") for number in range(100)))

    assert house.value("SELECT count(*) FROM audit") == 100
    assert house.value("SELECT count(*) FROM homeowner") == 100


async def test_what_a_command_does_to_a_talk_is_said_by_the_service(house: House, other) -> None:  # type: ignore[no-untyped-def]
    """Its own service writes rows and sends nothing; a repeat does nothing."""
    await house.hear("ann", "hello")
    ann = await house.store.find_homeowner("web", "ann")
    assert ann is not None
    theirs = Service(other, TALK, house.clock, committed=lambda: None)
    act = Act(homeowner_id=ann, key="case/1", incoming=PersonSaid(words="Wait with the mower.", name="Ruth"))
    first, again = await theirs.act([act]), await theirs.act([act])
    await theirs.close()

    assert list(first) == [ann] and again == {}
    assert house.value("SELECT count(*) FROM inbox WHERE channel = 'desk'") == 1


async def test_a_new_folder_is_made_and_let_go_of(tmp_path: Path) -> None:
    """The lock is held only while the tables are made."""
    async with beside(tmp_path / "new") as store:
        with FolderLock(tmp_path / "new"):
            async with store.database.write() as tx:
                await operators.add(tx, NewOperator(name="Ruth", role="keeper", made_ms=0))

    async with open_house(tmp_path / "new") as house:
        assert house.value("SELECT name FROM operator") == "Ruth"


async def test_tables_that_are_not_todays_are_left_alone_while_a_service_runs(house: House) -> None:
    """An older service's tables may not be changed under it: the message says what to do."""
    async with house.store.database.write() as tx:
        await tx.execute(text("UPDATE alembic_version SET version_num = '0002'"))

    with pytest.raises(StoreError, match="in use by another Afterfrost"):
        async with beside(house.folder):
            pass
    assert house.value("SELECT version_num FROM alembic_version") == "0002"


async def test_a_file_that_is_no_database_is_told(tmp_path: Path) -> None:
    """And not overwritten."""
    (tmp_path / DATABASE_FILE).write_bytes(b"not a database, but a long enough text to be read as one" * 40)

    with pytest.raises(StoreError):
        async with beside(tmp_path):
            pass
    assert (tmp_path / DATABASE_FILE).read_bytes().startswith(b"not a database")
