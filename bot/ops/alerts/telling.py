"""Operators hear of a new draft, once for each draft, by the channel they have.

1. Whoever may write drafts is told; readers are not, since they can do nothing about it.
2. A letter that would come at night waits for the morning, unless the cold begins before that day's noon: then a
   morning is too late to read, decide and warn.
3. That they were told stands in the record of who did what, in the transaction that queues the letters, so that no
   restart tells anybody twice.
4. A draft that was decided on meanwhile, is of no more use, or is days old, is not told of any more.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

from bot.clock import Clock
from bot.hours import opens_at
from bot.ops.advisories.advisory import Advisory, State, about
from bot.ops.advisories.drafts import found
from bot.ops.alerts.following import Outcome
from bot.ops.alerts.meaning import when_of
from bot.ops.alerts.stored import load_alert
from bot.ops.digest.weekly import WITHOUT_LAWNS
from bot.ops.letters import Letters, Manner
from bot.ops.roles import Role
from bot.store import alerts, audits, digests, operators, schema
from bot.store.audits import Deed
from bot.store.database import Transaction, milliseconds
from bot.store.operators import Reached
from bot.store.store import Store
from bot.talk.effects import Say
from bot.talk.messages import Number, Verbatim, text
from bot.words import Words

HOURS = (7, 21)
NOON = time(12)
STILL_NEWS = timedelta(days=2)
LONGEST_NAME = 70
"""Of a draft, so that the letter is one text message where its link is short."""
TOLD = "told operators of"
_NEW_DRAFTS = frozenset({Outcome.DRAFTED, Outcome.FOLLOWED, Outcome.BESIDE})


@dataclass(frozen=True, slots=True, kw_only=True)
class _News:
    """A draft nobody was told of, and when its cold begins."""

    advisory: Advisory
    begins_at: datetime


class DraftNews:
    """Asked again and again whether there is a draft to tell of. `desk`: where to look, empty where it is unknown."""

    def __init__(self, store: Store, clock: Clock, words: Words, *, short: Collection[str], desk: str) -> None:
        self._store = store
        self._clock = clock
        self._letters = Letters(words, short)
        self._desk = desk

    async def run(self) -> int:
        """Queue the letters that are due; how many."""
        async with self._store.database.read() as tx:
            if not await self._news(tx):
                return 0
        async with self._store.database.write() as tx:
            zone = await digests.commonest_zone(tx) or WITHOUT_LAWNS
            reached = await _who(tx)
            return sum([await self._queue(tx, each, zone, reached) for each in await self._news(tx)])

    async def _news(self, tx: Transaction) -> list[_News]:
        now = self._clock.now()
        rows = [
            row
            for row in await alerts.kept_since(tx, milliseconds(now - STILL_NEWS))
            if row.state in _NEW_DRAFTS and row.advisory_id is not None
        ]
        told = await audits.done_to(tx, TOLD, {about(row.advisory_id) for row in rows if row.advisory_id is not None})
        news: dict[int, _News] = {}
        for row in rows:
            if row.advisory_id is None or about(row.advisory_id) in told or row.advisory_id in news:
                continue
            advisory = await found(tx, row.advisory_id)
            if advisory.state is State.DRAFT and advisory.useful_until(now) > now:
                begins_at = when_of(load_alert(row.doc)).begins.at
                news[row.advisory_id] = _News(advisory=advisory, begins_at=begins_at)
        return list(news.values())

    async def _queue(self, tx: Transaction, news: _News, zone: str, reached: Sequence[Reached]) -> int:
        now, advisory = self._clock.now(), news.advisory
        letter = draft_letter(advisory, f"{self._desk}advisories/{advisory.id}" if self._desk else "")
        manner = Manner(now=now, urgency=schema.ADVISORY, hours=hours_for(news.begins_at, now, zone))
        count = await self._letters.queue(tx, letter, reached, manner)
        deed = Deed(
            at_ms=milliseconds(now), operator_id=None, act=TOLD, about=advisory.about, detail=f"{count} letters"
        )
        await audits.note(tx, deed)
        return count


def draft_letter(advisory: Advisory, address: str) -> Say:
    """What operators read of a draft."""
    name = advisory.content.name
    name = name if len(name) <= LONGEST_NAME else f"{name[: LONGEST_NAME - 3]}..."
    parts = [text("alert-told", number=Number(advisory.id), name=Verbatim(name))]
    if address:
        parts.append(text("alert-told-where", address=Verbatim(address)))
    return Say(parts=tuple(parts))


def hours_for(begins_at: datetime, now: datetime, zone: str) -> str | None:
    """The hours a letter keeps; None: it goes at once, because the cold begins before the next morning's noon."""
    hours = f"{zone} {HOURS[0]} {HOURS[1]}"
    opens = opens_at(hours, now)
    if opens is None:
        return hours
    morning = opens.astimezone(ZoneInfo(zone)).date()
    noon = datetime.combine(morning, NOON, tzinfo=ZoneInfo(zone)).astimezone(UTC)
    return None if begins_at < noon else hours


async def _who(tx: Transaction) -> list[Reached]:
    roles = {each.id: Role(each.role) for each in await operators.everybody(tx)}
    return [each for each in await operators.with_channel(tx) if roles[each.operator_id].may(Role.ADVISOR)]
