"""The network drill: many people write to a process that is killed again and again, over a network that fails.

The far side is a Bot API in this process; the one that is killed runs the real client, store, service and courier.
"""

from __future__ import annotations

import asyncio
import random
import signal
import sqlite3
import sys
import time
from collections import defaultdict
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path

from bot.store.store import DATABASE_FILE
from tests.fakes.bot_api import BotApi, running
from tests.fakes.bot_api_faults import Settings, gateway_page, refuses

ROOT = Path(__file__).parents[2]
MOST_PENDING = 1500


@dataclass(frozen=True, slots=True, kw_only=True)
class Hardship:
    """How hard a drill is. `failing_fraction` of the sends are refused; what is refused was not taken."""

    chats: int
    lines: int
    kills: int
    in_flight: int = 8
    failing_fraction: float = 0.05
    seed: int = 1
    seconds_allowed: float = 3000


@dataclass(slots=True, kw_only=True)
class Outcome:
    """What became of it."""

    sent: int = 0
    doubled: int = 0
    refused: int = 0
    kills: int = 0
    seconds: float = 0.0
    faults: list[str] = field(default_factory=list)


class NetworkDrill:
    """One drill under way."""

    def __init__(self, hardship: Hardship, folder: Path) -> None:
        self.hardship = hardship
        self.folder = folder
        self.chance = random.Random(hardship.seed)
        self.api = BotApi(settings=Settings(failing_fraction=hardship.failing_fraction, seed=hardship.seed))
        self.api.faults.kinds = (refuses(500, "Internal Server Error"), gateway_page())
        self.outcome = Outcome()
        self.process: asyncio.subprocess.Process | None = None

    async def run(self) -> Outcome:
        """Play it, judge it."""
        began = time.monotonic()
        async with asyncio.timeout(self.hardship.seconds_allowed), running(self.api):
            await self._start()
            writing = asyncio.create_task(self._people_write())
            await self._harass()
            await writing
            await self._until_quiet()
            await self._stop()
        self.outcome.seconds = time.monotonic() - began
        self._judge()
        return self.outcome

    # --- what happens ------------------------------------------------------------------------------------------------

    async def _people_write(self) -> None:
        for number in range(self.hardship.lines):
            for chat in range(1, self.hardship.chats + 1):
                self.api.people.says(chat, f"line {number}")
                while len(self.api.updates.pending) > MOST_PENDING:  # noqa: ASYNC110 - another process takes them
                    await asyncio.sleep(0.02)
            await asyncio.sleep(0)

    async def _harass(self) -> None:
        total = self.hardship.chats * self.hardship.lines
        between = max(2, 2 * total // (self.hardship.kills + 1))
        while self.outcome.kills < self.hardship.kills:
            goal = min(len(self.api.taken) + self.chance.randint(1, between), total)
            await self._until_sent(goal)
            await asyncio.sleep(self.chance.uniform(0, 0.03))
            await self._kill()
            await self._start()

    async def _until_sent(self, goal: int) -> None:
        last, since = len(self.api.taken), time.monotonic()
        while len(self.api.taken) < goal and time.monotonic() - since < 3:
            if len(self.api.taken) != last:
                last, since = len(self.api.taken), time.monotonic()
            await asyncio.sleep(0.002)

    async def _kill(self) -> None:
        assert self.process is not None
        self.process.send_signal(signal.SIGKILL)
        await self.process.wait()
        self.outcome.kills += 1

    async def _stop(self) -> None:
        assert self.process is not None
        self.process.terminate()
        if await self.process.wait() != 0:
            self.outcome.faults.append(f"exit code {self.process.returncode}")

    async def _start(self) -> None:
        self.process = await asyncio.create_subprocess_exec(
            sys.executable,
            *("-m", "tests.drill.network_child", "--data", str(self.folder / "data"), "--server", self.api.url),
            *("--in-flight", str(self.hardship.in_flight)),
            cwd=ROOT,
            stdout=asyncio.subprocess.PIPE,
            stderr=asyncio.subprocess.DEVNULL,
        )
        assert self.process.stdout is not None
        if await self.process.stdout.readline() != b"ready\n":
            raise RuntimeError(f"the process did not start (exit code {await self.process.wait()})")

    async def _until_quiet(self) -> None:
        wanted = self.hardship.chats * self.hardship.lines
        with closing(sqlite3.connect(self.folder / "data" / DATABASE_FILE)) as database:
            while self.api.updates.pending or _open(database) or len(self.api.taken) < wanted:
                if not self.api.updates.pending and not _open(database):
                    await asyncio.sleep(1)
                    if not _open(database):
                        return  # nothing is left to do: whatever is missing now was lost
                await asyncio.sleep(0.05)

    # --- what is made of it ------------------------------------------------------------------------------------------

    def _judge(self) -> None:
        """Every line answered once in order, but for repeats of what was in the air at a kill."""
        of_chat: defaultdict[int, list[str]] = defaultdict(list)
        for message in self.api.taken:
            of_chat[message.chat_id].append(message.text)
        for chat in range(1, self.hardship.chats + 1):
            wanted = [f"counted {number + 1} line {number}" for number in range(self.hardship.lines)]
            got = of_chat[chat]
            if list(dict.fromkeys(got)) != wanted:
                missing = len(set(wanted) - set(got))
                self.outcome.faults.append(f"chat {chat}: {missing} lost, or out of order")
            if any(got[place] != got[place - 1] and got[place] in got[:place] for place in range(1, len(got))):
                self.outcome.faults.append(f"chat {chat}: something was repeated after what followed it")
            self.outcome.doubled += len(got) - len(set(got))
        self.outcome.sent = len(self.api.taken)
        self.outcome.refused = sum(each.status >= 500 for each in self.api.calls)
        if self.outcome.doubled > self.outcome.kills * self.hardship.in_flight:
            self.outcome.faults.append(f"{self.outcome.doubled} doubled")


def _open(database: sqlite3.Connection) -> int:
    (rows,) = database.execute(
        "SELECT (SELECT count(*) FROM outbox WHERE state = 0) + (SELECT count(*) FROM arrival WHERE state = 0)"
    ).fetchone()
    return int(rows)
