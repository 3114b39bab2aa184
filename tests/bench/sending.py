"""Messages a second to a far side of its own process: the bare client beside the whole durable way.

    python -m tests.bench.sending [--in-flight 1 8 32] [--latency-ms 0 50] [--messages 1500] [--repeat 3]

- Bare: the library's client with as many connections as sends in the air, over its default transport.
- Swift: the same client over our transport. What is left between it and ours is what being durable costs.
- Ours: the same number of rows in the outbox, committed before; courier, lease, claims, channel and acknowledgements
  with synchronous=FULL, and the same number of sends in the air. The time ends when the last row is marked as sent.
  No pace is kept: it is what is measured elsewhere.
- They take turns in one run against the same far side. Its own speed is shown by its share of the processor.
- With a latency nobody can be faster than sends in the air divided by the latency: "of the bound".
"""

from __future__ import annotations

import argparse
import asyncio
import contextlib
import os
import sqlite3
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import httpx

from bot.clock import SystemClock
from bot.courier import Courier
from bot.envelope import Envelope
from bot.garbage import look_seldom
from bot.service import Service
from bot.store.store import DATABASE_FILE, Store
from bot.talk.incoming import Said
from bot.talk.ports import Rendered
from bot.terms import Terms
from bot.trust import trusted
from tests.fakes.bot_api import TOKEN
from tests.fakes.small_talk import TALK

if TYPE_CHECKING:
    from telegram.request import BaseRequest

TEXT = "It is time to cut one notch lower."
WAIT_SECONDS = 30.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """One measured run of either side."""

    rate: float
    client_ms: float  # of this process's processor time, a message
    far_ms: float  # of the far side's


class Watch:
    """Measures from its making: seconds gone, and seconds of this process's processor used."""

    def __init__(self) -> None:
        self._began, self._used = time.perf_counter(), time.process_time()

    def read(self) -> tuple[float, float]:
        """Both, since then."""
        return time.perf_counter() - self._began, time.process_time() - self._used


async def bare(url: str, count: int, in_flight: int) -> tuple[float, float]:
    """What the library's client takes for so many messages, so many at once: seconds, seconds of the processor."""
    from telegram.request import HTTPXRequest

    request = HTTPXRequest(
        connection_pool_size=in_flight, read_timeout=WAIT_SECONDS, write_timeout=WAIT_SECONDS, pool_timeout=WAIT_SECONDS
    )
    return await _by_the_client(url, request, count, in_flight)


async def swift(url: str, count: int, in_flight: int) -> tuple[float, float]:
    """What the same client takes over our transport."""
    from bot.channels.telegram.request import Request

    request = Request(url, trust=trusted(), connect_seconds=WAIT_SECONDS, answer_seconds=WAIT_SECONDS)
    return await _by_the_client(url, request, count, in_flight)


async def _by_the_client(url: str, request: BaseRequest, count: int, in_flight: int) -> tuple[float, float]:
    from telegram import Bot

    async with Bot(TOKEN, base_url=f"{url}/bot", request=request, get_updates_request=request) as bot:
        chats = iter(range(1, count + 1))

        async def send() -> None:
            for chat in chats:
                await bot.send_message(chat, TEXT)

        watch = Watch()
        await asyncio.gather(*(send() for _ in range(in_flight)))
        return watch.read()


async def ours(url: str, count: int, in_flight: int) -> tuple[float, float]:
    """What the outbox takes for the same, from its first claim to its last acknowledgement."""
    from bot.channels.telegram.channel import TelegramChannel
    from bot.channels.telegram.client import TelegramClient
    from bot.charts.desk import ChartDesk
    from bot.words import Words

    class Counted(TelegramChannel):
        """Says when the last message is out."""

        left = count
        done = asyncio.Event()

        async def send(self, address: str, outbox_id: int, rendered: Rendered) -> None:
            """Send one, and count it."""
            await super().send(address, outbox_id, rendered)
            self.left -= 1
            if self.left == 0:
                self.done.set()

    words = Words()
    with tempfile.TemporaryDirectory() as folder:
        async with (
            Store.open(Path(folder), TALK.upgrade) as store,
            TelegramClient(TOKEN, server=url, connections=in_flight) as client,
        ):
            await _somebody(store)
            fill_outbox(Path(folder), count)
            channel = Counted(client, words, ChartDesk(words), store.files)
            courier = Courier(store, [channel], SystemClock(), terms={"telegram": Terms(in_flight=in_flight)})
            watch = Watch()
            courier.start()
            await channel.done.wait()
            while waiting(Path(folder)):  # noqa: ASYNC110 - what is waited for is in the database file
                await asyncio.sleep(0.001)
            taken = watch.read()
            await courier.drain(5)
        return taken


async def _somebody(store: Store) -> None:
    """The homeowner whose rows they are."""
    clock = SystemClock()
    service = Service(store, TALK, clock, committed=lambda: None)
    said = Envelope(channel="web", address="home", external_id="1", at=clock.now(), incoming=Said(text="hello"))
    await service.take_in(said)
    await service.close()


def fill_outbox(folder: Path, count: int) -> None:
    """So many rows to as many chats, all of them due."""
    with closing(sqlite3.connect(folder / DATABASE_FILE, isolation_level=None)) as connection:
        connection.execute("BEGIN")
        connection.execute("DELETE FROM outbox")
        connection.executemany(
            "INSERT INTO outbox (homeowner_id, channel, address, kind, urgency, made_ms, due_ms, body, state) "
            "VALUES (1, 'telegram', ?, 0, 1, 0, 0, ?, 0)",
            [(str(chat), f'{{"text": "{TEXT}"}}') for chat in range(1, count + 1)],
        )
        connection.execute("COMMIT")


def waiting(folder: Path) -> int:
    """How many rows are not marked as sent."""
    with closing(sqlite3.connect(folder / DATABASE_FILE)) as connection:
        return int(connection.execute("SELECT count(*) FROM outbox WHERE state = 0").fetchone()[0])


# --- one run ---------------------------------------------------------------------------------------------------------


@contextlib.contextmanager
def far_side() -> Iterator[str]:
    """The far side in a process of its own; its address."""
    command = (sys.executable, "-m", "tests.fakes.bot_api")
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=os.environ) as process:
        if process.stdout is None:
            raise RuntimeError("The far side says nothing.")
        try:
            yield process.stdout.readline().strip()
        finally:
            process.terminate()


def measured(side: Any, url: str, count: int, in_flight: int) -> Run:
    """Run one side once, and check that everything came exactly once."""
    before = told(url, "reset", {})["cpu_seconds"]
    seconds, used = asyncio.run(side(url, count, in_flight))
    state = told(url, "settings", {})
    if (state["taken"], state["repeated"]) != (count, 0):
        raise RuntimeError(f"{state['taken']} of {count} came, {state['repeated']} of them more than once")
    return Run(
        rate=count / seconds, client_ms=1000 * used / count, far_ms=1000 * (state["cpu_seconds"] - before) / count
    )


def told(url: str, what: str, body: dict[str, object]) -> dict[str, Any]:
    """Tell the far side something; its state."""
    state: dict[str, Any] = httpx.post(f"{url}/control/{what}", json=body).json()
    return state


def row(url: str, latency_ms: float, in_flight: int, asked: argparse.Namespace) -> str:
    """One line of the table."""
    told(url, "settings", {"latency_ms": latency_ms})
    bound = in_flight / (latency_ms / 1000) if latency_ms else None
    count = min(asked.messages, int(bound * asked.seconds)) if bound else asked.messages
    runs: dict[Any, list[Run]] = {bare: [], swift: [], ours: []}
    for _ in range(asked.repeat):
        for side, found in runs.items():
            found.append(measured(side, url, count, in_flight))
    theirs, swiftly, mine = (_median(found) for found in runs.values())
    of_bound = f"{mine.rate / bound:.2f}" if bound else ""
    return (
        f"| {latency_ms:g} | {in_flight} | {count} | {theirs.rate:,.0f} | {swiftly.rate:,.0f} | {mine.rate:,.0f} | "
        f"{mine.rate / theirs.rate:.2f} | {mine.rate / swiftly.rate:.2f} | {of_bound} | "
        f"{theirs.client_ms:.2f} | {swiftly.client_ms:.2f} | {mine.client_ms:.2f} | {mine.far_ms:.2f} |"
    )


def _median(runs: list[Run]) -> Run:
    return Run(
        rate=statistics.median(each.rate for each in runs),
        client_ms=statistics.median(each.client_ms for each in runs),
        far_ms=statistics.median(each.far_ms for each in runs),
    )


def main() -> int:
    """Run as the arguments say."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--in-flight", type=int, nargs="*", default=[1, 8, 32])
    parser.add_argument("--latency-ms", type=float, nargs="*", default=[0.0, 50.0])
    parser.add_argument("--messages", type=int, default=1500)
    parser.add_argument("--seconds", type=float, default=5.0, help="with a latency, fewer messages: about so long")
    parser.add_argument("--repeat", type=int, default=3)
    asked = parser.parse_args()
    print("| latency ms | in the air | messages | bare /s | swift /s | ours /s | ours : bare | ours : swift | "
          "of the bound | processor ms a message: bare | swift | ours | far side |")  # fmt: skip
    print("|" + " --- |" * 13)
    look_seldom()  # as every command of ours does
    with far_side() as url:
        for latency_ms in asked.latency_ms:
            for in_flight in asked.in_flight:
                print(row(url, latency_ms, in_flight, asked), flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main())
