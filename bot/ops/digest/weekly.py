"""Sends the digest once a week to every operator who has a channel, and survives being stopped at any moment.

That it went out and the letters themselves are one transaction, so a week is told once or, after a stop, later. A
service that slept over several Mondays tells the last week only.
"""

from __future__ import annotations

from collections.abc import Collection
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from bot.clock import Clock
from bot.ops.digest.letter import digest_letter
from bot.ops.letters import Letters, Manner
from bot.store import arrivals, digests, operators, schema
from bot.store.database import Transaction, milliseconds
from bot.store.digests import Week
from bot.store.store import Store
from bot.talk.effects import Say
from bot.words import Words

FIRST_HOUR = 7
"""Local hour on Monday from which the letters of the week before are made; when they leave is up to their hours."""
HOURS = (8, 20)
WITHOUT_LAWNS = "America/New_York"
"""The zone whose Monday and hours count while there is no lawn; after that the one most lawns lie in."""


class WeeklyDigest:
    """Made once; asked again and again whether a week is over."""

    def __init__(self, store: Store, clock: Clock, words: Words, *, short: Collection[str], desk: str) -> None:
        self._store = store
        self._clock = clock
        self._letters = Letters(words, short)
        self._desk = desk

    async def run(self) -> int:
        """Queue the letters of the week that is over, if nobody has; how many."""
        now = self._clock.now()
        async with self._store.database.read() as tx:
            zone = await digests.commonest_zone(tx) or WITHOUT_LAWNS
            monday_ms = milliseconds(last_monday(now, zone))
            if (await arrivals.cursor_of(tx, digests.DIGEST) or 0) >= monday_ms:
                return 0
        async with self._store.database.write() as tx:
            if (await arrivals.cursor_of(tx, digests.DIGEST) or 0) >= monday_ms:
                return 0
            await arrivals.set_cursor(tx, digests.DIGEST, milliseconds(now))
            return await self._queue(tx, now, zone)

    async def _queue(self, tx: Transaction, now: datetime, zone: str) -> int:
        letter, week = await letter_now(tx, now, zone, self._desk)
        await digests.keep_stages(tx, week.stages)
        manner = Manner(now=now, urgency=schema.DIGEST, hours=f"{zone} {HOURS[0]} {HOURS[1]}")
        return await self._letters.queue(tx, letter, await operators.with_channel(tx), manner)


async def letter_now(tx: Transaction, now: datetime, zone: str, desk: str) -> tuple[Say, Week]:
    """The letter of the seven days up to an instant, and what it counts. Nothing is kept or sent."""
    week, before = await digests.week(tx, milliseconds(now)), await digests.stages_before(tx)
    return digest_letter(week, before, now.astimezone(ZoneInfo(zone)).date(), desk), week


def last_monday(now: datetime, zone: str) -> datetime:
    """The last instant at which a week's letters could be made."""
    local = now.astimezone(ZoneInfo(zone))
    monday = (local - timedelta(days=local.weekday())).replace(hour=FIRST_HOUR, minute=0, second=0, microsecond=0)
    return (monday if monday <= local else monday - timedelta(days=7)).astimezone(UTC)
