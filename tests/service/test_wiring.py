from __future__ import annotations

import asyncio
import json
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from bot.clock import SetClock, ShiftedClock, SystemClock
from bot.errors import StoreError
from bot.settings import Settings
from bot.store.lock import FolderLock
from bot.wiring import clock_for, running
from tests.drill.drill import ROOT, short_folder
from tests.fakes.far_side import FarSide
from tests.fakes.house import START, open_house
from tests.fakes.journal_channel import read_journal
from tests.fakes.small_talk import TALK


async def test_a_message_goes_all_the_way_and_back(tmp_path: Path) -> None:
    """In through the service, out through the courier, with a reminder brought up by the ticker."""
    far, clock = FarSide(), SetClock(START)
    async with open_house(tmp_path / "elsewhere") as house, running(Settings(data=tmp_path), clock, [far], TALK) as app:
        await app.service.take_in(house.envelope("anna", "remind cut 2026-02-10 11:00"))
        clock.set(START.replace(hour=17))
        async with asyncio.timeout(5):
            while len(far.arrived) < 2:  # noqa: ASYNC110 - what is waited for happens in other tasks
                await asyncio.sleep(0.01)

    assert far.texts() == ["counted 1 remind cut 2026-02-10 11:00", "due 2 1/cut"]


async def test_the_folder_is_in_use_while_it_runs_and_free_afterwards(tmp_path: Path) -> None:
    """Also when something went wrong inside the block."""
    settings, clock = Settings(data=tmp_path), SetClock(START)
    with pytest.raises(ZeroDivisionError):
        async with running(settings, clock, [FarSide()], TALK):
            with pytest.raises(StoreError, match="in use"):
                async with running(settings, clock, [FarSide()], TALK):
                    pass
            raise ZeroDivisionError
    async with running(settings, clock, [FarSide()], TALK):
        pass


async def test_a_start_that_fails_leaves_the_folder_free(tmp_path: Path) -> None:
    """A database that cannot be used is named, and the lock is let go."""
    (tmp_path / "afterfrost.sqlite3").write_bytes(b"not a database at all" * 100)
    with pytest.raises(StoreError, match="put back a backup"):
        async with running(Settings(data=tmp_path), SetClock(START), [], TALK):
            pass
    with FolderLock(tmp_path) as lock:
        assert lock is not None


def test_nothing_heavy_is_imported_before_it_is_needed() -> None:
    """A command that only prints must not wait for a scheduler, a web server or a migration tool."""
    heavy = ["apscheduler", "telegram", "PIL", "starlette", "uvicorn", "alembic", "sqlalchemy.dialects.postgresql"]
    code = f"import sys, bot.wiring; print([name for name in {heavy!r} if name in sys.modules])"
    found = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)

    assert found.stdout.strip() == "[]"


def test_a_rehearsal_moves_the_clock(tmp_path: Path) -> None:
    """With a shift file the clock is the machine's, moved; without, it is the machine's."""
    shifted = clock_for(Settings(clock_shift_file=tmp_path / "shift"))

    assert isinstance(shifted, ShiftedClock)
    assert isinstance(clock_for(Settings()), SystemClock)


@pytest.fixture
def folder() -> Iterator[Path]:
    with short_folder() as name:
        yield Path(name)


async def test_told_to_stop_while_a_send_hangs_it_exits_in_time_and_sends_later(folder: Path) -> None:
    """SIGTERM ends the process within five seconds whatever a far side does; the message goes out after the restart."""
    process = await _child(folder, send_seconds=9999)
    reader, writer = await asyncio.open_unix_connection(folder / "s")
    message = {"address": "anna", "id": "m1", "incoming": {"kind": "said", "text": "hello"}}
    writer.write(json.dumps(message).encode() + b"\n")
    assert json.loads(await reader.readline()) == {"id": "m1"}

    asked = time.monotonic()
    process.send_signal(signal.SIGTERM)
    assert await process.wait() == 0
    assert time.monotonic() - asked < 5
    writer.close()
    assert read_journal(folder / "journal") == []

    process = await _child(folder, send_seconds=0)
    async with asyncio.timeout(10):
        while not read_journal(folder / "journal"):  # noqa: ASYNC110 - another process does it
            await asyncio.sleep(0.02)
    process.send_signal(signal.SIGTERM)
    assert await process.wait() == 0
    assert [line.text for line in read_journal(folder / "journal")] == ["counted 1 hello"]


async def _child(folder: Path, send_seconds: float) -> asyncio.subprocess.Process:
    process = await asyncio.create_subprocess_exec(
        sys.executable,
        *("-m", "tests.drill.child", "--data", str(folder / "data"), "--socket", str(folder / "s")),
        *("--journal", str(folder / "journal"), "--shift", str(folder / "shift")),
        *("--talk", "tests.fakes.small_talk:TALK", "--send-seconds", str(send_seconds)),
        cwd=ROOT,
        stdout=asyncio.subprocess.PIPE,
    )
    assert process.stdout is not None
    assert await process.stdout.readline() == b"ready\n"
    return process
