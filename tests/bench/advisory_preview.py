"""What it costs to see what an advisory to very many people would do, before anybody approves it.

    python -m tests.bench.advisory_preview [--homes 1000000] [--behind 20000]

People are on three channels, with everything that stands against a message: some want quiet, are held by a person, got
something today, opted out or cannot be reached; their documents are as long as real ones. Each side runs in a process
of its own. Told are

- seconds from asking to having everything on the page, and the most memory the process took;
- the longest time the event loop did nothing else meanwhile (what a reply would have to wait);
- the same where so many people took a turn nobody looked at yet;
- the baseline: one plain pass of SQL over the same rows of `glance`, every one read and its estimate summed up.
"""

from __future__ import annotations

import argparse
import asyncio
import sqlite3
import subprocess
import sys
import tempfile
import time
from contextlib import closing, suppress
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from pathlib import Path

from bot.ops.advisories.advisory import NewAdvisory
from bot.ops.advisories.drafts import Advisories
from bot.ops.advisories.filling import Filler
from bot.ops.advisories.preview import Ground, Preview, Previewing
from bot.ops.advisories.recipients import Recipients
from bot.ops.regions.audience import Audience
from bot.ops.regions.glancing import Glancing
from bot.ops.regions.shapes import Shape
from bot.store.rows import dump_homeowner
from bot.store.store import DATABASE_FILE
from bot.talk.case import Standing
from tests.bench.region_homes import most_mebibytes
from tests.fakes.house import open_house
from tests.ops.advisories.town import GEOGRAPHY, KNOWN, TALK, TERMS, WORDS, lawn

HOMES, BEHIND = 1_000_000, 20_000
NOON = datetime(2027, 2, 2, 17, 0, tzinfo=UTC)
TODAY = date(2027, 2, 2)
WORDS_SENT = "A hard freeze is likely near {place} tonight. Soil near you was {coldest_soil}. Keep off the white grass."
GRASSES = ("st_augustine", "bermuda", "zoysia", "centipede")
ZONES = ("America/New_York", "America/New_York", "America/Chicago")


def channel_of(number: int) -> str:
    """Most by Telegram, some by SMS and on the page."""
    return "sms" if number % 7 == 0 else "web" if number % 11 == 0 else "telegram"


def fill(folder: Path, homes: int) -> None:
    """People in every standing, looked at already; put into the file, since talking to a million takes a day."""
    kinds = [
        lawn(),
        replace(lawn(), standing=Standing.STOPPED),
        replace(lawn(), held_by="Ann"),
        replace(lawn(), last_unasked_on=TODAY),
    ]
    docs = [dump_homeowner(each) for each in kinds]
    with closing(sqlite3.connect(folder / DATABASE_FILE, isolation_level=None)) as connection:
        connection.execute("PRAGMA synchronous=OFF")
        connection.execute("BEGIN")
        connection.executemany(
            "INSERT INTO homeowner (id, doc, rev, channel, address, created_ms, heard_ms, glanced_rev)"
            " VALUES (?, ?, 1, ?, ?, 0, 0, 1)",
            ((each, docs[kind_of(each)], channel_of(each), f"p{each}") for each in range(1, homes + 1)),
        )
        connection.executemany(
            "INSERT INTO reach (channel, address, consent, consent_ms, unreachable_ms) VALUES (?, ?, ?, 0, ?)",
            (
                (channel_of(each), f"p{each}", 3 if each % 70 == 0 else 2, 1 if each % 200 == 0 else None)
                for each in range(1, homes + 1)
                if each % 7 == 0 or each % 200 == 0
            ),
        )
        connection.executemany(
            "INSERT INTO glance (homeowner_id, lawn, latitude_e2, longitude_e2, county, state, zone, language, grass,"
            " stage, is_quiet, soil_min_dc, heard_ms, hours, unasked_on, is_held, is_active_lawn)"
            " VALUES (?, 1, ?, ?, '13127', 'GA', ?, 'en', ?, 'waiting', ?, ?, 0, ?, ?, ?, 1)",
            (
                (each, 3050 + each * 7919 % 440, -8550 + each * 104729 % 440, ZONES[each % 3], GRASSES[each % 4],
                 int(kind_of(each) == 1), None if each % 9 == 0 else 20, f"{ZONES[each % 3]} 9 20",
                 str(TODAY) if kind_of(each) == 3 else None, int(kind_of(each) == 2))
                for each in range(1, homes + 1)
            ),
        )  # fmt: skip
        connection.execute("COMMIT")


def kind_of(number: int) -> int:
    """Which of the standings somebody is in: most are plain."""
    return 1 if number % 20 == 0 else 2 if number % 1000 == 1 else 3 if number % 13 == 0 else 0


@dataclass(slots=True)
class Stall:
    """The longest time in which the event loop did nothing else."""

    longest_seconds: float = 0.0

    async def watch(self) -> None:
        """Wake up every two milliseconds and see how late that is."""
        while True:
            before = time.perf_counter()
            await asyncio.sleep(0.002)
            self.longest_seconds = max(self.longest_seconds, time.perf_counter() - before - 0.002)


async def preview_once(folder: Path) -> tuple[Preview, float, float]:
    """One preview, with its seconds and the longest stall."""
    async with open_house(folder, talk=TALK, at=NOON) as house:
        database, clock = house.store.database, house.clock
        recipients = Recipients(database, Glancing(house.store, KNOWN, GEOGRAPHY))
        ground = Ground(
            store=house.store,
            talk=TALK,
            clock=clock,
            terms=TERMS,
            filler=Filler(words=WORDS, known=KNOWN),
            recipients=recipients,
        )
        drafts = Advisories(database, clock)
        audience = Audience(shape=Shape(states=frozenset({"GA"})))
        number = await drafts.draft(NewAdvisory(name="Freeze", words=WORDS_SENT, audience=audience), None)
        advisory, stall = await drafts.get(number), Stall()
        watching = asyncio.create_task(stall.watch())
        await asyncio.sleep(0.01)
        began = time.perf_counter()
        made = await Previewing(ground).of(advisory)
        seconds = time.perf_counter() - began
        watching.cancel()
        with suppress(asyncio.CancelledError):
            await watching
        return made, seconds, stall.longest_seconds


def plain_pass(folder: Path) -> float:
    """Every row of `glance` read by SQLite itself, once; seconds."""
    with closing(sqlite3.connect(folder / DATABASE_FILE)) as connection:
        began = time.perf_counter()
        connection.execute("SELECT count(*), sum(soil_min_dc), max(zone) FROM glance").fetchone()
        return time.perf_counter() - began


def work(side: str, folder: Path) -> None:
    """One side, in this process."""
    if side == "baseline":
        print(f"{plain_pass(folder)} 0 {most_mebibytes()} 0 True")
        return
    made, seconds, stall = asyncio.run(preview_once(folder))
    print(f"{seconds} {stall} {most_mebibytes()} {made.counted.selected} {made.counted.adds_up}")


def timed(side: str, folder: Path) -> tuple[float, str]:
    """Run a side in a process of its own; its seconds, and what there is to tell."""
    command = [sys.executable, "-m", "tests.bench.advisory_preview", "--work", side, "--folder", str(folder)]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    seconds, stall, mebibytes, selected, adds_up = done.stdout.split()
    told = f"{float(seconds):.2f} s, {mebibytes} MiB"
    if side != "baseline":
        told += f", longest stall {float(stall) * 1000:.0f} ms, {int(selected):,} selected, adds up: {adds_up}"
    return float(seconds), told


def main() -> None:
    """Make the people, run every side, print."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--homes", type=int, default=HOMES)
    parser.add_argument("--behind", type=int, default=BEHIND)
    parser.add_argument("--work", choices=("preview", "baseline"), help=argparse.SUPPRESS)
    parser.add_argument("--folder", type=Path, help=argparse.SUPPRESS)
    arguments = parser.parse_args()
    if arguments.work:
        work(arguments.work, arguments.folder)
        return
    with tempfile.TemporaryDirectory() as name:
        measure(Path(name), arguments)


def measure(folder: Path, arguments: argparse.Namespace) -> None:
    """Everything, on one folder."""

    async def make() -> None:
        async with open_house(folder, talk=TALK, at=NOON):
            pass

    asyncio.run(make())
    began = time.perf_counter()
    fill(folder, arguments.homes)
    print(f"{arguments.homes:,} people made in {time.perf_counter() - began:.0f} s")
    timed("baseline", folder)  # the first reads the file into memory
    baseline, told = timed("baseline", folder)
    print(f"  baseline, one plain pass: {told}")
    ours = sorted(timed("preview", folder) for _ in range(3))[1]
    print(f"  preview, middle of 3: {ours[1]}; {ours[0] / baseline:.1f} times the baseline")
    with closing(sqlite3.connect(folder / DATABASE_FILE)) as connection, connection:
        connection.execute("UPDATE homeowner SET rev = rev + 1 WHERE id % ? = 0", [arguments.homes // arguments.behind])
    print(f"  with {arguments.behind:,} nobody looked at since their last turn: {timed('preview', folder)[1]}")


if __name__ == "__main__":
    main()
