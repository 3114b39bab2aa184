"""How soon after its approval an advisory to very many homes begins to go out, and what it costs to watch it.

    python -m tests.bench.advisory_start [--homes 1000000] [--drawn]

Told are, in seconds:
- from the approval to the first message in the outbox, without and with the seconds in which it can be taken back;
- until everybody is listed, while messages are handed over all along;
- a look at how far it is (the desk's page asks every three seconds), beside counting every row (the baseline);
- how long somebody who writes meanwhile waits until their message is on disk: the median and the worst.
"""

from __future__ import annotations

import argparse
import asyncio
import sqlite3
import statistics
import tempfile
import time
from contextlib import closing
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path

from bot.ops.advisories.advisory import NewAdvisory
from bot.ops.advisories.approving import UNDO, Approving, mark_of
from bot.ops.advisories.drafts import Advisories
from bot.ops.advisories.filling import Filler
from bot.ops.advisories.recipients import Recipients
from bot.ops.advisories.report import progress
from bot.ops.advisories.spreading import Means, Spreader
from bot.ops.regions.audience import Audience
from bot.ops.regions.glancing import Glancing
from bot.ops.regions.shapes import Polygon, Shape
from bot.store.rows import dump_homeowner
from bot.store.store import DATABASE_FILE
from bot.talk.case import Case, Homeowner
from bot.terms import Terms
from tests.fakes.house import House, open_house
from tests.ops.advisories.town import GEOGRAPHY, KNOWN, TALK, WORDS

NOON = datetime(2027, 2, 2, 17, 0, tzinfo=UTC)
GEORGIA = ((-85.6, 30.4), (-85.6, 35.0), (-83.1, 35.0), (-80.8, 32.0), (-82.0, 30.4), (-85.6, 30.4))
WORDS_SENT = "A hard freeze is likely near {place} tonight. Keep off the grass while it is white."


@dataclass(slots=True)
class Found:
    """What was measured, in seconds."""

    first: float = 0.0
    listed: float = 0.0
    handed: int = 0
    waits: list[float] = field(default_factory=list)


def fill(folder: Path, homes: int) -> None:
    """Homes all over a state, looked at already; put into the file, since talking to a million takes a day."""
    doc = dump_homeowner(Homeowner(lawns=(Case(number=1, opened_at=NOON),), active_lawn=1))
    with closing(sqlite3.connect(folder / DATABASE_FILE, isolation_level=None)) as connection:
        connection.execute("PRAGMA synchronous=OFF")
        connection.execute("BEGIN")
        people = ((number, doc, f"p{number}") for number in range(1, homes + 1))
        connection.executemany(
            "INSERT INTO homeowner (id, doc, rev, channel, address, created_ms, heard_ms, glanced_rev)"
            " VALUES (?, ?, 1, 'telegram', ?, 0, 0, 1)",
            people,
        )
        lawns = (
            (number, 3050 + number * 7919 % 440, -8550 + number * 104729 % 440, "GA" if number % 50 else None)
            for number in range(1, homes + 1)
        )
        connection.executemany(
            "INSERT INTO glance (homeowner_id, lawn, latitude_e2, longitude_e2, state, zone, language, grass, stage,"
            " is_quiet, soil_min_dc, heard_ms)"
            " VALUES (?, 1, ?, ?, ?, 'America/New_York', 'en', 'bermuda', 'waiting', 0, 20, 0)",
            lawns,
        )
        connection.execute("COMMIT")


async def write_meanwhile(house: House, found: Found, done: asyncio.Event) -> None:
    """Somebody writes every fifth of a second."""
    number = 0
    while not done.is_set():
        number += 1
        began = time.perf_counter()
        await house.hear(f"writer {number % 20}", "help")
        found.waits.append(time.perf_counter() - began)
        await asyncio.sleep(0.2)


async def measure(house: House, audience: Audience, undo: timedelta) -> tuple[int, Found]:
    """Approve one, and run as the ticker would until everybody is listed."""
    database, clock = house.store.database, house.clock
    drafts, approving = Advisories(database, clock), Approving(database, clock)
    recipients = Recipients(database, Glancing(house.store, KNOWN, GEOGRAPHY))
    means = Means(
        talk=TALK,
        terms={"telegram": Terms(in_flight=32)},
        filler=Filler(words=WORDS, known=KNOWN),
        recipients=recipients,
        undo=undo,
    )
    spreader = Spreader(house.store, house.service, clock, means)
    number = await drafts.draft(NewAdvisory(name="Freeze", words=WORDS_SENT, audience=audience, is_pressing=True), None)
    advisory = await drafts.get(number)
    found, done, began = Found(), asyncio.Event(), time.perf_counter()
    started_at = clock.now()
    await approving.approve(number, mark_of(advisory, ()), None)
    writing = asyncio.create_task(write_meanwhile(house, found, done))
    queued = house.value("SELECT count(*) FROM outbox WHERE urgency = 1")
    while not found.listed:
        clock.set(started_at + timedelta(seconds=time.perf_counter() - began))
        tick = time.perf_counter()
        await spreader.run()
        if not found.first and house.value("SELECT count(*) FROM outbox WHERE urgency = 1") > queued:
            found.first = time.perf_counter() - began
        if (await drafts.get(number)).selected is not None:
            found.listed = time.perf_counter() - began
        await asyncio.sleep(max(0.0, (0.1 if not found.first else 0.0) + tick - time.perf_counter()))
    done.set()
    await writing
    found.handed = house.value("SELECT count(*) FROM advisory_send WHERE advisory_id = ? AND state = 1", number)
    return number, found


async def run(arguments: argparse.Namespace) -> None:
    """Print the figures."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        async with open_house(folder, talk=TALK, at=NOON):
            pass
        began = time.perf_counter()
        fill(folder, arguments.homes)
        print(f"{arguments.homes} homes made in {time.perf_counter() - began:.0f} s")
        area = Shape(polygons=(Polygon(outer=GEORGIA),)) if arguments.drawn else Shape(states=frozenset({"GA"}))
        for undo in (timedelta(0), UNDO):
            async with open_house(folder, talk=TALK, at=NOON) as house:
                await house.change("UPDATE advisory SET state = 'dropped', ended_ms = 0")  # the one before
                await house.change(
                    "DELETE FROM outbox WHERE urgency = 1"
                )  # nobody sends here: it would count as a queue
                number, found = await measure(house, Audience(shape=area), undo)
                await tell(house, number, found, undo)


async def tell(house: House, number: int, found: Found, undo: timedelta) -> None:
    """One measurement."""
    began = time.perf_counter()
    far = await progress(house.store.database, number)
    looked = time.perf_counter() - began
    began = time.perf_counter()
    house.rows("SELECT state, why, count(*) FROM advisory_send WHERE advisory_id = ? GROUP BY state, why", number)
    counted = time.perf_counter() - began
    print(f"\nwith {undo.total_seconds():.0f} s to take it back, {far.selected} selected:")
    print(f"  first message in the outbox after {found.first:.2f} s")
    print(f"  everybody listed after {found.listed:.2f} s, {found.handed} handed over by then")
    print(f"  a look at how far it is: {looked * 1000:.0f} ms (every row counted: {counted * 1000:.0f} ms)")
    waits = sorted(found.waits)
    median, worst = statistics.median(waits) * 1000, waits[-1] * 1000
    print(f"  who wrote meanwhile: on disk after {median:.0f} ms, worst {worst:.0f} ms")


def main() -> None:
    """Read the arguments and run."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--homes", type=int, default=1_000_000)
    parser.add_argument("--drawn", action="store_true", help="choose by a drawn area instead of a state")
    asyncio.run(run(parser.parse_args()))


if __name__ == "__main__":
    main()
