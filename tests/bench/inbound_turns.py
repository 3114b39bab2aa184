"""Turns a second: take in, load, reduce, render, save, queue, commit, on SQLite with synchronous=FULL in one process.

    python -m tests.bench.inbound_turns [--homeowners 400] [--turns 20] [--talk real|small] [--profile]

The baseline of the same run: the standard library's sqlite3, one row and one commit each, synchronous=FULL.
"""

from __future__ import annotations

import argparse
import asyncio
import cProfile
import logging
import pstats
import sqlite3
import statistics
import sys
import tempfile
import time
from contextlib import closing
from pathlib import Path

from bot.clock import SystemClock
from bot.envelope import Envelope
from bot.garbage import look_seldom
from bot.service import Service
from bot.store.store import Store
from bot.talk.incoming import Said
from bot.talk.ports import Talk

PLACES = ("31545", "31522", "30301", "36830", "75001", "39401", "29401", "32301", "70801", "28401")
GRASSES = ("st augustine", "zoysia", "bermuda", "centipede", "not sure")


def lines_of(number: int) -> tuple[str, ...]:
    """What an owner types: a whole first talk with a few detours, other figures for every owner."""
    return (
        "hello", PLACES[number % 10], GRASSES[number % 5], "not sure", f"january {10 + number % 15}",
        f"{8 + number % 20}", "no snow", "not sure", f"about {1000 + 37 * number % 9000} sq ft", "not sure",
        "2.5", "not sure", "not sure", "not sure", "yes", "plan", "why", "not sure", "back", "plan",
    )  # fmt: skip


AT_ONCE = 256


def baseline(folder: Path, count: int = 3000) -> float:
    """Commits a second of one row each."""
    with closing(sqlite3.connect(folder / "plain.db", isolation_level=None)) as connection:
        connection.execute("PRAGMA journal_mode=WAL")
        connection.execute("PRAGMA synchronous=FULL")
        connection.execute("CREATE TABLE t (id INTEGER PRIMARY KEY, body TEXT)")
        began = time.perf_counter()
        for number in range(count):
            connection.execute("BEGIN IMMEDIATE")
            connection.execute("INSERT INTO t (body) VALUES (?)", (f"row {number}",))
            connection.execute("COMMIT")
        return count / (time.perf_counter() - began)


def the_talk(name: str) -> Talk:
    """The conversation by name."""
    if name == "small":
        from tests.fakes.small_talk import TALK

        logging.disable(logging.ERROR)  # it breaks on purpose at some words
        return TALK
    from bot.conversation import real_talk, warm_up
    from bot.settings import Settings

    look_seldom()
    talk = real_talk(Settings())
    asyncio.run(warm_up(talk))  # as the service does before anybody writes
    return talk


async def turns(folder: Path, talk: Talk, homeowners: int, lines: int) -> tuple[float, float]:
    """Turns a second with many homeowners at once, and the longest the loop stood still [ms]."""
    async with Store.open(folder, talk.upgrade) as store:
        service = Service(store, talk, SystemClock(), committed=lambda: None)
        gate = asyncio.Semaphore(AT_ONCE)

        async def owner(number: int) -> None:
            said = lines_of(number)
            for place in range(lines):
                envelope = Envelope(
                    channel="web",
                    address=f"owner-{number}",
                    external_id=f"{number}/{place}",
                    at=SystemClock().now(),
                    incoming=Said(text=said[place % len(said)]),
                )
                async with gate:
                    await service.take_in(envelope)

        watching = asyncio.create_task(longest_stall())
        began = time.perf_counter()
        await asyncio.gather(*(owner(number) for number in range(homeowners)))
        seconds = time.perf_counter() - began
        watching.cancel()
        stall = await asyncio.gather(watching, return_exceptions=False)
        await service.close()
    return homeowners * lines / seconds, stall[0]


async def longest_stall() -> float:
    """The longest the loop kept others waiting until cancelled [ms]."""
    longest, last = 0.0, time.perf_counter()
    try:
        while True:
            await asyncio.sleep(0.001)
            now = time.perf_counter()
            longest, last = max(longest, now - last - 0.001), now
    except asyncio.CancelledError:
        return longest * 1000


def main() -> int:
    """Run as the arguments say."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--homeowners", type=int, default=400)
    parser.add_argument("--turns", type=int, default=20)
    parser.add_argument("--talk", choices=("real", "small"), default="real")
    parser.add_argument("--repeat", type=int, default=3)
    parser.add_argument("--profile", action="store_true")
    asked = parser.parse_args()
    talk = the_talk(asked.talk)
    rates, commits, stalls = [], [], []
    for _ in range(asked.repeat):
        with tempfile.TemporaryDirectory() as folder:
            commits.append(baseline(Path(folder)))
            profiler = cProfile.Profile()
            if asked.profile:
                profiler.enable()
            rate, stall = asyncio.run(turns(Path(folder) / "data", talk, asked.homeowners, asked.turns))
            profiler.disable()
            rates.append(rate)
            stalls.append(stall)
    if asked.profile:
        pstats.Stats(profiler).sort_stats("tottime").print_stats(35)
    rate, commit = statistics.median(rates), statistics.median(commits)
    print(f"{asked.talk} talk, {asked.homeowners} homeowners, {asked.turns} turns each, {AT_ONCE} at once")
    print(f"turns a second {rate:,.0f}; sqlite3 commits of one row a second {commit:,.0f}; ratio {rate / commit:.2f}")
    print(f"longest stall of the loop {max(stalls):.1f} ms")
    return 0


if __name__ == "__main__":
    sys.exit(main())
