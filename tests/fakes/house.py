"""A store and a service on a folder of a test's own, with a clock that the test sets."""

from __future__ import annotations

import asyncio
import functools
import itertools
import sqlite3
from collections.abc import AsyncIterator, Callable, Iterator
from contextlib import asynccontextmanager, closing, contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from sqlalchemy import event

from bot.clock import SetClock
from bot.envelope import Envelope
from bot.service import Service
from bot.store.migrate import bring_up_to_date
from bot.store.store import DATABASE_FILE, Entry, Store
from bot.talk.incoming import Incoming, Said
from bot.talk.ports import Talk
from tests.fakes.small_talk import TALK

_NUMBERS = itertools.count(1)
START = datetime(2026, 2, 10, 15, 0, tzinfo=UTC)


class House:
    """The parts a test needs at hand. `woken` counts how often the service said that something was committed."""

    def __init__(self, folder: Path, store: Store, clock: SetClock, talk: Talk) -> None:
        self.folder = folder
        self.store = store
        self.clock = clock
        self.woken = 0
        self.commits = 0
        self.on_commit: list[Callable[[], None]] = []
        self.service = Service(store, talk, clock, committed=self._committed)
        event.listen(store.database.writer.sync_engine, "commit", self._count)

    def envelope(self, address: str, came_in: str | Incoming, external_id: str | None = None) -> Envelope:
        """A message of the web channel, by words or as it came in."""
        incoming = Said(text=came_in) if isinstance(came_in, str) else came_in
        number = external_id or f"{address}/{next(_NUMBERS)}"
        return Envelope(channel="web", address=address, external_id=number, at=self.clock.now(), incoming=incoming)

    async def hear(self, address: str, came_in: str | Incoming, external_id: str | None = None) -> None:
        """Take one message in, and wait until it is on disk."""
        await self.service.take_in(self.envelope(address, came_in, external_id))

    async def conversation(self, address: str) -> list[Entry]:
        """Everything said from and to an address."""
        homeowner_id = await self.store.find_homeowner("web", address)
        return [] if homeowner_id is None else await self.store.entries(homeowner_id)

    async def told(self, address: str) -> list[str]:
        """Everything said to an address, sent or not."""
        return [entry.rendered.text for entry in await self.conversation(address) if entry.rendered]

    def rows(self, statement: str, *values: Any) -> list[tuple[Any, ...]]:
        """What the database file holds, read past all of our own code."""
        with closing(sqlite3.connect(self.folder / DATABASE_FILE)) as connection:
            return connection.execute(statement, values).fetchall()

    def value(self, statement: str, *values: Any) -> Any:
        """The one value of a statement."""
        ((value,),) = self.rows(statement, *values)
        return value

    @asynccontextmanager
    async def locked(self) -> AsyncIterator[None]:
        """Another program holds the database's write lock, once a transaction that is under way is over."""
        file = self.folder / DATABASE_FILE
        with closing(sqlite3.connect(file, isolation_level=None, check_same_thread=False)) as connection:
            await asyncio.to_thread(connection.execute, "BEGIN IMMEDIATE")
            yield
            connection.execute("ROLLBACK")

    async def change(self, statement: str, *values: Any) -> None:
        """Somebody changes the database file by hand, once a transaction that is under way is over."""
        await asyncio.to_thread(self._change, statement, values)

    def _change(self, statement: str, values: tuple[Any, ...]) -> None:
        with closing(sqlite3.connect(self.folder / DATABASE_FILE, isolation_level=None)) as connection:
            connection.execute(statement, values)

    @contextmanager
    def statements(self, into: list[str]) -> Iterator[None]:
        """Note every statement the writing connection is given."""
        engine = self.store.database.writer.sync_engine

        def note(_connection: object, _cursor: object, statement: str, *_: object) -> None:
            into.append(statement)

        event.listen(engine, "before_cursor_execute", note)
        yield
        event.remove(engine, "before_cursor_execute", note)

    def pass_time(self, **how_long: float) -> None:
        """Move the clock."""
        self.clock.set(self.clock.now() + timedelta(**how_long))

    async def bring_up_all(self) -> int:
        """Bring up what is due until there is none; how many homeowners."""
        total = 0
        while count := await self.service.reminders_due():
            total += count
        return total

    def _committed(self) -> None:
        self.woken += 1
        for wake in self.on_commit:
            wake()

    def _count(self, _connection: object) -> None:
        self.commits += 1


@functools.cache
def _made() -> bytes:
    """A database with today's tables and nothing in it: made once for all tests of a run, then copied."""
    with TemporaryDirectory() as folder:
        file = Path(folder) / DATABASE_FILE
        bring_up_to_date(f"sqlite:///{file}")
        return file.read_bytes()


def furnish(folder: Path) -> None:
    """Give a folder its tables, if it has none, as a first start would."""
    folder.mkdir(parents=True, exist_ok=True)
    if not (folder / DATABASE_FILE).exists():
        (folder / DATABASE_FILE).write_bytes(_made())


@asynccontextmanager
async def open_house(folder: Path, *, talk: Talk = TALK, at: datetime = START) -> AsyncIterator[House]:
    """A house on a folder, closed at the end of the block. Opening the same folder again finds what was left."""
    furnish(folder)
    async with Store.open(folder, talk.upgrade) as store:
        house = House(folder, store, SetClock(at), talk)
        try:
            yield house
        finally:
            await house.service.close()
