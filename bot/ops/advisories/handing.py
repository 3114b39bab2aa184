"""Handing an advisory over, a few people at a time: those whose turn it is become turns of their talks.

1. Somebody's talk, the message in the outbox and the row that says so commit together (`Service.act` with `_Noting`). A
   kill leaves all of it or nothing, so nobody gets it twice, on whichever chat; and what was paused or stopped a moment
   ago is not handed over, whoever did that.
2. On each channel only a little waits in the outbox: what it sends in a few seconds. So a pause holds little, replies
   keep their pace, and a channel whose day is used up is left alone until there is room.
3. Words are filled in at the last moment, in a thread, from what is known then.
"""

from __future__ import annotations

import asyncio
import logging
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from bot.clock import Clock
from bot.logs import trace_of
from bot.ops.advisories.advisory import Advisory, State
from bot.ops.advisories.deciding import Address, Rules, Why, decide, manner_of
from bot.ops.advisories.filling import Filler
from bot.pace import Day
from bot.service import Act, Service
from bot.store import accounts, advisories, sends
from bot.store.database import Transaction, milliseconds
from bot.store.rows import load_homeowner
from bot.store.sends import Candidate, End, Figures, SendState, Wait
from bot.store.store import Store
from bot.talk.case import Homeowner
from bot.talk.incoming import Advised
from bot.talk.ports import Talk
from bot.terms import Terms
from bot.turns import SHORT_CHANNELS

log = logging.getLogger(__name__)

AT_ONCE = 64
"""People in one transaction: about as many as the service takes in at once, so that replies hardly wait for it."""
AHEAD_SECONDS = 5.0
FEWEST_AHEAD, MOST_AHEAD = 8, 200
"""How many may wait in the outbox of a channel: what it sends in so many seconds, within these."""
LOOK_AGAIN = timedelta(minutes=1)
"""When somebody is looked at again whose talk declined, or of whom more is known by then."""


def ahead_of(terms: Terms) -> int:
    """How many messages of advisories may wait in a channel's outbox at once."""
    if not math.isfinite(terms.limits.units):
        return MOST_AHEAD
    pace = terms.limits.units / terms.limits.window_seconds
    return min(MOST_AHEAD, max(FEWEST_AHEAD, math.ceil(pace * AHEAD_SECONDS)))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Round:
    """One look at an advisory: what everybody in it is judged by."""

    advisory: Advisory
    rules: Rules
    lawns: Mapping[int, Sequence[Figures]]
    now: datetime

    def end(self, each: Candidate, state: SendState, why: Why) -> End:
        """That it came to this for somebody, now."""
        return End(homeowner_id=each.homeowner_id, state=state, why=why, at_ms=milliseconds(self.now))


@dataclass(slots=True, kw_only=True)
class _Sorted:
    """What is to become of those whose turn it is."""

    acts: list[Act] = field(default_factory=list)
    waits: list[Wait] = field(default_factory=list)
    ends: list[End] = field(default_factory=list)
    elsewhere: dict[int, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Noting:
    """Written beside the acts of one advisory."""

    advisory_id: int
    wanted: frozenset[int]
    now_ms: int

    async def may_go(self, tx: Transaction) -> bool:
        """Whether it still goes out, and all of these still wait."""
        goes_out = await advisories.is_in(tx, self.advisory_id, State.GOING_OUT)
        return goes_out and await sends.all_wait(tx, self.advisory_id, sorted(self.wanted))

    async def note(self, tx: Transaction, rows: Mapping[int, int]) -> None:
        """Note what was queued. Who was not said anything is looked at again, or failed."""
        silent = await sends.hand_over(tx, self.advisory_id, rows, self.now_ms)
        failed = await sends.failed_turns(tx, [rows[of_id] for of_id in silent])
        ends, waits = [], []
        for of_id in silent:
            if rows[of_id] in failed:
                ends.append(End(homeowner_id=of_id, state=SendState.FAILED, why=Why.BROKEN, at_ms=self.now_ms))
            else:
                until_ms = self.now_ms + LOOK_AGAIN // timedelta(milliseconds=1)
                waits.append(Wait(homeowner_id=of_id, until_ms=until_ms, why=Why.TODAY, tried=1))
        await sends.end(tx, self.advisory_id, ends)
        await sends.wait(tx, self.advisory_id, waits)


class Handing:
    """Hands over what may go out now."""

    def __init__(
        self, store: Store, service: Service, talk: Talk, clock: Clock, terms: Mapping[str, Terms], filler: Filler
    ) -> None:
        self._store = store
        self._service = service
        self._talk = talk
        self._clock = clock
        self._terms = terms
        self._filler = filler

    async def some(self, advisory: Advisory) -> int:
        """Hand over some of an advisory on each channel that has room; how many were moved on, whatever to."""
        now = self._clock.now()
        async with self._store.database.read() as tx:
            found: list[Candidate] = []
            for channel in await sends.waiting_channels(tx, advisory.id):
                room = await self._room(tx, advisory.id, channel, now)
                if room > 0:
                    found += await sends.next_of(tx, advisory.id, channel, milliseconds(now), min(room, AT_ONCE))
            lawns = await sends.figures_of(tx, [each.homeowner_id for each in found])
        round_ = _Round(advisory=advisory, rules=self._rules(advisory, now), lawns=lawns, now=now)
        moved = 0
        for start in range(0, len(found), AT_ONCE):
            batch = found[start : start + AT_ONCE]
            sorted_out = await asyncio.to_thread(self._sort_out, round_, batch)
            await self._carry_out(advisory, sorted_out, milliseconds(now))
            moved += len(batch)
        return moved

    def _rules(self, advisory: Advisory, now: datetime) -> Rules:
        return Rules(
            terms=self._terms, is_pressing=advisory.content.is_pressing, useful_until=advisory.useful_until(now)
        )

    async def _room(self, tx: Transaction, advisory_id: int, channel: str, now: datetime) -> int:
        """How many more may be handed to a channel. One that does not run has all: they are only left out."""
        terms = self._terms.get(channel)
        if terms is None:
            return AT_ONCE
        ahead, now_ms = ahead_of(terms), milliseconds(now)
        room = ahead - await sends.in_outbox(tx, channel, now_ms)
        room = min(room, 2 * ahead - await sends.under_way(tx, advisory_id, channel))  # held for its hours count, too
        if room > 0 and terms.limits.day_units is not None:
            hour = now_ms // accounts.HOUR_MS
            day = Day(await accounts.spent_by_hour(tx, channel, now_ms))
            if not day.has_room(terms.limits, hour, planned=ahead - room, is_reply=False):
                return 0
        return room

    def _sort_out(self, round_: _Round, batch: Sequence[Candidate]) -> _Sorted:
        into = _Sorted()
        for each in batch:
            try:
                self._sort_one(round_, each, into)
            except Exception as error:  # noqa: BLE001 - one who cannot be read must not hold up the others
                log.error("An advisory cannot be put to homeowner %d.\n%s", each.homeowner_id, trace_of(error))
                into.ends.append(round_.end(each, SendState.FAILED, Why.BROKEN))
        return into

    def _sort_one(self, round_: _Round, each: Candidate, into: _Sorted) -> None:
        if each.channel is None or each.doc is None:
            into.ends.append(round_.end(each, SendState.LEFT_OUT, Why.GONE))
            return
        if each.channel != each.listed_channel:
            into.elsewhere[each.homeowner_id] = each.channel
            return
        homeowner = load_homeowner(each.doc, self._store.upgrade)
        address = Address(channel=each.channel, consent=each.consent, is_unreachable=bool(each.unreachable))
        decision = decide(manner_of(homeowner, self._talk.zone_of(homeowner)), address, round_.rules, round_.now)
        if decision.why is not None and decision.until is not None:
            until_ms = milliseconds(decision.until)
            into.waits.append(Wait(homeowner_id=each.homeowner_id, until_ms=until_ms, why=decision.why))
        elif decision.why is not None:
            into.ends.append(round_.end(each, SendState.LEFT_OUT, decision.why))
        else:
            self._put(round_, each, homeowner, into)

    def _put(self, round_: _Round, each: Candidate, homeowner: Homeowner, into: _Sorted) -> None:
        advisory = round_.advisory
        lawns = round_.lawns.get(each.homeowner_id, ())
        words = self._filler.fill(advisory.content, homeowner, lawns, is_short=each.channel in SHORT_CHANNELS)
        if not words:
            into.ends.append(round_.end(each, SendState.LEFT_OUT, Why.NO_FIGURES))
            return
        advised = Advised(advisory=advisory.id, words=words, is_pressing=advisory.content.is_pressing)
        key = f"advisory/{advisory.id}/{each.homeowner_id}/{each.tries}"
        into.acts.append(Act(homeowner_id=each.homeowner_id, key=key, incoming=advised))

    async def _carry_out(self, advisory: Advisory, sorted_out: _Sorted, now_ms: int) -> None:
        if sorted_out.waits or sorted_out.ends or sorted_out.elsewhere:
            async with self._store.database.write() as tx:
                await sends.wait(tx, advisory.id, sorted_out.waits)
                await sends.end(tx, advisory.id, sorted_out.ends)
                await sends.reroute(tx, advisory.id, sorted_out.elsewhere)
        if sorted_out.acts:
            wanted = frozenset(each.homeowner_id for each in sorted_out.acts)
            noting = _Noting(advisory_id=advisory.id, wanted=wanted, now_ms=now_ms)
            await self._service.act(sorted_out.acts, along=noting)
