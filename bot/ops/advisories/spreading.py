"""Sending advisories: what was approved begins, is handed over little by little, is counted, and ends.

1. `run` is called every second and does a bounded piece of work. Everything it goes by stands in the database, so a
   kill at any moment costs nothing but the second.
2. What is pressing goes first. No advisory waits for another to end.
3. Something begins when its approval can no longer be taken back, its day has come, and what it follows is over and
   counted. What puts another one right begins at once (that one was stopped by its approval), for those who got the
   wrong words already; those in whose case that shows only later are added when it does (`listing.py`).
"""

from __future__ import annotations

import asyncio
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from bot.clock import Clock
from bot.ops.advisories.advisory import Advisory, State, loaded
from bot.ops.advisories.approving import UNDO
from bot.ops.advisories.filling import Filler
from bot.ops.advisories.handing import Handing
from bot.ops.advisories.listing import Listing
from bot.ops.advisories.recipients import Recipients
from bot.ops.advisories.settling import Settling
from bot.service import Service
from bot.store import advisories, sends
from bot.store.store import Store
from bot.talk.ports import Talk
from bot.terms import Terms

RUN_SECONDS = 0.7
"""How long one run may go on: a little less than until the next."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Means:
    """What sending needs beside store, service and clock.

    terms : of every channel that runs here
    undo : how long an approval can be taken back before anything leaves
    """

    talk: Talk
    terms: Mapping[str, Terms]
    filler: Filler
    recipients: Recipients
    undo: timedelta = UNDO


class Spreader:
    """Moves everything on that is approved."""

    def __init__(self, store: Store, service: Service, clock: Clock, means: Means) -> None:
        self._database = store.database
        self._clock = clock
        self._undo = means.undo
        self._listing = Listing(store.database, means.recipients)
        self._handing = Handing(store, service, means.talk, clock, means.terms, means.filler)
        self._settling = Settling(store.database)

    async def run(self) -> int:
        """Do a piece of work; how many people were moved on. Raises `StoreError` when the database cannot be used."""
        began, moved = asyncio.get_running_loop().time(), 0
        for advisory in await self._in_hand():
            await self._begin_or_settle(advisory)
        while True:
            count = await self._go_on()
            moved += count
            if count == 0 or asyncio.get_running_loop().time() - began > RUN_SECONDS:
                return moved

    async def _in_hand(self) -> list[Advisory]:
        """Everything that is not over, the pressing first."""
        async with self._database.read() as tx:
            rows = await advisories.in_states(tx, (State.APPROVED, State.GOING_OUT, State.PAUSED))
            rows += await advisories.uncounted(tx, State.DROPPED)
        found = [loaded(row) for row in rows]
        self._listing.forget_others({each.id for each in found if each.state is not State.DROPPED})
        return sorted(found, key=lambda each: (not each.content.is_pressing, each.id))

    async def _begin_or_settle(self, advisory: Advisory) -> None:
        now = self._clock.now()
        if advisory.state is State.APPROVED:
            await self._begin(advisory, now)
            return
        await self._settling.settle(advisory, now)
        if advisory.selected is not None or advisory.state is State.DROPPED:
            await self._settling.finish(advisory, now)

    async def _begin(self, advisory: Advisory, now: datetime) -> None:
        """Choose people while the approval can be taken back; begin when it no longer can."""
        approved_at = advisory.approved_at or now
        due_at = advisory.content.due_at or approved_at
        if now < due_at or not await self._is_free(advisory):
            return
        await self._listing.choose(advisory)
        if self._clock.now() < approved_at + self._undo:
            return
        async with self._database.write() as tx:
            row = await advisories.get(tx, advisory.id)
            if row is not None and loaded(row) == advisory:  # neither taken back nor approved anew
                await advisories.move(tx, advisory.id, [State.APPROVED], {"state": State.GOING_OUT})

    async def _is_free(self, advisory: Advisory) -> bool:
        """Whether what it follows or corrects is over, and counted unless this one overtook it."""
        async with self._database.read() as tx:
            for first_id in filter(None, (advisory.content.after_id, advisory.content.corrects)):
                first = await advisories.get(tx, first_id)
                if first is None or first.state not in (State.FINISHED, State.DROPPED):
                    return False
                is_overtaken = first.overtaken_by == advisory.id or first_id == advisory.content.corrects
                if not is_overtaken and await sends.is_any_open(tx, first_id):
                    return False
        return True

    async def _go_on(self) -> int:
        """List and hand over some more of everything that goes out; how many people were moved on."""
        async with self._database.read() as tx:
            rows = await advisories.in_states(tx, (State.GOING_OUT, State.PAUSED))
        found = sorted(map(loaded, rows), key=lambda each: (not each.content.is_pressing, each.id))
        moved = 0
        for advisory in found:
            if advisory.selected is None:
                moved += await self._listing.some(advisory)
            if advisory.state is State.GOING_OUT and self._clock.now() < advisory.useful_until(self._clock.now()):
                moved += await self._handing.some(advisory)
        return moved
