"""Carries the outbox to the channels.

1. What is sent was committed before. What the far side has is marked by itself, as soon as its own answer is back;
   acknowledgements that wait at that moment share a commit. A crash repeats at most the sends that were in the air.
2. In one chat one message follows the other, in order. A message that could not be sent holds up its own chat until it
   is sent or given up on, and no other.
3. Between chats a reply goes before a reminder.
4. In one channel at most `in_flight` sends are in the air.
5. What the courier holds in memory is a list of what to send next, and it is thrown away whenever something new was
   committed. So a reply overtakes a running broadcast, and what was erased a moment ago is not sent.
6. What nobody asked for goes out in its owner's hours only: one that was held up past them waits for the next morning.
7. Nothing is given up in silence: a parked row is an error in the log and stays in the outbox for a person to see.
"""

from __future__ import annotations

import asyncio
import json
import logging
import random
from collections import deque
from collections.abc import Mapping, Sequence
from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

from bot.channels.channel import Channel, DataChannel
from bot.clock import Clock
from bot.errors import Rejected, StoreError, TryAgain, Unreachable
from bot.gather import Gatherer
from bot.logs import trace_of
from bot.store import outbox
from bot.store.database import milliseconds
from bot.store.outbox import LONGEST_HOLD, Acknowledged, Chat, OpenRow
from bot.store.rows import load_rendered
from bot.store.schema import DATA_COPY
from bot.store.store import Store

log = logging.getLogger(__name__)

PAUSES_SECONDS = (1, 5, 30, 120, 600, 1800, 7200)
"""After the first, second ... try that failed; a try after the last of them is the last. Under four hours in all."""
SEND_LIMIT_SECONDS = 60.0
"""How long one send may take before it counts as failed; channels are expected to give up earlier themselves."""
PAGE = 64
"""How many rows one look at the queue asks for."""


def _opens_at(hours: str, now: datetime) -> datetime | None:
    """When the hours of a row begin next; None while they are open."""
    zone, first, last = hours.split(" ")
    local = now.astimezone(ZoneInfo(zone))
    if int(first) <= local.hour < int(last):
        return None
    day = local.date() if local.hour < int(first) else local.date() + timedelta(days=1)
    return datetime.combine(day, time(int(first)), tzinfo=ZoneInfo(zone)).astimezone(UTC)


class Courier:
    """Sends what is due, on every channel that is running."""

    def __init__(
        self,
        store: Store,
        channels: Sequence[Channel],
        clock: Clock,
        *,
        in_flight: Mapping[str, int] | None = None,
        chance: random.Random | None = None,
    ) -> None:
        limits = in_flight or {}
        chance = chance or random.Random()
        self._store = store
        self._marks: Gatherer[Acknowledged] = Gatherer(self._mark_sent, at_most=256)
        self._lanes = [
            _Lane(store, channel, clock, self._marks, limits.get(channel.name, 1), chance) for channel in channels
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

    async def _mark_sent(self, rows: Sequence[Acknowledged]) -> Sequence[None]:
        async with self._store.database.write() as tx:
            await outbox.acknowledge(tx, rows)
        return [None] * len(rows)

    async def _run(self) -> None:
        await self._warn_of_unserved()
        async with asyncio.TaskGroup() as group:
            for lane in self._lanes:
                for _ in range(lane.in_flight):
                    group.create_task(lane.run())

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


class _Lane:
    """One channel: as many senders as may be in the air, one list of what comes next."""

    def __init__(
        self,
        store: Store,
        channel: Channel,
        clock: Clock,
        marks: Gatherer[Acknowledged],
        in_flight: int,
        chance: random.Random,
    ) -> None:
        self.name = channel.name
        self.in_flight = in_flight
        self._store = store
        self._channel = channel
        self._clock = clock
        self._marks = marks
        self._chance = chance
        self._news = asyncio.Event()
        self._looking = asyncio.Lock()
        self._next: deque[Chat] = deque()
        self._busy: set[str] = set()
        self._passed_over: set[str] = set()
        self._served_since_look: set[str] = set()
        self._unmarked: dict[int, Acknowledged] = {}
        self._is_stopping = False

    def wake(self) -> None:
        """Throw the list away and look again."""
        self._news.set()

    def stop(self) -> None:
        """Begin no more sends."""
        self._is_stopping = True
        self._news.set()

    async def run(self) -> None:
        """Send until stopped. One of `in_flight` that do so."""
        while True:
            try:
                chat = await self._pick()
                if chat is None:
                    return
                await self._serve(chat)
            except Exception as error:  # noqa: BLE001 - the edge: the courier must not die of one bad row or moment
                log.error("The courier for %r stumbled.\n%s", self.name, trace_of(error))
                await asyncio.sleep(1)

    async def _pick(self) -> Chat | None:
        """The next chat nobody is serving; waits for one. None when stopping."""
        async with self._looking:
            while not self._is_stopping:
                if self._news.is_set() or not self._next:
                    self._news.clear()
                    self._next = deque(await self._look())
                chat = self._first_free()
                if chat is not None:
                    return chat
                await self._news.wait()
            return None

    def _first_free(self) -> Chat | None:
        while self._next:
            chat = self._next.popleft()
            if chat.address in self._busy:
                self._passed_over.add(chat.address)
            elif chat.address in self._served_since_look:
                self._news.set()  # its rows on the list were seen before they were sent: look again
            else:
                self._busy.add(chat.address)
                return chat
        return None

    async def _look(self) -> list[Chat]:
        self._served_since_look.clear()
        async with self._store.database.read() as tx:
            now_ms = milliseconds(self._clock.now())
            return await outbox.look(tx, self.name, now_ms, PAGE + len(self._busy))

    async def _serve(self, chat: Chat) -> None:
        """Send what waits in one chat, until it is held up or there is news."""
        held_until: datetime | None = None
        try:
            for row in chat.rows:
                if row.hours is not None:
                    held_until = held_until or self._opens_at(row.hours, chat.seen_at)
                if row.hours is not None and held_until is not None:
                    await self._hold(row, held_until)
                elif not await self._deliver(row):
                    return
                if self._news.is_set():
                    return
        finally:
            self._busy.discard(chat.address)
            self._served_since_look.add(chat.address)
            if chat.address in self._passed_over:
                self._passed_over.discard(chat.address)
                self._news.set()

    async def _deliver(self, row: OpenRow) -> bool:
        """Try one row. Whether the chat may go on behind it."""
        if row.id not in self._unmarked:
            try:
                async with asyncio.timeout(SEND_LIMIT_SECONDS):
                    await self._send(row)
            except Unreachable:
                return await self._park_chat(row)
            except Rejected as error:
                log.error("Message %d was rejected and is parked.\n%s", row.id, trace_of(error))
                return await self._park(row)
            except TryAgain as error:
                return await self._postpone(row, error.after_seconds)
            except Exception as error:  # noqa: BLE001 - the edge: a channel's own fault must not stop the others
                log.error("Message %d could not be sent.\n%s", row.id, trace_of(error))
                return await self._postpone(row, 0)
            sent_ms = milliseconds(self._clock.now())
            is_last_word = row.homeowner_id is None
            self._unmarked[row.id] = Acknowledged(id=row.id, sent_ms=sent_ms, is_last_word=is_last_word)
        return await self._mark(row.id)

    def _opens_at(self, hours: str, seen_at: datetime) -> datetime | None:
        """When hours open; None while they are. They must be open now and have been when the list was made: a list from
        before they opened misses what was held for them.
        """
        return _opens_at(hours, seen_at) or _opens_at(hours, self._clock.now())

    async def _send(self, row: OpenRow) -> None:
        if row.kind != DATA_COPY:
            await self._channel.send(row.address, row.id, load_rendered(row.body))
        elif isinstance(self._channel, DataChannel) and row.homeowner_id is not None:
            copy = await self._store.export_homeowner(row.homeowner_id)
            document = json.dumps(copy, ensure_ascii=False, indent=2).encode()
            await self._channel.send_data(row.address, row.id, document)
        else:
            raise Rejected(f"The channel {self.name!r} cannot carry a copy of the data.")

    async def _mark(self, row_id: int) -> bool:
        """Note that the far side has a row. While that fails the row is not sent again, only noted again."""
        try:
            await self._marks.submit(self._unmarked[row_id])
        except StoreError as error:
            log.error("Message %d was sent but could not be marked. %s", row_id, error)
            await asyncio.sleep(1)
            return False
        del self._unmarked[row_id]
        return True

    async def _postpone(self, row: OpenRow, after_seconds: float) -> bool:
        if row.attempts >= len(PAUSES_SECONDS):
            log.error("Message %d could not be sent in %d tries and is parked.", row.id, row.attempts + 1)
            return await self._park(row)
        pause = max(after_seconds, PAUSES_SECONDS[row.attempts]) * self._chance.uniform(1.0, 1.2)
        next_try = self._clock.now() + min(timedelta(seconds=pause), LONGEST_HOLD)
        async with self._store.database.write() as tx:
            await outbox.postpone(tx, row.id, milliseconds(next_try))
        return False

    async def _hold(self, row: OpenRow, until: datetime) -> None:
        async with self._store.database.write() as tx:
            await outbox.hold(tx, row.id, milliseconds(until))

    async def _park(self, row: OpenRow) -> bool:
        async with self._store.database.write() as tx:
            await outbox.park(tx, row.id)
        return True

    async def _park_chat(self, row: OpenRow) -> bool:
        async with self._store.database.write() as tx:
            count = await outbox.park_chat(tx, self.name, row.address)
        log.error("Homeowner %s cannot be reached on %r; %d messages are parked.", row.homeowner_id, self.name, count)
        return False
