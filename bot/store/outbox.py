"""What is to be said, in final words, until it is sent; and what was said.

In one chat the rows that are due go out in the order they were made, one after the other. Between chats a reply goes
before a reminder, and a chat that has a reply waiting counts as one with a reply, whatever stands in front of it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy import ColumnElement, and_, bindparam, delete, exists, func, insert, select, update

from bot.store.database import Transaction, instant, values_of
from bot.store.rows import load_rendered
from bot.store.schema import DATA_COPY, PARKED, REMINDER, SENT, STATE_PENDING, outbox
from bot.talk.ports import Rendered

LONGEST_HOLD = timedelta(days=1)
"""A try that is planned later than this was planned before the clock went back: it is made at once."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NewRow:
    """One message to queue. `homeowner_id` is None for the last words to somebody who was just erased."""

    homeowner_id: int | None
    inbox_id: int | None
    channel: str
    address: str
    kind: int
    urgency: int
    made_ms: int
    due_ms: int
    body: str
    hours: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenRow:
    """One row that waits to be sent. `hours`: zone, first and last local hour in which it may be; None for any time."""

    id: int
    homeowner_id: int | None
    address: str
    kind: int
    urgency: int
    attempts: int
    body: str
    hours: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Chat:
    """What waited for one address at an instant, in the order it must go out."""

    address: str
    rows: tuple[OpenRow, ...]
    seen_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """One message of the conversation as it was or will be sent. `rendered` is None for a copy of the data."""

    id: int
    inbox_id: int
    at: datetime
    rendered: Rendered | None
    is_sent: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Acknowledged:
    """A row the far side has, and whether its owner was erased before it went out."""

    id: int
    sent_ms: int
    is_last_word: bool


_o, _held = outbox.alias("o"), outbox.alias("held")
_CHAT_IS_HELD = exists().where(
    and_(
        _held.c.state == STATE_PENDING,
        _held.c.channel == _o.c.channel,
        _held.c.address == _o.c.address,
        _held.c.next_try_ms > bindparam("now_ms"),
        _held.c.next_try_ms <= bindparam("latest_ms"),
    )
)
_FIRST_ADDRESSES = (
    select(_o.c.address)
    .where(
        _o.c.state == STATE_PENDING,
        _o.c.channel == bindparam("of_channel"),
        _o.c.due_ms <= bindparam("now_ms"),
        ~_CHAT_IS_HELD,
    )
    .order_by(_o.c.urgency, _o.c.due_ms, _o.c.id)
    .limit(bindparam("at_most"))
)
_LOOK = select(
    outbox.c.id,
    outbox.c.homeowner_id,
    outbox.c.address,
    outbox.c.kind,
    outbox.c.urgency,
    outbox.c.attempts,
    outbox.c.body,
    outbox.c.hours,
).where(
    outbox.c.state == STATE_PENDING,
    outbox.c.channel == bindparam("of_channel"),
    outbox.c.due_ms <= bindparam("now_ms"),
    outbox.c.address.in_(_FIRST_ADDRESSES),
)
_LOOK_IN_ORDER = _LOOK.order_by(outbox.c.id)
_PENDING_ID = and_(outbox.c.id == bindparam("of_id"), outbox.c.state == STATE_PENDING)
_MARK_SENT = (
    update(outbox).where(_PENDING_ID).values(state=SENT, sent_ms=bindparam("at_ms"), attempts=outbox.c.attempts + 1)
)
_DROP = delete(outbox).where(_PENDING_ID)


async def add(tx: Transaction, rows: Sequence[NewRow]) -> None:
    """Queue messages, in this order."""
    await tx.execute(insert(outbox), [values_of(row) for row in rows])


async def look(tx: Transaction, channel: str, now_ms: int, at_most: int) -> list[Chat]:
    """The chats of a channel that have something to send now, most urgent first, from at most so many rows.

    A chat whose last try failed is left out until its next try is due, with everything behind it.
    """
    latest_ms = now_ms + LONGEST_HOLD // timedelta(milliseconds=1)
    values = {"of_channel": channel, "now_ms": now_ms, "latest_ms": latest_ms, "at_most": at_most}
    chats: dict[str, list[OpenRow]] = {}
    for row in await tx.execute(_LOOK_IN_ORDER, values):
        chats.setdefault(row.address, []).append(OpenRow(**row._mapping))
    seen_at = instant(now_ms)
    found = [Chat(address=address, rows=tuple(rows), seen_at=seen_at) for address, rows in chats.items()]
    return sorted(found, key=lambda chat: min(row.urgency for row in chat.rows))


async def acknowledge(tx: Transaction, rows: Sequence[Acknowledged]) -> None:
    """Mark rows as sent; last words to somebody who was erased are removed."""
    kept = [{"of_id": row.id, "at_ms": row.sent_ms} for row in rows if not row.is_last_word]
    if kept:
        await tx.execute(_MARK_SENT, kept)
    gone = [{"of_id": row.id} for row in rows if row.is_last_word]
    if gone:
        await tx.execute(_DROP, gone)


async def postpone(tx: Transaction, row_id: int, next_try_ms: int) -> None:
    """Note a failed try and when the next is due."""
    await tx.execute(
        update(outbox)
        .where(outbox.c.id == row_id, outbox.c.state == STATE_PENDING)
        .values(attempts=outbox.c.attempts + 1, next_try_ms=next_try_ms)
    )


async def hold(tx: Transaction, row_id: int, until_ms: int) -> None:
    """Leave one row until an instant, without counting it as a try; the chat goes on behind it."""
    waiting = and_(outbox.c.id == row_id, outbox.c.state == STATE_PENDING)
    await tx.execute(update(outbox).where(waiting).values(due_ms=until_ms))


async def withdraw_reminders(tx: Transaction, homeowner_ids: Sequence[int]) -> None:
    """Take back what nobody asked for and was not sent yet: these homeowners want to hear nothing more."""
    await tx.execute(
        delete(outbox).where(
            outbox.c.homeowner_id.in_(homeowner_ids), outbox.c.state == STATE_PENDING, outbox.c.urgency == REMINDER
        )
    )


async def park(tx: Transaction, row_id: int) -> None:
    """Give up on one row; the chat goes on behind it."""
    await _park_where(tx, outbox.c.id == row_id)


async def park_chat(tx: Transaction, channel: str, address: str) -> int:
    """Give up on everything that waits for an address; how many rows."""
    return await _park_where(tx, and_(outbox.c.channel == channel, outbox.c.address == address))


async def _park_where(tx: Transaction, which: ColumnElement[bool]) -> int:
    waiting = and_(which, outbox.c.state == STATE_PENDING)
    dropped = await tx.execute(delete(outbox).where(waiting, outbox.c.homeowner_id.is_(None)))
    parked = await tx.execute(update(outbox).where(waiting).values(state=PARKED, attempts=outbox.c.attempts + 1))
    return dropped.rowcount + parked.rowcount


async def waiting(tx: Transaction) -> dict[str, int]:
    """How many rows wait, by channel."""
    statement = select(outbox.c.channel, func.count()).where(outbox.c.state == STATE_PENDING).group_by(outbox.c.channel)
    return {row[0]: row[1] for row in await tx.execute(statement)}


async def erase_of(tx: Transaction, homeowner_ids: Sequence[int]) -> None:
    """Remove everything said and to be said to these homeowners."""
    await tx.execute(delete(outbox).where(outbox.c.homeowner_id.in_(homeowner_ids)))


async def of_homeowner(tx: Transaction, homeowner_id: int, after: int = 0) -> list[Told]:
    """What a homeowner was told in answer to rows of the inbox after one, in order."""
    statement = (
        select(outbox.c.id, outbox.c.inbox_id, outbox.c.made_ms, outbox.c.kind, outbox.c.body, outbox.c.state)
        .where(outbox.c.homeowner_id == homeowner_id, outbox.c.inbox_id > after)
        .order_by(outbox.c.inbox_id, outbox.c.id)
    )
    return [
        Told(
            id=row.id,
            inbox_id=row.inbox_id,
            at=instant(row.made_ms),
            rendered=load_rendered(row.body) if row.kind != DATA_COPY else None,
            is_sent=row.state == SENT,
        )
        for row in await tx.execute(statement)
    ]
