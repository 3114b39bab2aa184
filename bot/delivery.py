"""One row of the outbox as its channel takes it: words, a page of a long message, or a copy of the data."""

from __future__ import annotations

import json

from bot.channels.channel import Channel, DataChannel, MeteredChannel, PagedChannel
from bot.errors import Rejected
from bot.store import homeowners
from bot.store.database import Transaction
from bot.store.outbox import OpenRow
from bot.store.rows import load_rendered
from bot.store.schema import DATA_COPY
from bot.store.store import Store


class Sending:
    """What a channel can do with a row."""

    def __init__(self, store: Store, channel: Channel) -> None:
        self._store = store
        self._channel = channel
        # Asked once: whether an object has what a protocol names is slow to find out, and every message asks.
        self._paged = channel if isinstance(channel, PagedChannel) else None
        self._metered = channel if isinstance(channel, MeteredChannel) else None

    async def send(self, row: OpenRow) -> str | None:
        """Hand a row to the far side; its id there, if it has one."""
        if row.kind == DATA_COPY:
            await self._send_data(row)
            return None
        rendered = load_rendered(row.body)
        if row.page and self._paged is not None:
            return await self._paged.send_page(row.address, row.id, rendered, row.page)
        return await self._channel.send(row.address, row.id, rendered)

    def cost(self, row: OpenRow) -> int:
        """What sending a row takes of the pace."""
        return self.units(row) or 1

    def units(self, row: OpenRow) -> int:
        """What a row costs on a channel that is metered; 0 on others, and for a row that cannot be read."""
        if self._metered is None or row.kind == DATA_COPY:
            return 0
        return self._metered.cost(load_rendered(row.body))

    async def move(self, tx: Transaction, address: str, to_address: str) -> None:
        """An address is another one now: whoever wrote from it writes from there."""
        await homeowners.move_contact(tx, self._channel.name, address, to_address)

    async def _send_data(self, row: OpenRow) -> None:
        if not isinstance(self._channel, DataChannel) or row.homeowner_id is None:
            raise Rejected(f"The channel {self._channel.name!r} cannot carry a copy of the data.")
        copy = await self._store.export_homeowner(row.homeowner_id)
        document = json.dumps(copy, ensure_ascii=False, indent=2).encode()
        await self._channel.send_data(row.address, row.id, document)
