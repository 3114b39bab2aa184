"""The drill: many homeowners write to one process that is killed again and again, and nothing may be lost.

`run_drill` plays the scripts, kills and restarts; `judge` compares what the far side got and what is stored with an
uninterrupted replay. Conversation and scripts are named by import path, so any conversation can be drilled.
"""

from __future__ import annotations

import asyncio
import json
import os
import random
import signal
import sqlite3
import sys
import tempfile
import time
from collections.abc import Sequence
from contextlib import closing, suppress
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path

from bot.store.rows import dump_incoming
from bot.store.store import DATABASE_FILE
from tests.drill.scripts import REMINDER_DAYS, Script
from tests.fakes.journal_channel import Line, read_journal

ROOT = Path(__file__).parents[2]
HOURS_A_STEP = 6
DAYLIGHT_HOUR_UTC = 17
QUIET_SECONDS = 1.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """How hard a drill is."""

    kills: int
    seed: int
    scripts: Sequence[Script]
    talk: str = "tests.fakes.small_talk:TALK"
    in_flight: int = 1
    send_seconds: float = 0.002
    most_events_between_kills: int = 120
    step_seconds: float = 0.05
    days_after: int = 10
    seconds_allowed: float = 600


@dataclass(slots=True, kw_only=True)
class Played:
    """What a drill left behind, and its figures."""

    folder: Path
    journal: list[Line]
    ended_ms: int
    kills: int = 0
    resent: int = 0
    seconds: float = 0.0
    slowest_start: float = 0.0
    stop_seconds: float = 0.0
    exit_code: int | None = None


@dataclass(slots=True)
class _Field:
    """One drill under way."""

    plan: Plan
    folder: Path
    chance: random.Random
    acknowledged: int = 0
    finished: int = 0
    resent: int = 0
    kills: int = 0
    hours: int = 0
    slowest_start: float = 0.0
    process: asyncio.subprocess.Process | None = None
    is_up: asyncio.Event = field(default_factory=asyncio.Event)

    @property
    def socket(self) -> Path:
        return self.folder / "s"

    @property
    def journal(self) -> Path:
        return self.folder / "journal"

    def events(self) -> int:
        """Messages acknowledged and messages that reached the far side."""
        return self.acknowledged + len(read_journal(self.journal))

    def now_ms(self) -> int:
        """What the process takes for the present."""
        return int((time.time() + self.hours * 3600) * 1000)

    def move_clock(self, hours: int) -> None:
        self.hours = hours
        half = self.folder / "shift.half"
        half.write_text(str(hours * 3600))
        half.replace(self.folder / "shift")

    async def start(self) -> None:
        self.socket.unlink(missing_ok=True)
        began = time.monotonic()
        self.process = await asyncio.create_subprocess_exec(
            sys.executable,
            *("-m", "tests.drill.child", "--data", str(self.folder / "data"), "--socket", str(self.socket)),
            *("--journal", str(self.journal), "--shift", str(self.folder / "shift"), "--talk", self.plan.talk),
            *("--in-flight", str(self.plan.in_flight), "--send-seconds", str(self.plan.send_seconds)),
            cwd=ROOT,
            stdout=asyncio.subprocess.PIPE,
            stderr=asyncio.subprocess.DEVNULL,
        )
        assert self.process.stdout is not None
        if await self.process.stdout.readline() != b"ready\n":
            raise RuntimeError(f"the process did not start (exit code {await self.process.wait()})")
        self.slowest_start = max(self.slowest_start, time.monotonic() - began)
        self.is_up.set()

    async def kill(self) -> None:
        assert self.process is not None
        self.is_up.clear()
        self.process.send_signal(signal.SIGKILL)
        await self.process.wait()
        self.kills += 1

    async def play(self, script: Script) -> None:
        """Say one homeowner's lines, each again until it is acknowledged."""
        for number, line in enumerate(script.lines):
            asked = {"address": script.address, "id": f"{script.address}/{number}"}
            message = json.dumps({**asked, "incoming": json.loads(dump_incoming(line))}).encode() + b"\n"
            while not await self._is_taken(message, asked["id"]):
                self.resent += 1
                await asyncio.sleep(self.chance.uniform(0, 0.02))
            self.acknowledged += 1
            await asyncio.sleep(self.chance.uniform(0, 0.05))
        self.finished += 1

    async def _is_taken(self, message: bytes, message_id: str) -> bool:
        await self.is_up.wait()
        try:
            reader, writer = await asyncio.open_unix_connection(self.socket)
            with closing(writer):
                writer.write(message)
                answer = await reader.readline()
        except OSError:
            return False
        return bool(answer) and json.loads(answer) == {"id": message_id}

    async def harass(self) -> None:
        """Kill and restart at random moments; when nothing happens any more, kill the idle process too."""
        while self.kills < self.plan.kills:
            await self._wait_for_events(self.chance.randint(3, self.plan.most_events_between_kills))
            await asyncio.sleep(self.chance.uniform(0, 0.02))
            await self.kill()
            await self.start()

    async def _wait_for_events(self, count: int) -> None:
        goal = self.events() + count
        last, since = self.events(), time.monotonic()
        while (now := self.events()) < goal and time.monotonic() - since < QUIET_SECONDS:
            if now != last:
                last, since = now, time.monotonic()
            await asyncio.sleep(0.005)

    async def let_time_pass(self) -> None:
        """A few hours every moment, until everybody has said everything and the days after it are over."""
        last_hour = None
        while last_hour is None or self.hours < last_hour:
            self.move_clock(self.hours + HOURS_A_STEP)
            if last_hour is None and self.finished == len(self.plan.scripts):
                last_hour = max(self.hours, REMINDER_DAYS * 24) + self.plan.days_after * 24
            await asyncio.sleep(self.plan.step_seconds)

    async def settle(self) -> None:
        """In the daylight of every zone, when whatever was held overnight may go out, wait until nothing is left."""
        hour = datetime.fromtimestamp(self.now_ms() / 1000, UTC).hour
        self.move_clock(self.hours + (DAYLIGHT_HOUR_UTC - hour) % 24)
        with closing(sqlite3.connect(self.folder / "data" / DATABASE_FILE)) as database:
            while _open_rows(database, self.now_ms()):  # noqa: ASYNC110 - another process works them off
                await asyncio.sleep(0.05)


async def run_drill(plan: Plan, folder: Path) -> Played:
    """Play every script under kills, let every reminder fall due, and stop the process in order."""
    ground = _Field(plan, folder, random.Random(plan.seed))
    ground.move_clock(0)
    began = time.monotonic()
    try:
        async with asyncio.timeout(plan.seconds_allowed):
            await ground.start()
            async with asyncio.TaskGroup() as group:
                for script in plan.scripts:
                    group.create_task(ground.play(script))
                group.create_task(ground.let_time_pass())
                group.create_task(ground.harass())
            await ground.settle()
            return await _stopped(ground, began)
    finally:
        if ground.process is not None and ground.process.returncode is None:
            with suppress(ProcessLookupError):
                ground.process.kill()
            await ground.process.wait()


def _open_rows(database: sqlite3.Connection, now_ms: int) -> int:
    """What is left to send, and what is due and not brought up."""
    unsent = database.execute("SELECT count(*) FROM outbox WHERE state = 0").fetchone()[0]
    due = database.execute("SELECT count(*) FROM reminder WHERE state = 0 AND due_ms <= ?", (now_ms,)).fetchone()[0]
    return int(unsent) + int(due)


async def _stopped(ground: _Field, began: float) -> Played:
    assert ground.process is not None
    ended_ms = ground.now_ms()
    asked = time.monotonic()
    ground.process.send_signal(signal.SIGTERM)
    exit_code = await ground.process.wait()
    return Played(
        folder=ground.folder / "data",
        journal=read_journal(ground.journal),
        ended_ms=ended_ms,
        kills=ground.kills,
        resent=ground.resent,
        seconds=time.monotonic() - began,
        slowest_start=ground.slowest_start,
        stop_seconds=time.monotonic() - asked,
        exit_code=exit_code,
    )


def short_folder() -> tempfile.TemporaryDirectory[str]:
    """A folder whose name is short enough for a socket in it."""
    return tempfile.TemporaryDirectory(prefix="af-", dir=os.environ.get("TMPDIR", "/tmp"))
