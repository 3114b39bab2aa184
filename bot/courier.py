"""Carries the outbox to the channels.

1. What is sent was committed before. What the far side has is marked by itself, as soon as its own answer is back;
   acknowledgements that wait at that moment share a commit. A crash repeats at most the sends that were in the air, and
   the few whose answer was just being written down.
2. In one chat one message follows the other, in order. A message that could not be sent holds up its own chat until it
   is sent or given up on, and no other.
3. Between chats a reply goes before what nobody asked for, also when a long row of that is under way.
4. In one channel at most `in_flight` sends are in the air, and no more than its limits allow. While a pause runs that
   the far side asked for, nothing goes out.
5. A row is claimed under the channel's lease before it is sent: who lost the lease sends and marks nothing any more.
6. What the courier holds in memory is a list of what to send next, and it is thrown away whenever something new was
   committed. So a reply overtakes a running broadcast, and what was erased a moment ago is not sent.
7. What nobody asked for goes out in its owner's hours only (one that was held up past them waits for the next morning),
   and only to addresses that can be reached and, where the channel asks for that, have agreed.
8. Nothing is given up in silence: a parked row is an error in the log and stays in the outbox for a person to see.
   Nothing is tried for ever.
9. A send without an answer may have arrived. Our own reminders are sent once more after a minute; a reply is not, and
   neither is an advisory, which reaches nobody twice: its report tells of whom nothing is known.
"""

from __future__ import annotations

import asyncio
import logging
import random
from collections.abc import Mapping, Sequence

from bot.channels.channel import Channel
from bot.clock import Clock
from bot.errors import StoreError
from bot.gather import Gatherer
from bot.lane import Lane, Mark
from bot.lookout import Claim
from bot.store import accounts, outbox, reaches
from bot.store.store import Store
from bot.terms import Terms

log = logging.getLogger(__name__)


class Courier:
    """Sends what is due, on every channel that is running."""

    def __init__(
        self,
        store: Store,
        channels: Sequence[Channel],
        clock: Clock,
        *,
        terms: Mapping[str, Terms] | None = None,
        chance: random.Random | None = None,
    ) -> None:
        terms = terms or {}
        chance = chance or random.Random()
        self._store = store
        self._marks: Gatherer[Claim | Mark] = Gatherer(self._note, at_most=256)
        self._lanes = [
            Lane(store, channel, clock, self._marks, terms.get(channel.name, Terms()), chance) for channel in channels
        ]
        self._running: asyncio.Task[None] | None = None

    def start(self) -> None:
        """Begin to send."""
        self._running = asyncio.create_task(self._run(), name="courier")

    def wake(self) -> None:
        """Look at the queue now: something was committed, or time has passed."""
        for lane in self._lanes:
            lane.wake()

    async def drain(self, seconds: float) -> None:
        """Begin no more sends, let those in the air come back for at most so many seconds, and stop."""
        for lane in self._lanes:
            lane.stop()
        if self._running is not None:
            _, late = await asyncio.wait([self._running], timeout=seconds)
            if late:
                log.warning("Stopped with sends in the air; they will be made again.")
                self._running.cancel()
                await asyncio.wait([self._running])
        await self._marks.close()

    async def flush_counts(self) -> None:
        """Write what was counted since the last time (sent, failed, retried, waits) beside what was counted before."""
        found = {lane.name: counts for lane in self._lanes if (counts := lane.take_counts())}
        if not found:
            return
        async with self._store.database.write() as tx:
            for channel, counts in found.items():
                await accounts.count(tx, channel, counts)

    async def _note(self, batch: Sequence[Claim | Mark]) -> Sequence[None]:
        """Write claims and acknowledgements together; whoever gave one in waits until it is on disk."""
        claims = [each for each in batch if isinstance(each, Claim)]
        marks = [each for each in batch if isinstance(each, Mark)]
        swift = [each for claim in claims for each in outbox.claiming(claim.row_ids, claim.fence)]
        swift += outbox.acknowledging([mark.row for mark in marks])
        back = _by_channel([mark for mark in marks if mark.is_back])
        metered = _by_channel([mark for mark in marks if mark.units])
        if not back and not metered:
            await self._store.database.write_swiftly(swift)
            return [None] * len(batch)
        async with self._store.database.write() as tx:
            for statement, values in swift:
                await tx.execute(statement, values)
            for channel, found in back.items():
                await reaches.reopen(tx, channel, {mark.address for mark in found})
            for channel, found in metered.items():
                await accounts.spend(tx, channel, found[-1].row.sent_ms, sum(mark.units for mark in found))
        return [None] * len(batch)

    async def _run(self) -> None:
        await self._warn_of_unserved()
        try:
            async with asyncio.TaskGroup() as group:
                for lane in self._lanes:
                    group.create_task(lane.run())
        finally:
            await self._flush_quietly()

    async def _flush_quietly(self) -> None:
        try:
            await self.flush_counts()
        except StoreError as error:
            log.warning("The last counts could not be written. %s", error)

    async def _warn_of_unserved(self) -> None:
        served = {lane.name for lane in self._lanes}
        try:
            async with self._store.database.read() as tx:
                waiting = await outbox.waiting(tx)
        except StoreError as error:
            log.warning("The queue could not be counted. %s", error)
            return
        for channel, count in waiting.items():
            if channel not in served:
                log.warning("%d messages wait for the channel %r, which is not running.", count, channel)


def _by_channel(marks: Sequence[Mark]) -> dict[str, list[Mark]]:
    sorted_out: dict[str, list[Mark]] = {}
    for mark in marks:
        sorted_out.setdefault(mark.channel, []).append(mark)
    return sorted_out
