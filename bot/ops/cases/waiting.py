"""What waits for a person, over all cases: open questions, held talks, words nobody understood, silence."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from bot.clock import Clock
from bot.store import case_lists, handovers, homeowners
from bot.store.case_lists import Trouble
from bot.store.database import Transaction, instant, milliseconds
from bot.store.handovers import WaitingQuestion
from bot.store.rows import load_homeowner
from bot.store.store import Store

SILENT_FROM = timedelta(days=14)
"""Whoever was told something unasked so long ago and has not written since has probably never answered it."""
RECENT = timedelta(days=7)
"""How long words that were not understood, and what could not be handled, are listed."""
LISTED = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldTalk:
    """A talk that a person holds, since when that person was last heard, and whether something was written since."""

    case_id: int
    by: str
    heard_at: datetime
    has_unread: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class SilentOwner:
    """Somebody who was told something unasked and has not written since."""

    case_id: int
    heard_at: datetime
    told_at: datetime
    told_times: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Waiting:
    """Everything that waits. Each list is cut at a hundred; `open_count` is how many questions there are in all."""

    seen_at: datetime
    open_count: int
    questions: Sequence[WaitingQuestion]
    held: Sequence[HeldTalk]
    not_understood: Sequence[int]
    not_handled: Sequence[Trouble]
    silent: Sequence[SilentOwner]

    @property
    def case_ids(self) -> set[int]:
        """Every case that is listed."""
        troubled = {each.homeowner_id for each in self.not_handled if each.homeowner_id is not None}
        asking = {each.homeowner_id for each in self.questions}
        held, silent = {each.case_id for each in self.held}, {each.case_id for each in self.silent}
        return asking | held | silent | troubled | set(self.not_understood)


async def waiting(store: Store, clock: Clock) -> Waiting:
    """What waits for a person now."""
    now = clock.now()
    recent_ms = milliseconds(now - RECENT)
    async with store.database.read() as tx:
        return Waiting(
            seen_at=now,
            open_count=await handovers.how_many_open(tx),
            questions=await handovers.open_ones(tx, LISTED),
            held=await _held(tx, store, milliseconds(now)),
            not_understood=await case_lists.not_understood(tx, recent_ms, LISTED),
            not_handled=[
                *await case_lists.failed(tx, recent_ms, LISTED),
                *await case_lists.unreadable(tx, recent_ms, LISTED),
            ],
            silent=await silent_owners(tx, now),
        )


async def silent_owners(tx: Transaction, now: datetime) -> list[SilentOwner]:
    """Who never answered, those told last first."""
    found = await case_lists.silent(tx, milliseconds(now - SILENT_FROM), LISTED)
    return [
        SilentOwner(
            case_id=each.homeowner_id,
            heard_at=instant(each.heard_ms),
            told_at=instant(each.told_ms),
            told_times=each.told_times,
        )
        for each in found
    ]


async def _held(tx: Transaction, store: Store, now_ms: int) -> list[HeldTalk]:
    rows = await homeowners.by_id(tx, await case_lists.held(tx, now_ms))
    found = []
    for row in rows.values():
        homeowner = load_homeowner(row.doc, store.upgrade) if row.doc is not None else None
        if homeowner is not None and homeowner.held_by and homeowner.held_heard_at is not None:
            heard_at = homeowner.held_heard_at
            is_later = homeowner.last_heard_at is not None and homeowner.last_heard_at > heard_at
            found.append(HeldTalk(case_id=row.id, by=homeowner.held_by, heard_at=heard_at, has_unread=is_later))
    return sorted(found, key=lambda talk: talk.heard_at)
