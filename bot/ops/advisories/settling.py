"""What became of what was handed over: counted when it is out of our hands, so that a report adds up for good.

1. Sent is what the far side has, or may have (no answer came: `unsure`); that is not sent again, and told as a number
   of its own. What was given up on is failed, or left out
   where it was the address that cannot or may not be written to any more.
2. What its owner's wish for quiet took out of the outbox is left out. So is whoever was forgotten.
3. What a process was about to send when it ended after a stop may have arrived, so it counts as sent without an
   answer: better a few too many get a correction than one too few.
4. What is stopped, or of no use any more, is held first. Only after as long as a send can last is it taken out of the
   outbox: what was in the air has been counted by then.
"""

from __future__ import annotations

import asyncio
from datetime import datetime, timedelta

from bot.arrivals import Consent
from bot.ops.advisories.advisory import Advisory, State
from bot.ops.advisories.deciding import Why
from bot.store import advisories, sends
from bot.store.database import Database, milliseconds
from bot.store.schema import PENDING, SENT
from bot.store.sends import UNSURE, End, OnTheWay, SendState

IN_THE_AIR = timedelta(seconds=90)
"""Longer than a send can be in the air, with its answer being written down."""
AT_ONCE = 5000
"""Waiting people who are left out in one transaction."""
LEAVING_OUT_SECONDS = 0.3
"""How long people of one advisory are left out in one run: a million that was stopped must not hold up the next."""


class Settling:
    """Counts what is over."""

    def __init__(self, database: Database) -> None:
        self._database = database

    async def settle(self, advisory: Advisory, now: datetime) -> None:
        """Count everything of an advisory that is out of our hands, and end what is over."""
        over_at, why = _over_at(advisory, now)
        await self._count(advisory.id, now)
        if over_at is None:
            return
        await self._leave_out_waiting(advisory, why, now)
        if now >= over_at + IN_THE_AIR:
            await self._take_out(advisory, why, now)

    async def finish(self, advisory: Advisory, now: datetime) -> bool:
        """Note that nobody waits and nothing is under way any more, if so."""
        async with self._database.write() as tx:
            if await sends.is_any_open(tx, advisory.id):
                return False
            if advisory.selected is None:  # it was stopped before everybody was listed
                await advisories.set_selected(tx, advisory.id, await sends.count(tx, advisory.id))
            if advisory.state is not State.DROPPED:
                ended = {"state": State.FINISHED, "ended_ms": milliseconds(now)}
                await advisories.move(tx, advisory.id, [State.GOING_OUT, State.PAUSED], ended)
        return True

    async def _count(self, advisory_id: int, now: datetime) -> None:
        async with self._database.read() as tx:
            found = await sends.on_the_way(tx, advisory_id, only_settled=True)
        if found:
            async with self._database.write() as tx:
                await sends.end(tx, advisory_id, [_came_to(each, now) for each in found])

    async def _leave_out_waiting(self, advisory: Advisory, why: Why | None, now: datetime) -> None:
        async with self._database.write() as tx:
            await sends.hold(tx, advisory.id)
        loop = asyncio.get_running_loop()
        until = loop.time() + LEAVING_OUT_SECONDS
        while True:
            async with self._database.write() as tx:
                count = await sends.end_waiting(tx, advisory.id, why, milliseconds(now), AT_ONCE)
            if count < AT_ONCE or loop.time() >= until:
                return

    async def _take_out(self, advisory: Advisory, why: Why | None, now: datetime) -> None:
        """What was held and never went. What may have arrived counts so: a try without an answer, and after a stop what
        a process was about to send when it ended.
        """
        async with self._database.write() as tx:
            held = await sends.on_the_way(tx, advisory.id, only_settled=False)
            held = [each for each in held if each.state == PENDING]
            await sends.withdraw(tx, [each.outbox_id for each in held])
            is_stopped = advisory.state is State.DROPPED
            unsure = [each for each in held if each.unsure or (is_stopped and each.is_in_doubt)]
            never = [each for each in held if each not in unsure]
            at_ms = milliseconds(now)
            await sends.end(tx, advisory.id, [_ended(each, SendState.SENT, UNSURE, at_ms) for each in unsure])
            why = why or Why.LATE
            await sends.end(tx, advisory.id, [_ended(each, SendState.LEFT_OUT, why, at_ms) for each in never])


def _over_at(advisory: Advisory, now: datetime) -> tuple[datetime | None, Why | None]:
    """Since when nothing more of it may leave, and why; None while it may. A reason of None: what each waits for."""
    if advisory.state is State.DROPPED:
        return advisory.ended_at or now, Why.STOPPED if advisory.overtaken_by is None else Why.OVERTAKEN
    until = advisory.useful_until(now)
    return (until, None) if now >= until else (None, None)


def _came_to(each: OnTheWay, now: datetime) -> End:
    at_ms = milliseconds(now) if each.sent_ms is None else each.sent_ms
    if each.state == SENT:
        return _ended(each, SendState.SENT, _unsure(each), at_ms)
    if each.state is None:
        return _ended(each, SendState.LEFT_OUT, Why.QUIET if each.is_known else Why.GONE, at_ms)
    if each.unsure:
        return _ended(each, SendState.SENT, UNSURE, at_ms)
    if each.consent == Consent.WITHDRAWN:
        return _ended(each, SendState.LEFT_OUT, Why.OPTED_OUT, at_ms)
    if each.is_unreachable:
        return _ended(each, SendState.LEFT_OUT, Why.UNREACHABLE, at_ms)
    return _ended(each, SendState.FAILED, Why.REFUSED, at_ms)


def _unsure(each: OnTheWay) -> str | None:
    """Whether it is sent for want of an answer: an advisory is not tried again after that."""
    return UNSURE if each.unsure else None


def _ended(each: OnTheWay, state: SendState, why: str | None, at_ms: int) -> End:
    return End(homeowner_id=each.homeowner_id, state=state, why=why, at_ms=at_ms)
