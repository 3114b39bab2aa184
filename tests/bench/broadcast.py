"""A broadcast to many people through the whole service, and what becomes of everybody else meanwhile.

    python -m tests.bench.broadcast [--people 10000] [--idle-seconds 60] [--latency-ms 50] [--stoppers 20]

The service runs as it is started, by settings alone, with its own pace (25 a second); a Bot API with flood limits and a
latency stands in a process of its own. Told are:

- how much of the configured pace is used while the broadcast runs, and whether the far side ever asked to slow down;
- how long somebody who writes waits for an answer: before the broadcast (the baseline) and during it;
- what still comes to people who say "stop" amid several messages;
- that nothing is sent before a pause ends that the far side asks for.
"""

from __future__ import annotations

import argparse
import asyncio
import itertools
import os
import sqlite3
import statistics
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager, closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import httpx

from bot.networks import TELEGRAM_A_SECOND
from bot.store.store import DATABASE_FILE
from tests.fakes.bot_api import TOKEN
from tests.web.test_server import free_port

NEWS = "A hard freeze is on its way. Water the lawn today and keep off it tomorrow."
ASKING, READERS, STOPPING = 1_000, 100_000, 900_000
"""Where the chats begin of those who write, of those who only read, and of those who say stop."""
WRITERS = 150
FOR_EACH_STOPPER = 6
PAUSE_SECONDS = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """Somebody wrote, at an instant of the machine's monotonic clock."""

    chat: int
    at_seconds: float


class Scene:
    """The far side as this process sees it, and the service's database."""

    def __init__(self, url: str, client: httpx.AsyncClient, folder: Path) -> None:
        self._url = url
        self._client = client
        self._folder = folder

    async def told(self, what: str, body: Any) -> dict[str, Any]:
        """Tell the far side something; its state."""
        answer = await self._client.post(f"{self._url}/control/{what}", json=body)
        told: dict[str, Any] = answer.json()
        return told

    async def messages(self) -> list[dict[str, Any]]:
        """What was delivered."""
        answer = await self._client.get(f"{self._url}/control/messages", timeout=120)
        found: list[dict[str, Any]] = answer.json()
        return found

    async def write(self, chat: int, words: str) -> Asked:
        """Somebody writes."""
        at = time.monotonic()
        await self.told("push", {"do": "says", "number": chat, "text": words})
        return Asked(chat=chat, at_seconds=at)

    async def ask(self, seconds: float, every_seconds: float, *, until_empty: bool = False) -> list[Asked]:
        """Somebody writes every so often, for so long, or as long as the broadcast runs."""
        asked: list[Asked] = []
        ends = time.monotonic() + seconds
        while time.monotonic() < ends and not (until_empty and not self.waiting()):
            began = time.monotonic()
            asked.append(await self.write(ASKING + len(asked) % WRITERS, "help"))
            await asyncio.sleep(max(0.0, every_seconds - (time.monotonic() - began)))
        return asked

    def waiting(self) -> int:
        """How many messages nobody asked for are still to go."""
        with closing(self._database()) as connection:
            statement = "SELECT count(*) FROM outbox WHERE state = 0 AND urgency = 1"
            return int(connection.execute(statement).fetchone()[0])

    def fill(self, chats: range, *, each: int = 1) -> None:
        """People who are like the first one, with so many messages each that nobody asked for."""
        with closing(self._database()) as connection:
            connection.execute("BEGIN IMMEDIATE")
            for chat in chats:
                cursor = connection.execute(
                    "INSERT INTO homeowner (doc, rev, channel, address, created_ms, heard_ms) SELECT doc, rev, channel,"
                    " ?, created_ms, heard_ms FROM homeowner ORDER BY id LIMIT 1",
                    (str(chat),),
                )
                connection.execute("INSERT INTO contact VALUES ('telegram', ?, ?)", (str(chat), cursor.lastrowid))
                rows = [(cursor.lastrowid, str(chat), f'{{"text": "{NEWS} ({number})"}}') for number in range(each)]
                connection.executemany(
                    "INSERT INTO outbox (homeowner_id, channel, address, kind, urgency, made_ms, due_ms, body, state)"
                    " VALUES (?, 'telegram', ?, 0, 1, unixepoch() * 1000, 0, ?, 0)",
                    rows,
                )
            connection.execute("COMMIT")

    def _database(self) -> sqlite3.Connection:
        connection = sqlite3.connect(self._folder / "data" / DATABASE_FILE, isolation_level=None, timeout=30)
        connection.execute("PRAGMA synchronous=FULL")
        return connection


@contextmanager
def processes(folder: Path, latency_ms: float) -> Iterator[str]:
    """The far side and the service, each in its own process; the far side's address."""
    command = (sys.executable, "-m", "tests.fakes.bot_api", "--limits", "--latency-ms", str(latency_ms))
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as far:
        url = far.stdout.readline().strip() if far.stdout else ""
        clean = {name: value for name, value in os.environ.items() if not name.startswith("AFTERFROST_")}
        settings = {
            "AFTERFROST_DATA": str(folder / "data"),
            "AFTERFROST_PORT": str(free_port()),
            "AFTERFROST_TELEGRAM_TOKEN": TOKEN,
            "AFTERFROST_TELEGRAM_API": url,
        }
        with (
            (folder / "log").open("w") as log,
            subprocess.Popen([sys.executable, "-m", "bot", "start"], env=clean | settings, stderr=log) as service,
        ):
            try:
                yield url
            finally:
                service.terminate()
                service.wait(30)
                far.terminate()


@asynccontextmanager
async def running(folder: Path, latency_ms: float) -> AsyncIterator[Scene]:
    """Everything a broadcast needs."""
    with processes(folder, latency_ms) as url:
        async with httpx.AsyncClient(timeout=60) as client:
            yield Scene(url, client, folder)


# --- what is told ----------------------------------------------------------------------------------------------------


def waits_ms(asked: list[Asked], messages: list[dict[str, Any]], latency_ms: float) -> list[float]:
    """How long each who wrote waited for the next message to them, the way to them included."""
    came: dict[int, list[float]] = {}
    for message in messages:
        if not message["text"].startswith(NEWS):
            came.setdefault(message["chat_id"], []).append(message["at_seconds"])
    waits = []
    for each in asked:
        after = [at for at in came.get(each.chat, []) if at > each.at_seconds]
        if not after:
            raise RuntimeError(f"chat {each.chat} got no answer")
        waits.append(1000 * (min(after) - each.at_seconds) + latency_ms)
    return waits


def p95(values: list[float]) -> float:
    """The 95th percentile."""
    return statistics.quantiles(values, n=20)[-1]


def use_of_pace(messages: list[dict[str, Any]]) -> tuple[float, int]:
    """The share of the allowed pace that was used from the first to the last of the news, and how much went out."""
    news = [each["at_seconds"] for each in messages if each["text"].startswith(NEWS)]
    inside = [each for each in messages if news[0] <= each["at_seconds"] <= news[-1]]
    return (len(inside) - 1) / (news[-1] - news[0]) / TELEGRAM_A_SECOND, len(inside)


def twice(messages: list[dict[str, Any]]) -> int:
    """How much of the news came more than once."""
    counted = Counter((each["chat_id"], each["text"]) for each in messages if each["text"].startswith(NEWS))
    return sum(count - 1 for count in counted.values())


async def until_said(scene: Scene, count: int) -> None:
    """Wait until so many messages are with the far side."""
    async with asyncio.timeout(60):
        while (await scene.told("settings", {}))["taken"] < count:  # noqa: ASYNC110 - another process counts
            await asyncio.sleep(0.05)


async def run(asked: argparse.Namespace) -> int:
    """The whole scene, told at its end."""
    with tempfile.TemporaryDirectory() as folder:
        async with running(Path(folder), asked.latency_ms) as scene:
            tell_waits("idle", await idle(scene, asked), asked.latency_ms)
            tell_broadcast(asked, *await broadcast(scene, asked))
            await tell_pause(scene, READERS + asked.people)
        log = (Path(folder) / "log").read_text()
    errors = [line for line in log.splitlines() if "ERROR" in line]
    print(f"errors in the log: {len(errors)}", *errors[:5], sep="\n")
    return 0


async def idle(scene: Scene, asked: argparse.Namespace) -> list[float]:
    """How long people wait for an answer while nothing else goes on."""
    await scene.told("push", {"do": "starts", "number": ASKING})
    await until_said(scene, 1)
    await scene.ask(WRITERS * 0.1, 0.1)  # everybody is known, and everything is warm
    await asyncio.sleep(3)
    wrote = await scene.ask(asked.idle_seconds, 0.5)
    await asyncio.sleep(3)
    return waits_ms(wrote, await scene.messages(), asked.latency_ms)


async def broadcast(
    scene: Scene, asked: argparse.Namespace
) -> tuple[list[Asked], list[Asked], list[dict[str, Any]], dict[str, Any]]:
    """News to everybody; who wrote meanwhile, who said stop, what was delivered, and the far side's counts."""
    await scene.told("reset", {})
    stoppers = range(STOPPING, STOPPING + asked.stoppers)
    scene.fill(stoppers, each=FOR_EACH_STOPPER)
    scene.fill(range(READERS, READERS + asked.people))
    meanwhile = asyncio.create_task(scene.ask(100_000, 0.5, until_empty=True))
    await asyncio.sleep(4)
    stopped = [await scene.write(chat, "stop") for chat in stoppers]
    wrote = await meanwhile
    await asyncio.sleep(3)
    return wrote, stopped, await scene.messages(), await scene.told("settings", {})


def tell_broadcast(
    asked: argparse.Namespace,
    wrote: list[Asked],
    stopped: list[Asked],
    messages: list[dict[str, Any]],
    state: dict[str, Any],
) -> None:
    """The figures of the broadcast."""
    use, count = use_of_pace(messages)
    print(f"broadcast to {asked.people} people, {asked.latency_ms:g} ms to the far side; {count} messages in all")
    print(f"use of the pace of {TELEGRAM_A_SECOND} a second: {use:.3f} (0.97 to 1.00 wanted)")
    print(f"asked to slow down: {state['answers'].get('429', 0)}; most in any second: {state['most_in_1_s']}; "
          f"news that came twice: {twice(messages)}")  # fmt: skip
    tell_waits("during it", waits_ms(wrote, messages, asked.latency_ms), asked.latency_ms)
    print(f"{len(stopped)} said stop amid {FOR_EACH_STOPPER} messages each: the last came "
          f"{late_news(stopped, messages):.2f} s after it (at most 1 wanted)")  # fmt: skip


def tell_waits(when: str, waits: list[float], latency_ms: float) -> None:
    """How long people waited. The p95 during a broadcast should be at most twice the idle one."""
    quarters = ", ".join(f"{each:.0f}" for each in statistics.quantiles(waits, n=100)[49::10])
    print(f"answer {when}: p50, p60 ... p90 {quarters} ms; p95 {p95(waits):.0f} ms ({len(waits)} asked; "
          f"{2 * latency_ms:.0f} ms of each are the way there and back)")  # fmt: skip


async def tell_pause(scene: Scene, first: int) -> None:
    """What goes out while a pause runs that the far side asked for."""
    await scene.told("reset", {})
    scene.fill(range(first, first + 200))
    await scene.write(ASKING, "help")
    await until_said(scene, 50)
    await scene.told("faults", [{"takes": False, "status": 429, "retry_after": PAUSE_SECONDS}])
    await scene.ask(100_000, 1.0, until_empty=True)
    state = await scene.told("settings", {})
    times = [each["at_seconds"] for each in await scene.messages()]
    gap = max(later - earlier for earlier, later in itertools.pairwise(times))
    print(f"a pause of {PAUSE_SECONDS} s asked for: quiet for {gap:.2f} s, sends before its end {state['early']}")


def late_news(stopped: list[Asked], messages: list[dict[str, Any]]) -> float:
    """How long after a stop the last of the news came to anybody who said it [s]; 0 for none at all."""
    said_at = {each.chat: each.at_seconds for each in stopped}
    news = [each for each in messages if each["chat_id"] in said_at and each["text"].startswith(NEWS)]
    if len(news) >= len(stopped) * FOR_EACH_STOPPER:
        raise RuntimeError("everything was out before anybody said stop")
    return max((each["at_seconds"] - said_at[each["chat_id"]] for each in news), default=0.0)


def main() -> int:
    """Run as the arguments say."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--people", type=int, default=10_000)
    parser.add_argument("--stoppers", type=int, default=20)
    parser.add_argument("--idle-seconds", type=float, default=60.0)
    parser.add_argument("--latency-ms", type=float, default=50.0)
    return asyncio.run(run(parser.parse_args()))


if __name__ == "__main__":
    sys.exit(main())
