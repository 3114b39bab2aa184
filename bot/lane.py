"""One channel of the courier: as many senders as may be in the air, one list of what comes next.

Who sends waits for a place in the air and for the pace first and chooses then, so that what is most urgent at that
moment goes out. The place is free again when the far side has answered: a few more senders than places are there, so
that the next send begins while the answer to this one is written down.
"""

from __future__ import annotations

import asyncio
import logging
import random
import time
from collections import deque
from contextlib import suppress
from dataclasses import dataclass
from datetime import timedelta
from functools import partial

from bot.channels.channel import Channel
from bot.clock import Clock
from bot.delivery import Sending
from bot.errors import (
    ChannelClosed,
    Moved,
    Rejected,
    SlowDown,
    StoreError,
    TryAgain,
    Uncertain,
    Unreachable,
)
from bot.gather import Gatherer
from bot.hours import opens_at
from bot.logs import trace_of
from bot.lookout import Claim, Found, Ledger, Lookout, Post
from bot.pace import Day, Pace
from bot.store import accounts, outbox, reaches
from bot.store.database import milliseconds
from bot.store.outbox import LONGEST_HOLD, Acknowledged, Chat, OpenRow
from bot.store.store import Store
from bot.tenure import Tenure
from bot.terms import Terms

log = logging.getLogger(__name__)

PAUSES_SECONDS = (1, 5, 30, 120, 600, 1800, 7200)
"""After the first, second ... try that failed; a try after the last of them is the last. Under four hours in all."""
SEND_LIMIT_SECONDS = 60.0
"""How long one send may take before it counts as unanswered; channels are expected to give up earlier themselves."""
UNSURE_PAUSE_SECONDS = 60.0
CLOSED_PAUSE_SECONDS = 600.0
OLDEST_TRY = timedelta(days=3)
"""A row that the far side has put off for longer than this is given up on."""
NEARLY_EMPTY = 16
"""With so few left on the list the next one is made meanwhile, so that no sender waits for it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """A row the far side has: where it went, what it cost, and whether its address counted as unreachable."""

    channel: str
    address: str
    row: Acknowledged
    units: int = 0
    is_back: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class _Pick:
    """A chat somebody is about to serve, the rows to send now, and whether more of it waits."""

    chat: Chat
    rows: tuple[OpenRow, ...]
    has_more: bool


class _Place:
    """A sender's place in the air: taken or not, and never twice."""

    def __init__(self, air: asyncio.Semaphore) -> None:
        self._air = air
        self._is_taken = False

    async def take(self) -> None:
        """Wait for a place."""
        if not self._is_taken:
            await self._air.acquire()
            self._is_taken = True

    def free(self) -> None:
        """Give it to somebody else."""
        if self._is_taken:
            self._is_taken = False
            self._air.release()


class Lane:
    """One channel."""

    def __init__(
        self,
        store: Store,
        channel: Channel,
        clock: Clock,
        marks: Gatherer[Claim | Mark],
        terms: Terms,
        chance: random.Random,
    ) -> None:
        self.name = channel.name
        self._store = store
        self._sending = Sending(store, channel)
        self._clock = clock
        self._marks = marks
        self._terms = terms
        self._chance = chance
        self._pace = Pace(terms.limits, time.monotonic)
        self._ledger = Ledger()
        self._tenure = Tenure(store, channel.name, clock)
        post = Post(store=store, channel=channel.name, clock=clock, terms=terms)
        self._lookout = Lookout(post, self._tenure, self._ledger, marks.submit)
        self._news = asyncio.Event()
        self._stop = asyncio.Event()
        self._looking = asyncio.Lock()
        self._air = asyncio.Semaphore(terms.in_flight)
        self._next: deque[Chat] = deque()
        self._has_more = False
        self._ahead: asyncio.Task[Found] | None = None
        self._busy: dict[str, frozenset[int]] = {}  # chats that are served, with the rows they are served
        self._passed_over: set[str] = set()
        self._served: set[str] = set()  # since the list was made
        self._served_since_ahead: set[str] = set()
        self._unmarked: dict[int, Mark] = {}

    # --- from outside ------------------------------------------------------------------------------------------------

    def wake(self) -> None:
        """Throw the list away and look again."""
        self._news.set()

    def stop(self) -> None:
        """Begin no more sends."""
        self._stop.set()
        self._news.set()

    def take_counts(self) -> dict[str, int]:
        """What was counted since the last time."""
        return self._ledger.take_counts()

    async def run(self) -> None:
        """Send until stopped."""
        await self._begin()
        holding = asyncio.create_task(self._tenure.hold(), name=f"lease {self.name}")
        try:
            async with asyncio.TaskGroup() as group:
                for _ in range(self._terms.unmarked_at_most):
                    group.create_task(self._work())
        finally:
            holding.cancel()
            with suppress(asyncio.CancelledError):
                await holding
            await self._end_ahead()
            await self._tenure.let_go()

    async def _begin(self) -> None:
        try:
            # Not broken off: a half-made transaction would keep the database locked until its connection is collected.
            await asyncio.shield(asyncio.ensure_future(self._tenure.take_now()))
            async with self._store.database.read() as tx:
                self._ledger.day = Day(await accounts.spent_by_hour(tx, self.name, self._now_ms()))
        except StoreError as error:
            log.warning("The courier for %r starts without its accounts. %s", self.name, error)

    async def _work(self) -> None:
        while not self._stop.is_set():
            place = _Place(self._air)
            try:
                pick = await self._pick(place)
                if pick is not None:
                    await self._serve(pick, place)
            except Exception as error:  # noqa: BLE001 - the edge: the courier must not die of one bad row or moment
                log.error("The courier for %r stumbled.\n%s", self.name, trace_of(error))
                await self._sleep(1)
            finally:
                place.free()

    # --- choosing ----------------------------------------------------------------------------------------------------

    async def _pick(self, place: _Place) -> _Pick | None:
        """The next chat nobody is serving, once there is a place in the air and the pace allows a send; waits for one.

        None when stopping. Only who chooses waits with a place: whoever goes on in a chat must not wait for news.
        """
        async with self._looking:
            await place.take()
            while not self._stop.is_set():
                if not self._tenure.is_held:
                    await self._sleep(0.2)
                elif self._news.is_set() or not self._next:
                    await self._list_anew()
                elif (wait := self._pace.wait_seconds()) > 0:
                    self._ledger.counts["limit_waits"] += 1
                    await self._until_news(wait)  # looked at while there is time, so that a reply loses no slot
                elif (chat := self._first_free()) is not None:
                    return self._picked(chat)
                else:
                    await self._news.wait()  # everything on the list is being served
            return None

    async def _list_anew(self) -> None:
        """Take the list that was begun ahead, or look at the queue; where nothing is to be sent, wait for news."""
        found = await self._list_ahead()
        if found is not None:
            self._served, self._served_since_ahead = self._served_since_ahead, set()
        else:
            self._news.clear()
            self._served.clear()
            found = await self._lookout.look(len(self._busy))
        if found.is_overtaken:
            self._news.set()
        self._next, self._has_more = deque(found.chats), found.has_more
        if not self._next and not self._stop.is_set():  # what stop() said may have been cleared just above
            await self._news.wait()

    async def _list_ahead(self) -> Found | None:
        """The list that was begun before this one was used up. None where there is none, and where there was news."""
        if self._ahead is None:
            return None
        ahead, self._ahead = self._ahead, None
        found = await ahead
        return None if self._news.is_set() else found

    def _look_ahead(self) -> None:
        """Begin the next list while the last of this one are served."""
        if self._has_more and self._ahead is None and len(self._next) <= NEARLY_EMPTY:
            self._served_since_ahead = set()
            known = len(self._busy) + len(self._next)
            self._ahead = asyncio.create_task(self._lookout.look(known), name=f"list {self.name}")

    async def _end_ahead(self) -> None:
        """Let a list that nobody will take come to its end: its transactions must not be broken off."""
        if self._ahead is not None:
            await asyncio.wait([self._ahead])
            if (error := self._ahead.exception()) is not None:
                log.warning("A last look at the queue of %r failed. %s", self.name, error)

    async def _until_news(self, seconds: float) -> None:
        """Wait so long, or until something was committed or sending is to stop."""
        with suppress(TimeoutError):
            async with asyncio.timeout(seconds):
                await self._news.wait()

    def _picked(self, chat: Chat) -> _Pick:
        """What to send of a chat: one row where there is a pace to keep, else everything that waits."""
        if not self._pace.limits.is_paced:
            self._busy[chat.address] = frozenset(row.id for row in chat.rows)
            return _Pick(chat=chat, rows=chat.rows, has_more=False)
        first = chat.rows[0]
        self._busy[chat.address] = frozenset((first.id,))
        self._pace.take(chat.address, self._sending.cost(first))
        return _Pick(chat=chat, rows=(first,), has_more=len(chat.rows) > 1)

    def _first_free(self) -> Chat | None:
        is_outdated = False
        while self._next:
            chat = self._next.popleft()
            self._look_ahead()
            if chat.address in self._busy:
                if any(row.id not in self._busy[chat.address] for row in chat.rows):
                    self._passed_over.add(chat.address)
            elif chat.address in self._served or self._is_closed_by_now(chat):
                is_outdated = True  # its rows on the list were seen before they were sent, or its hours have ended
            else:
                return chat
        if is_outdated:  # not before: a list holds what was in the air when it was made, so it would never be used up
            self._news.set()
        return None

    def _is_closed_by_now(self, chat: Chat) -> bool:
        """Whether the hours of its next row have ended since the list was made."""
        hours = chat.rows[0].hours
        return hours is not None and opens_at(hours, self._clock.now()) is not None

    # --- sending -----------------------------------------------------------------------------------------------------

    async def _serve(self, pick: _Pick, place: _Place) -> None:
        """Send what was picked in one chat, until it is held up or there is news."""
        address = pick.chat.address
        is_open = True
        try:
            for row in pick.rows:
                await place.take()
                is_open = await self._deliver(row, place)
                if not is_open or self._news.is_set():
                    break
        finally:
            self._pace.rest(address)
            self._served.add(address)
            self._served_since_ahead.add(address)
            self._release(address, has_more=pick.has_more and is_open)

    def _release(self, address: str, *, has_more: bool) -> None:
        """Let a chat be served again, after its rest."""
        rest = self._pace.rests_seconds(address)
        if rest > 0:
            asyncio.get_running_loop().call_later(rest, partial(self._release, address, has_more=has_more))
        else:
            self._busy.pop(address, None)
            if address in self._passed_over or has_more:
                self._passed_over.discard(address)
                self._news.set()

    async def _deliver(self, row: OpenRow, place: _Place) -> bool:
        """Try one row, and free the place in the air. Whether the chat may go on behind it."""
        if row.id not in self._unmarked:
            if not self._tenure.is_held:
                return False
            try:
                async with asyncio.timeout(SEND_LIMIT_SECONDS):
                    far_id = await self._sending.send(row)
            except TimeoutError:
                return await self._go_unanswered(row)
            except Exception as error:  # noqa: BLE001 - the edge: a channel's own fault must not stop the others
                return await self._answered(row, error)
            self._ledger.counts["sent"] += 1
            self._unmarked[row.id] = self._mark_of(row, far_id)
        place.free()
        return await self._mark(row.id)

    def _mark_of(self, row: OpenRow, far_id: str | None, *, is_unsure: bool = False) -> Mark:
        now_ms = self._now_ms()
        units = self._sending.units(row)
        if units:
            self._ledger.day.spend(now_ms // accounts.HOUR_MS, units)
        marked = Acknowledged(
            id=row.id,
            sent_ms=now_ms,
            is_last_word=row.homeowner_id is None,
            fence=self._tenure.fence,
            far_id=far_id,
            is_unsure=is_unsure,
        )
        is_back = row.unreachable_ms is not None and not is_unsure
        return Mark(channel=self.name, address=row.address, row=marked, units=units, is_back=is_back)

    async def _mark(self, row_id: int) -> bool:
        """Note that the far side has a row. While that fails the row is not sent again, only noted again."""
        try:
            await self._marks.submit(self._unmarked[row_id])
        except StoreError as error:
            log.error("Message %d was sent but could not be marked. %s", row_id, error)
            await self._sleep(1)
            return False
        del self._unmarked[row_id]
        return True

    # --- what the far side can answer --------------------------------------------------------------------------------

    async def _answered(self, row: OpenRow, answer: Exception) -> bool:
        match answer:
            case Unreachable():
                return await self._close_address(row)
            case Rejected():
                log.error("Message %d was rejected and is parked.\n%s", row.id, trace_of(answer))
                return await self._park(row)
            case Moved(address=address):
                return await self._readdress(row, address)
            case SlowDown(after_seconds=seconds):
                return await self._slow_down(row, seconds)
            case ChannelClosed():
                log.error("Nothing can be sent on %r: %s", self.name, answer)
                return await self._slow_down(row, CLOSED_PAUSE_SECONDS)
            case Uncertain():
                return await self._go_unanswered(row)
            case TryAgain(after_seconds=seconds):
                return await self._postpone(row, seconds)
            case _:
                log.error("Message %d could not be sent.\n%s", row.id, trace_of(answer))
                return await self._postpone(row, 0)

    async def _slow_down(self, row: OpenRow, seconds: float) -> bool:
        """Stop the whole channel for a while. It is no fault of the row, but not even that goes on for ever."""
        self._pace.pause(seconds)
        self._ledger.counts["pauses"] += 1
        self._news.set()
        if self._now_ms() - max(row.made_ms, row.due_ms) > OLDEST_TRY / timedelta(milliseconds=1):
            log.error("Message %d has been put off for days and is parked.", row.id)
            await self._park(row)
        return False

    async def _go_unanswered(self, row: OpenRow) -> bool:
        """It may have arrived. Our own reminder: better twice than never, once. All else: better never than twice."""
        self._ledger.counts["unanswered"] += 1
        if not row.may_repeat or row.unsure:
            log.warning("Message %d got no answer in time; it counts as sent.", row.id)
            self._unmarked[row.id] = self._mark_of(row, None, is_unsure=True)
            return await self._mark(row.id)
        next_try = self._clock.now() + timedelta(seconds=UNSURE_PAUSE_SECONDS)
        async with self._store.database.write() as tx:
            await outbox.postpone(tx, row.id, milliseconds(next_try), unsure=True)
        self._ledger.day.spend(self._now_ms() // accounts.HOUR_MS, self._sending.units(row))
        return False

    async def _postpone(self, row: OpenRow, after_seconds: float) -> bool:
        self._ledger.counts["failed"] += 1
        if row.attempts >= len(PAUSES_SECONDS):
            log.error("Message %d could not be sent in %d tries and is parked.", row.id, row.attempts + 1)
            return await self._park(row)
        self._ledger.counts["retried"] += 1
        pause = max(after_seconds, PAUSES_SECONDS[row.attempts]) * self._chance.uniform(1.0, 1.2)
        next_try = self._clock.now() + min(timedelta(seconds=pause), LONGEST_HOLD)
        async with self._store.database.write() as tx:
            await outbox.postpone(tx, row.id, milliseconds(next_try))
        return False

    async def _park(self, row: OpenRow) -> bool:
        self._ledger.counts["parked"] += 1
        async with self._store.database.write() as tx:
            await outbox.park(tx, [row.id])
        return True

    async def _close_address(self, row: OpenRow) -> bool:
        async with self._store.database.write() as tx:
            count = await outbox.park_chat(tx, self.name, row.address)
            if row.homeowner_id is not None:  # nothing is kept of who was erased
                await reaches.close(tx, self.name, row.address, self._now_ms())
        self._ledger.counts["parked"] += count
        log.error("Homeowner %s cannot be reached on %r; %d messages are parked.", row.homeowner_id, self.name, count)
        return False

    async def _readdress(self, row: OpenRow, address: str) -> bool:
        async with self._store.database.write() as tx:
            await outbox.readdress(tx, self.name, row.address, address)
            await reaches.move(tx, self.name, row.address, address)
            await self._sending.move(tx, row.address, address)
        self._news.set()
        return False

    # --- small things ------------------------------------------------------------------------------------------------

    def _now_ms(self) -> int:
        return milliseconds(self._clock.now())

    async def _sleep(self, seconds: float) -> None:
        """Wait, but not past the end."""
        with suppress(TimeoutError):
            async with asyncio.timeout(seconds):
                await self._stop.wait()
