"""The book of local rules at a start: read before the first message is answered, and only where there are any."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bot.store.any_local import is_any_said
from bot.store.store import Store

if TYPE_CHECKING:
    from bot.ops.local.book import LocalBook
    from bot.ops.regions.by_place import NearestZip


async def early_book(store: Store, nearest_zip: NearestZip) -> LocalBook | None:
    """What operators said of regions, looked up once; None where nobody ever said anything."""
    async with store.database.read() as tx:
        if not await is_any_said(tx):
            return None
    from bot.ops.local.book import LocalBook

    book = LocalBook(nearest_zip)
    await book.refresh(store.database)
    return book
