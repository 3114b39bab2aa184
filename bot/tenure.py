"""Holding the lease of a channel: taking it, renewing it in time, and knowing when it is over.

Whether it still holds is judged by a clock that only moves forward, from before the renewal was written: a process that
was asleep finds its tenure over before it sends another message.
"""

from __future__ import annotations

import asyncio
import logging
import secrets
import time

from bot.clock import Clock
from bot.errors import StoreError
from bot.store import leases
from bot.store.database import milliseconds
from bot.store.store import Store

log = logging.getLogger(__name__)

LEASE_SECONDS, RENEW_SECONDS = 30.0, 10.0
ASK_AGAIN_SECONDS = 2.0


class Tenure:
    """One channel's lease. `fence` is 0 until it is held."""

    def __init__(self, store: Store, channel: str, clock: Clock) -> None:
        self._store = store
        self._name = f"send:{channel}"
        self._clock = clock
        self._holder = secrets.token_hex(8)
        self._holds_until = 0.0
        self.fence = 0

    @property
    def is_held(self) -> bool:
        """Whether it surely is still ours."""
        return time.monotonic() < self._holds_until

    async def hold(self) -> None:
        """Take the lease and renew it in time, until cancelled. A database in trouble lets it run out only."""
        pause = RENEW_SECONDS if self.is_held else 0.0
        while True:
            await asyncio.sleep(pause)
            try:
                await (self._renew() if self.fence else self._take())
            except StoreError as error:
                log.warning("The lease %r could not be written. %s", self._name, error)
            pause = RENEW_SECONDS if self.is_held else ASK_AGAIN_SECONDS

    async def take_now(self) -> None:
        """Try once to take it."""
        await self._take()

    async def let_go(self) -> None:
        """Leave it to whoever comes next."""
        if not self.fence:
            return
        self._holds_until = 0.0
        try:
            async with self._store.database.write() as tx:
                await leases.renew(tx, self._name, self.fence, 0)
        except StoreError as error:
            log.warning("The lease %r could not be let go; it runs out by itself. %s", self._name, error)

    async def _take(self) -> None:
        began, now_ms = time.monotonic(), milliseconds(self._clock.now())
        async with self._store.database.write() as tx:
            until_ms = now_ms + int(LEASE_SECONDS * 1000)
            # Whoever has the data folder's lock knows that the holder before is gone, however it went.
            by_force = self._store.is_ours_alone
            fence = await leases.take(tx, self._name, self._holder, now_ms, until_ms, by_force=by_force)
        if fence is None:
            log.info("Another process sends for %r.", self._name)
            return
        self.fence, self._holds_until = fence, began + LEASE_SECONDS

    async def _renew(self) -> None:
        began, now_ms = time.monotonic(), milliseconds(self._clock.now())
        async with self._store.database.write() as tx:
            until_ms = now_ms + int(LEASE_SECONDS * 1000)
            if await leases.renew(tx, self._name, self.fence, until_ms):
                self._holds_until = began + LEASE_SECONDS
                return
        self.lose()

    def lose(self) -> None:
        """It has gone to another: what was claimed under a later fence has been seen."""
        log.error("The lease %r has gone to another process; nothing more is sent from here.", self._name)
        self.fence, self._holds_until = 0, 0.0
