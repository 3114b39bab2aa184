"""What it costs to find the homes of a state-wide drawn area among a million.

    python -m tests.bench.region_homes [homes]

Each side runs in a process of its own and prints seconds, process start included, and the most memory it took. The
homes lie over the South, a quarter of them in the area; and, the hardest case, all of them in the box around it.

Baseline: the same rows read by the driver, and one call of the library's point-in-polygon a home.
"""

from __future__ import annotations

import asyncio
import math
import resource
import sqlite3
import subprocess
import sys
import tempfile
import time
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from bot.ops.regions.audience import Audience
from bot.ops.regions.shapes import Polygon, Shape
from bot.store.database import Database

HOMES, OUTLINE_POINTS = 1_000_000, 800
FILE = "homes.sqlite3"
MIDDLE, WIDE, HIGH = (-83.2, 32.7), 2.3, 2.1
GRASSES = ("st_augustine", "bermuda", "zoysia", "centipede")


def state_wide() -> Polygon:
    """An area about as large as Georgia, with a coast."""
    turn = np.linspace(0, 2 * math.pi, OUTLINE_POINTS, endpoint=False)
    reach = 1 + 0.06 * np.sin(9 * turn) + 0.02 * np.sin(71 * turn)
    points = [
        (MIDDLE[0] + WIDE * math.cos(angle) * far, MIDDLE[1] + HIGH * math.sin(angle) * far)
        for angle, far in zip(turn.tolist(), reach.tolist(), strict=True)
    ]
    return Polygon(outer=(*points, points[0]))


async def make(folder: Path, homes: int, *, spread: bool) -> None:
    """A database of homes: over the South, or all of them in the box of the area."""
    database = await Database.open(f"sqlite+aiosqlite:///{folder / FILE}")
    await database.close()
    chance = np.random.default_rng(11)
    wide, high = (2.3, 1.5) if spread else (1.0, 1.0)
    longitude = np.rint(100 * (MIDDLE[0] + wide * WIDE * chance.uniform(-1, 1, homes))).astype(int).tolist()
    latitude = np.rint(100 * (MIDDLE[1] + high * HIGH * chance.uniform(-1, 1, homes))).astype(int).tolist()
    grass = chance.integers(0, len(GRASSES), homes).tolist()
    with closing(sqlite3.connect(folder / FILE)) as connection, connection:
        connection.executemany(
            "INSERT INTO homeowner (id, rev, channel, address, created_ms, heard_ms, glanced_rev)"
            " VALUES (?, 1, 'web', ?, 0, 0, 1)",
            ((number, f"home {number}") for number in range(1, homes + 1)),
        )
        connection.executemany(
            "INSERT INTO glance (homeowner_id, lawn, latitude_e2, longitude_e2, zip, county, state, zone, language,"
            " grass, stage, is_quiet, crown_min_dc, soil_min_dc, alive_percent, heard_ms)"
            " VALUES (?, 1, ?, ?, '31520', '13127', 'GA', 'America/New_York', 'en', ?, 'waiting', 0, -61, 4, 55, 0)",
            (
                (number, latitude[number - 1], longitude[number - 1], GRASSES[grass[number - 1]])
                for number in range(1, homes + 1)
            ),
        )


async def by_selecting(file: str, audience: Audience) -> int:
    """How many our own way finds."""
    from bot.ops.regions.selecting import select

    database = await Database.open(f"sqlite+aiosqlite:///{file}")
    try:
        return len(await select(database, audience))
    finally:
        await database.close()


def home_by_home(file: str, area: Polygon) -> int:
    """How many a loop finds that asks the library once a home."""
    import shapely

    outline = shapely.Polygon(area.outer)
    shapely.prepare(outline)
    found = set()
    with closing(sqlite3.connect(file)) as connection:
        for of_id, latitude, longitude in connection.execute(
            "SELECT homeowner_id, latitude_e2, longitude_e2 FROM glance"
        ):
            if shapely.intersects_xy(outline, longitude / 100, latitude / 100):
                found.add(of_id)
    return len(found)


def work(side: str, file: str) -> None:
    """One side, in this process: prints what it found and the most memory it took."""
    area = state_wide()
    shape = Shape(polygons=(area,))
    if side == "baseline":
        count = home_by_home(file, area)
    elif side == "select":
        count = asyncio.run(by_selecting(file, Audience(shape=shape)))
    else:
        kind = Audience(shape=shape, grasses=frozenset({"bermuda"}), channels=frozenset({"web"}), soil_min_below_c=1.0)
        count = asyncio.run(by_selecting(file, kind))
    print(count, most_mebibytes())


def most_mebibytes() -> int:
    """The most memory this process took. (`getrusage` would count that of whoever started it.)"""
    lines = Path("/proc/self/status").read_text(encoding="utf-8").splitlines()
    return next(int(line.split()[1]) for line in lines if line.startswith("VmHWM")) // 1024


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """One side's run: seconds from the start of its process to its end, those the processor worked for it, and more."""

    seconds: float
    worked_seconds: float
    homes: int
    mebibytes: int

    def __str__(self) -> str:
        return f"{self.seconds:.2f} s ({self.worked_seconds:.2f} s of work), {self.mebibytes} MiB, {self.homes:,} homes"


def timed(side: str, file: Path) -> Run:
    """Run one side in a process of its own."""
    begun, worked = time.perf_counter(), resource.getrusage(resource.RUSAGE_CHILDREN)
    done = subprocess.run(
        [sys.executable, "-m", "tests.bench.region_homes", "work", side, str(file)],
        capture_output=True,
        text=True,
        check=True,
    )
    seconds, after = time.perf_counter() - begun, resource.getrusage(resource.RUSAGE_CHILDREN)
    homes, mebibytes = map(int, done.stdout.split())
    return Run(
        seconds=seconds,
        worked_seconds=after.ru_utime + after.ru_stime - worked.ru_utime - worked.ru_stime,
        homes=homes,
        mebibytes=mebibytes,
    )


def main() -> None:
    """Make the homes, run every side, print."""
    homes = int(sys.argv[1]) if len(sys.argv) > 1 else HOMES
    for spread in (True, False):
        with tempfile.TemporaryDirectory() as folder:
            asyncio.run(make(Path(folder), homes, spread=spread))
            file = Path(folder) / FILE
            print(f"{homes:,} homes, {'over the South' if spread else 'everywhere in the box of the area'}")
            ours = sorted((timed("select", file) for _ in range(3)), key=lambda run: run.seconds)[1]
            baseline = timed("baseline", file)
            print(f"  select, middle of 3: {ours}")
            print(f"  with grass, channel and soil: {timed('filtered', file)}")
            print(f"  baseline, home by home: {baseline}")
            print(
                f"  {baseline.seconds / ours.seconds:.1f} times as fast; as many homes: {ours.homes == baseline.homes}"
            )


if __name__ == "__main__":
    if len(sys.argv) > 1 and sys.argv[1] == "work":
        work(sys.argv[2], sys.argv[3])
    else:
        main()
