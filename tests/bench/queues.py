"""What queues cost as they fill: due reminders against APScheduler's job store, and claims among a million rows.

    python -m tests.bench.queues [--reminders 10000 50000] [--rows 10000 1000000] [--due 1000]

- Reminders: claim and hand-over with an empty handler on both sides. Ours: the statement the service uses, as many rows
  a transaction as it takes, synchronous=FULL. The other side: APScheduler 3 with its SQLAlchemyJobStore on SQLite as it
  comes, and the same with WAL and synchronous=NORMAL.
- The whole path (claim, load, reduce, render, commit) beside the rate of inbound turns of the same run.
- Claims: one look at the outbox and its claim with so many rows waiting and as many sent.
"""

from __future__ import annotations

import argparse
import asyncio
import logging
import os
import sqlite3
import statistics
import sys
import tempfile
import time
from collections.abc import Sequence
from contextlib import AsyncExitStack, closing
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

from sqlalchemy import create_engine, event

from bot.clock import SetClock, SystemClock
from bot.envelope import Envelope
from bot.service import Service
from bot.store import outbox, reminders
from bot.store.database import milliseconds
from bot.store.store import DATABASE_FILE, Store
from bot.talk.incoming import Said
from bot.ticker import REMINDERS_A_TRANSACTION
from tests.fakes.small_talk import TALK

NOW = datetime(2026, 3, 10, 15, 0, tzinfo=UTC)
CLAIM_ROUNDS = 60
fired = 0


def handler() -> None:
    """The empty handler of the other side."""
    global fired
    fired += 1


def other_side(folder: Path, pending: int, due: int, *, tuned: bool) -> tuple[float, float]:
    """Reminders a second through APScheduler, and the longest the loop stood still [ms]."""
    from apscheduler.jobstores.sqlalchemy import SQLAlchemyJobStore
    from apscheduler.schedulers.asyncio import AsyncIOScheduler

    logging.getLogger("apscheduler").setLevel(logging.ERROR)
    engine = create_engine(f"sqlite:///{folder / ('tuned.db' if tuned else 'plain.db')}")
    if tuned:

        @event.listens_for(engine, "connect")
        def _tune(connection, _record):  # type: ignore[no-untyped-def]
            connection.execute("PRAGMA journal_mode=WAL")
            connection.execute("PRAGMA synchronous=NORMAL")

    async def run() -> tuple[float, float]:
        scheduler = AsyncIOScheduler(
            jobstores={"default": SQLAlchemyJobStore(engine=engine)},
            job_defaults={"misfire_grace_time": None, "coalesce": True},
            timezone=UTC,
        )
        scheduler.start(paused=True)
        store = scheduler._jobstores["default"]
        later, soon = SystemClock().now() + timedelta(days=30), SystemClock().now() - timedelta(seconds=1)
        _fill_other(scheduler, store, later, pending - due)
        _fill_other(scheduler, store, soon, due)
        store.get_due_jobs(datetime(2000, 1, 1, tzinfo=UTC))  # both sides have looked before, and found nothing
        before = fired
        watching = asyncio.create_task(longest_stall())
        await asyncio.sleep(0.05)
        began = time.perf_counter()
        scheduler.resume()
        while fired - before < due:  # noqa: ASYNC110 - the scheduler tells nobody
            await asyncio.sleep(0.001)
        seconds = time.perf_counter() - began
        await asyncio.sleep(0.01)  # let the watcher see the last stall
        watching.cancel()
        stall = await watching
        scheduler.shutdown(wait=False)
        return due / seconds, stall

    result = asyncio.run(run())
    engine.dispose()
    return result


def _fill_other(scheduler, store, at: datetime, count: int) -> None:  # type: ignore[no-untyped-def]
    """Rows as its own `add_job` writes them, in one transaction, so that filling takes no hour."""
    from apscheduler.job import Job
    from apscheduler.triggers.date import DateTrigger
    from apscheduler.util import datetime_to_utc_timestamp

    rows = []
    for number in range(count):
        job = Job(
            scheduler,
            trigger=DateTrigger(at, UTC),
            executor="default",
            func=handler,
            args=(),
            kwargs={},
            id=f"{at.isoformat()}-{number}",
            name="handler",
            misfire_grace_time=None,
            coalesce=True,
            max_instances=10_000,
            next_run_time=at,
        )
        state = store.jobs_t.c
        import pickle

        rows.append(
            {
                state.id.name: job.id,
                state.next_run_time.name: datetime_to_utc_timestamp(at),
                state.job_state.name: pickle.dumps(job.__getstate__(), pickle.HIGHEST_PROTOCOL),
            }
        )
    with store.engine.begin() as connection:
        connection.execute(store.jobs_t.insert(), rows)


async def ours(folder: Path, pending: int, due: int) -> tuple[float, float]:
    """Reminders a second, claimed and handed over, and the longest the loop stood still [ms]."""
    async with Store.open(folder, TALK.upgrade) as store:
        await _people(store, 1)
        fill_reminders(folder, pending, due)
        now_ms = milliseconds(NOW)
        async with store.database.write() as tx:
            await reminders.take_due(tx, 0, REMINDERS_A_TRANSACTION)
        watching = asyncio.create_task(longest_stall())
        await asyncio.sleep(0.05)
        done, began = 0, time.perf_counter()
        while True:
            async with store.database.write() as tx:
                found = await reminders.take_due(tx, now_ms, REMINDERS_A_TRANSACTION)
                for rows in found.values():
                    for _ in rows:
                        handler()
            if not found:
                break
            done += sum(map(len, found.values()))
        seconds = time.perf_counter() - began
        await asyncio.sleep(0.01)  # let the watcher see the last stall
        watching.cancel()
        stall = await watching
    if done != due:
        raise RuntimeError(f"{done} of {due} were handed over")
    return due / seconds, stall


def fill_reminders(folder: Path, pending: int, due: int) -> None:
    """One homeowner each, so many due, the others in a month."""
    soon, later = milliseconds(NOW) - 1000, milliseconds(NOW + timedelta(days=30))
    with closing(sqlite3.connect(folder / DATABASE_FILE, isolation_level=None)) as connection:
        connection.execute("BEGIN")
        connection.execute("DELETE FROM reminder")
        template = connection.execute(
            "SELECT doc, rev, channel, created_ms, heard_ms FROM homeowner LIMIT 1"
        ).fetchone()
        known = connection.execute("SELECT max(id) FROM homeowner").fetchone()[0]
        doc, rev, channel, created, heard = template
        connection.executemany(
            "INSERT INTO homeowner (id, doc, rev, channel, address, created_ms, heard_ms) VALUES (?, ?, ?, ?, ?, ?, ?)",
            [(number, doc, rev, channel, f"home-{number}", created, heard) for number in range(known + 1, pending + 1)],
        )
        connection.executemany(
            "INSERT INTO reminder (homeowner_id, lawn, task, due_on, hour, minute, zone, due_ms) "
            "VALUES (?, 1, 'cut', ?, 9, 0, 'America/New_York', ?)",
            [(n, date(2026, 3, 10).isoformat(), soon if n <= due else later) for n in range(1, pending + 1)],
        )
        connection.execute("COMMIT")


async def _people(store: Store, count: int) -> None:
    clock = SetClock(NOW)
    service = Service(store, TALK, clock, committed=lambda: None)
    await asyncio.gather(
        *(
            service.take_in(
                Envelope(channel="web", address=f"home-{n}", external_id=f"x{n}", at=NOW, incoming=Said(text="hello"))
            )
            for n in range(1, count + 1)
        )
    )
    await service.close()


async def whole_path(folder: Path, due: int) -> tuple[float, float]:
    """Homeowners a second whose due reminder went through the conversation, and inbound turns a second."""
    async with Store.open(folder, TALK.upgrade) as store:
        service = Service(store, TALK, SetClock(NOW), committed=lambda: None)
        began = time.perf_counter()
        await asyncio.gather(
            *(
                service.take_in(
                    Envelope(
                        channel="web", address=f"home-{n}", external_id=f"y{n}", at=NOW, incoming=Said(text="hello")
                    )
                )
                for n in range(due)
            )
        )
        await asyncio.gather(
            *(
                service.take_in(
                    Envelope(
                        channel="web", address=f"home-{n}", external_id=f"z{n}", at=NOW, incoming=Said(text="again")
                    )
                )
                for n in range(due)
            )
        )
        turns = 2 * due / (time.perf_counter() - began)
        fill_reminders(folder, due, due)
        began, done = time.perf_counter(), 0
        while count := await service.reminders_due(REMINDERS_A_TRANSACTION):
            done += count
        rate = done / (time.perf_counter() - began)
        await service.close()
    if done != due:
        raise RuntimeError(f"{done} of {due} were brought up")
    return rate, turns


async def claims(folders: Sequence[Path], rows: Sequence[int]) -> list[float]:
    """Milliseconds of one look and claim of 64 rows in each folder, with so many waiting and as many sent.

    The folders take turns, after everything is on disk: what one run of the disk costs another does not tell.
    """
    async with AsyncExitStack() as stack:
        stores = [await stack.enter_async_context(Store.open(folder, TALK.upgrade)) for folder in folders]
        for store, folder, count in zip(stores, folders, rows, strict=True):
            await _people(store, 1)
            fill_outbox(folder, count)
        os.sync()
        times: list[list[float]] = [[] for _ in stores]
        for fence in range(1, CLAIM_ROUNDS + 1):
            for store, taken in zip(stores, times, strict=True):
                taken.append(await _claim(store, fence))
    return [statistics.median(taken) * 1000 for taken in times]


async def _claim(store: Store, fence: int) -> float:
    began = time.perf_counter()
    async with store.database.read() as tx:
        chats = await outbox.look(tx, "telegram", milliseconds(NOW), 64)
    await store.database.write_swiftly(outbox.claiming([row.id for chat in chats for row in chat.rows], fence))
    if len(chats) != 64:
        raise RuntimeError(f"{len(chats)} chats were found")
    return time.perf_counter() - began


def fill_outbox(folder: Path, rows: int) -> None:
    """So many rows that wait, half of them due, and as many that were sent."""
    body = '{"text": "It is time to cut one notch lower."}'
    with closing(sqlite3.connect(folder / DATABASE_FILE, isolation_level=None)) as connection:
        connection.execute("BEGIN")
        connection.execute("DELETE FROM outbox")
        insert = (
            "INSERT INTO outbox (homeowner_id, channel, address, kind, urgency, made_ms, due_ms, body, state) "
            "VALUES (1, 'telegram', ?, 0, 1, 0, ?, ?, ?)"
        )
        far = milliseconds(NOW + timedelta(days=9))
        connection.executemany(insert, ((f"chat-{n}", n if n % 2 else far, body, 0) for n in range(rows)))
        connection.executemany(insert, ((f"chat-{n}", n, body, 1) for n in range(rows)))
        connection.execute("COMMIT")
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")


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
    parser.add_argument("--reminders", type=int, nargs="*", default=[10_000, 50_000])
    parser.add_argument("--rows", type=int, nargs="*", default=[10_000, 1_000_000])
    parser.add_argument("--due", type=int, default=1000)
    parser.add_argument("--repeat", type=int, default=3)
    asked = parser.parse_args()
    for pending in asked.reminders:
        _print_reminders(pending, asked.due, asked.repeat)
    _print_path(asked.due, asked.repeat)
    _print_claims(asked.rows)
    return 0


def _print_reminders(pending: int, due: int, repeat: int) -> None:
    mine, plain, tuned = [], [], []
    for _ in range(repeat):
        with tempfile.TemporaryDirectory() as folder:
            mine.append(asyncio.run(ours(Path(folder) / "data", pending, due)))
            plain.append(other_side(Path(folder), pending, due, tuned=False))
            tuned.append(other_side(Path(folder), pending, due, tuned=True))
    rate, other, faster = (statistics.median(each[0] for each in side) for side in (mine, plain, tuned))
    print(f"{pending:,} reminders pending, {due:,} due: {rate:,.0f} a second claimed and handed over")
    print(f"  APScheduler as it comes {other:,.0f} a second: ratio {rate / other:.1f}")
    print(f"  with WAL and NORMAL {faster:,.0f} a second: ratio {rate / faster:.1f}")
    stalls = [max(each[1] for each in side) for side in (mine, plain, tuned)]
    print("  longest stall of the loop: ours {:.1f} ms, theirs {:.0f} and {:.0f} ms".format(*stalls))


def _print_path(due: int, repeat: int) -> None:
    found = []
    for _ in range(repeat):
        with tempfile.TemporaryDirectory() as folder:
            found.append(asyncio.run(whole_path(Path(folder) / "data", due)))
    rate, turns = (statistics.median(each[place] for each in found) for place in (0, 1))
    print(
        f"the whole path of a due reminder {rate:,.0f} a second, inbound turns {turns:,.0f}: ratio {rate / turns:.2f}"
    )


def _print_claims(rows: list[int]) -> None:
    with tempfile.TemporaryDirectory() as folder:
        folders = [Path(folder) / str(count) for count in rows]
        taken = asyncio.run(claims(folders, rows))
    for count, took_ms in zip(rows, taken, strict=True):
        ratio = took_ms / taken[0]
        print(f"claiming 64 with {count:,} waiting and {count:,} sent: {took_ms:.2f} ms, ratio {ratio:.2f}")


if __name__ == "__main__":
    sys.exit(main())
