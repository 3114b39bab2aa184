"""A look at a channel's queue: what may go out now, claimed under the lease. What may not is held or parked."""

from __future__ import annotations

import logging
from collections import Counter
from collections.abc import Awaitable, Callable, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from bot.arrivals import Consent
from bot.clock import Clock
from bot.hours import opens_at
from bot.pace import Day
from bot.store import accounts, outbox
from bot.store.database import milliseconds
from bot.store.outbox import Chat, OpenRow
from bot.store.schema import OPENING
from bot.store.store import Store
from bot.tenure import Tenure
from bot.terms import Terms

log = logging.getLogger(__name__)

PAGE = 64
"""How many rows one look at the queue asks for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Claim:
    """Rows that are about to be sent, and the lease under which."""

    row_ids: tuple[int, ...]
    fence: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """What may go out now, most urgent first.

    has_more : more may stand in the queue behind it
    is_overtaken : the page was full of what may not go out, so that it must be looked at again at once
    """

    chats: tuple[Chat, ...]
    has_more: bool = False
    is_overtaken: bool = False


@dataclass(slots=True, kw_only=True)
class Ledger:
    """What a channel spent of its day, and what was counted since the counts were last taken."""

    day: Day = field(default_factory=lambda: Day({}))
    counts: Counter[str] = field(default_factory=Counter)

    def take_counts(self) -> dict[str, int]:
        """What was counted since the last time."""
        counts, self.counts = self.counts, Counter()
        return dict(counts)


@dataclass(frozen=True, slots=True, kw_only=True)
class Post:
    """Where a lane stands: whose queue it serves, on what terms, by which clock."""

    store: Store
    channel: str
    clock: Clock
    terms: Terms


class Lookout:
    """Looks at the queue of one channel."""

    def __init__(self, post: Post, tenure: Tenure, ledger: Ledger, submit: Callable[[Claim], Awaitable[None]]) -> None:
        self._post = post
        self._tenure = tenure
        self._ledger = ledger
        self._submit = submit

    async def look(self, more: int) -> Found:
        """What may go out now, claimed; `more` rows are asked for beyond a page, as many as are known already."""
        now_ms = milliseconds(self._post.clock.now())
        at_most = PAGE + more
        async with self._post.store.database.read() as tx:
            found = await outbox.look(tx, self._post.channel, now_ms, at_most)
        if any(row.fence > self._tenure.fence for chat in found for row in chat.rows):
            self._tenure.lose()
            return Found(chats=())
        chats, is_changed = await self._sort_out(found)
        unclaimed = tuple(row.id for chat in chats for row in chat.rows if row.fence != self._tenure.fence)
        if unclaimed:
            await self._submit(Claim(row_ids=unclaimed, fence=self._tenure.fence))
        has_more = sum(len(chat.rows) for chat in found) >= at_most
        return Found(chats=tuple(chats), has_more=has_more, is_overtaken=is_changed and not chats)

    async def _sort_out(self, found: Sequence[Chat]) -> tuple[list[Chat], bool]:
        """The chats without the rows that must not go out now, and whether there were such rows."""
        held: list[tuple[int, int]] = []
        parked: list[OpenRow] = []
        chats, planned = [], 0
        for chat in found:
            rows = []
            for row in chat.rows:
                if not row.is_reply and self._may_not_have(row):
                    parked.append(row)
                elif (until := self._held_until(row, chat.seen_at, planned)) is not None:
                    held.append((row.id, milliseconds(until)))
                else:
                    rows.append(row)
                    planned += 1
            if rows:
                chats.append(Chat(address=chat.address, rows=tuple(rows), seen_at=chat.seen_at))
        if held or parked:
            await self._put_aside(held, parked)
        return chats, bool(held or parked)

    def _may_not_have(self, row: OpenRow) -> bool:
        """Whether an address must not get what it did not ask for."""
        if row.unreachable_ms is not None:
            return True
        needed = Consent.ASKED if row.kind == OPENING else Consent.GIVEN
        return self._post.terms.needs_consent and row.consent != needed

    def _held_until(self, row: OpenRow, seen_at: datetime, planned: int) -> datetime | None:
        """Until when a row must wait: for its owner's hours, or for a day with room.

        The hours must be open now and have been when the list was made: a list from before they opened misses what was
        held for them. `planned` rows of this list will use up the day before this one.
        """
        if row.hours is not None:
            until = opens_at(row.hours, seen_at) or opens_at(row.hours, self._post.clock.now())
            if until is not None:
                return until
        hour = milliseconds(seen_at) // accounts.HOUR_MS
        day = self._ledger.day
        if day.has_room(self._post.terms.limits, hour, planned=planned, is_reply=row.is_reply):
            return None
        self._ledger.counts["day_waits"] += 1
        return seen_at + timedelta(hours=max(1, day.opens_in_hours(hour)))

    async def _put_aside(self, held: Sequence[tuple[int, int]], parked: Sequence[OpenRow]) -> None:
        async with self._post.store.database.write() as tx:
            if held:
                await outbox.hold(tx, held)
            if parked:
                await outbox.park(tx, [row.id for row in parked])
        if parked:
            self._ledger.counts["parked"] += len(parked)
            channel = self._post.channel
            log.error("%d messages for %r have nobody who may be written to; they are parked.", len(parked), channel)
