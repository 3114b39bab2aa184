"""One opened data folder: the lock, the database, the photo files, and what is read across the rooms of the store."""

from __future__ import annotations

import secrets
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from bot.durable import write_durably
from bot.errors import StoreError
from bot.store import (
    accounts,
    arrivals,
    handovers,
    homeowners,
    inbox,
    moves,
    outbox,
    photos,
    reaches,
    reminders,
)
from bot.store.database import Database, Transaction, milliseconds
from bot.store.files import PhotoFolder
from bot.store.lock import FolderLock
from bot.store.rows import load_homeowner
from bot.talk.case import Homeowner
from bot.talk.incoming import FROM_US, Incoming
from bot.talk.ports import Rendered, Upgrade, as_stored

DATABASE_FILE = "afterfrost.sqlite3"
SECRET_FILE = "secret.key"
SECRET_BYTES = 32
PHOTO_FOLDER = "photos"
KEEP_BLANKED = timedelta(days=7)
"""How long a message of somebody who was erased is still known as a repeat. Telegram redelivers for one day."""
KEEP_UNCLAIMED_PHOTO = timedelta(days=1)
"""How long a photo file may lie without a row: its message may still be on the way."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One thing said in a conversation.

    `turn` grows; everything of one turn is stored together, so "after turn n" never misses a part. With `incoming` it
    was the homeowner who spoke (`is_done`: it could be handled); without, it was the bot (`is_done`: it is sent), with
    `rendered` None for a copy of the data.
    """

    turn: int
    at: datetime
    is_done: bool
    incoming: Incoming | None = None
    outbox_id: int | None = None
    rendered: Rendered | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Tidied:
    """What the nightly work found: SQLite's own verdict, rows and files that went, and whether the log is empty."""

    check: str
    dropped: int
    unclaimed_photos: int
    is_log_emptied: bool


class Store:
    """An open data folder."""

    def __init__(self, database: Database, files: PhotoFolder, upgrade: Upgrade) -> None:
        self.database = database
        self.files = files
        self.upgrade = upgrade
        self.is_ours_alone = True  # the folder is locked: no other process works on this database

    @classmethod
    @asynccontextmanager
    async def open(cls, folder: Path, upgrade: Upgrade = as_stored) -> AsyncIterator[Store]:
        """Lock the folder, bring its database up to date, and give the store until the end of the block.

        Raises `StoreError` when another process uses the folder or the database cannot be used.
        """
        folder = _made(folder)
        with FolderLock(folder):
            url = f"sqlite+aiosqlite:///{folder / DATABASE_FILE}"
            database = await Database.open(url, _secret_of(folder / SECRET_FILE))
            try:
                yield cls(database, photo_folder(folder), upgrade)
            finally:
                await database.close()

    async def find_homeowner(self, channel: str, address: str) -> int | None:
        """The id of who writes from an address, or None when nobody has."""
        async with self.database.read() as tx:
            return await homeowners.find(tx, channel, address)

    async def homeowner(self, homeowner_id: int) -> Homeowner | None:
        """A homeowner as they stand, or None when there is none or nothing could be made of what they wrote."""
        async with self.database.read() as tx:
            stored = (await homeowners.by_id(tx, [homeowner_id])).get(homeowner_id)
        if stored is None or stored.doc is None:
            return None
        return load_homeowner(stored.doc, self.upgrade)

    async def entries(self, homeowner_id: int, after: int = 0) -> list[Entry]:
        """A conversation in order, from the turn after `after`: what they said, each with what they were told."""
        async with self.database.read() as tx:
            said = await inbox.of_homeowner(tx, homeowner_id, after)
            told = await outbox.of_homeowner(tx, homeowner_id, after)
        entries = [
            Entry(turn=came.id, at=came.at, is_done=came.is_handled, incoming=came.incoming)
            for came in said
            if not isinstance(came.incoming, FROM_US)
        ]
        entries += [
            Entry(turn=row.inbox_id, at=row.at, is_done=row.is_sent, outbox_id=row.id, rendered=row.rendered)
            for row in told
        ]
        return sorted(entries, key=lambda entry: (entry.turn, entry.outbox_id or 0))

    async def export_homeowner(self, homeowner_id: int) -> dict[str, object]:
        """A copy of everything stored about a homeowner, as plain data. Empty when there is nobody of that id."""
        from bot.store.export import export  # and below: a talk starts without the operators' tables

        async with self.database.read() as tx:
            return await export(tx, homeowner_id)

    async def tidy(self, now: datetime) -> Tidied:
        """The nightly work: look for damage, drop what was kept only for a while, empty the log."""
        damage = await self.database.quick_check()
        async with self.database.write() as tx:
            dropped = await inbox.drop_blanked(tx, milliseconds(now - KEEP_BLANKED))
            dropped += await arrivals.drop_old(tx, milliseconds(now - KEEP_BLANKED))
            await accounts.drop_old(tx, milliseconds(now))
            await moves.drop_old(tx, milliseconds(now))
        unclaimed = await self._remove_unclaimed(now)
        is_emptied = await self.database.empty_log()
        return Tidied(check=damage, dropped=dropped, unclaimed_photos=unclaimed, is_log_emptied=is_emptied)

    async def _remove_unclaimed(self, now: datetime) -> int:
        old = self.files.older_than(now - KEEP_UNCLAIMED_PHOTO)
        async with self.database.read() as tx:
            unclaimed = old - await photos.known(tx, old)
        self.files.remove(unclaimed)
        return len(unclaimed)


def photo_folder(folder: Path) -> PhotoFolder:
    """The photo files of a data folder."""
    return PhotoFolder(folder.absolute() / PHOTO_FOLDER)


def _made(folder: Path) -> Path:
    folder = folder.absolute()
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        raise StoreError(
            f"The data folder {folder} cannot be made ({error.strerror}). Name another in AFTERFROST_DATA."
        ) from error
    return folder


def _secret_of(file: Path) -> bytes:
    """The folder's own secret, made at its first start. Whoever loses the file loses only old digests."""
    if not file.exists():
        write_durably(file, secrets.token_bytes(SECRET_BYTES))
        file.chmod(0o600)
    return file.read_bytes()


async def erase(tx: Transaction, homeowner_ids: list[int]) -> set[str]:
    """Remove everything about these homeowners; the photos whose files can go once this is on disk."""
    from bot.store import case_notes, glances

    contacts = await homeowners.contacts_of_all(tx, homeowner_ids)
    for channel, address in contacts:
        await arrivals.erase_of(tx, channel, address)
    await reaches.erase(tx, contacts, await homeowners.latest_heard_ms(tx, homeowner_ids))
    await inbox.blank_of(tx, homeowner_ids)
    await outbox.erase_of(tx, homeowner_ids)
    await reminders.erase_of(tx, homeowner_ids)
    await handovers.erase_of(tx, homeowner_ids)
    await case_notes.erase_of(tx, homeowner_ids)
    await glances.erase_of(tx, homeowner_ids)
    orphans = await photos.erase_of(tx, homeowner_ids)
    await moves.erase_of(tx, homeowner_ids)
    await homeowners.erase(tx, homeowner_ids)
    return orphans
