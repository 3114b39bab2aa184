"""A data folder that a service may be running on, opened by a command to look and to write.

The folder's lock says who sends and who may change the tables: there is one such process. It is not needed to write a
row. SQLite lets several processes write, one after the other: every transaction of ours begins with `BEGIN IMMEDIATE`
and waits its turn, and a turn of the conversation reads what it changes inside its transaction. So a command opens the
database beside the service, under these rules:

1. The tables must be today's. Where they are not, the folder is locked and brought up to date first, which is refused
   while a service (an older one, then) runs on it.
2. A command only writes rows. It starts no courier, no ticker and no intake: what is to be sent waits in the outbox,
   where the service finds it within a second, or at its next start.
3. Its transactions are short (a few hundred rows): the service waits for the lock at most as long as it waits for
   itself. Work on all homeowners is done in batches, one transaction each.
4. Nothing that the service keeps in memory may be what a command changes. It keeps channels' accounts and what is in
   the air; both it writes itself.
"""

from __future__ import annotations

import sqlite3
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, closing
from pathlib import Path

from bot.store.database import Database
from bot.store.migrate import VERSIONS
from bot.store.store import DATABASE_FILE, SECRET_FILE, Store, photo_folder
from bot.talk.ports import Upgrade, as_stored


@asynccontextmanager
async def beside(folder: Path, upgrade: Upgrade = as_stored) -> AsyncIterator[Store]:
    """The store of a folder until the end of the block, whether a service runs on it or not.

    A folder that is new is made. Raises `StoreError` when its tables are not today's and a service holds it, or the
    database cannot be used.
    """
    folder = _whole(folder)
    if not _is_up_to_date(folder):
        async with Store.open(folder, upgrade):
            pass  # opening it was what was wanted: the lock is let go of again
    url = f"sqlite+aiosqlite:///{folder / DATABASE_FILE}"
    database = await Database.open(url, (folder / SECRET_FILE).read_bytes())
    try:
        store = Store(database, photo_folder(folder), upgrade)
        store.is_ours_alone = False
        yield store
    finally:
        await database.close()


def _whole(folder: Path) -> Path:
    return folder.absolute()


def _is_up_to_date(folder: Path) -> bool:
    file = folder / DATABASE_FILE
    if not file.is_file() or not (folder / SECRET_FILE).is_file():
        return False
    try:
        with closing(sqlite3.connect(f"{file.as_uri()}?mode=ro", uri=True)) as connection:
            rows = connection.execute("SELECT version_num FROM alembic_version").fetchall()
    except sqlite3.Error:
        return False  # opening it properly says what is wrong, and what to do
    return [row[0] for row in rows] == [VERSIONS[-1]]
