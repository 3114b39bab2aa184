"""What is to be said, in final words, until it is sent; and what was said.

In one chat the rows that are due go out in the order they were made, one after the other. Between chats a reply goes
before a reminder, and a chat that has a reply waiting counts as one with a reply, whatever stands in front of it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import lru_cache
from typing import Any

from sqlalchemy import (
    ColumnElement,
    Executable,
    and_,
    bindparam,
    case,
    delete,
    exists,
    func,
    insert,
    literal_column,
    select,
    update,
)

from bot.store.database import Transaction, instant, values_of
from bot.store.rows import load_rendered
from bot.store.schema import (
    ADVISORY,
    DATA_COPY,
    DELIVERED,
    MESSAGE,
    PARKED,
    REPLY,
    SENT,
    STATE_PENDING,
    UNDELIVERED,
    outbox,
    reach,
)
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
    page: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenRow:
    """One row that waits to be sent, and how its address stands.

    hours : zone, first and last local hour in which it may be sent; None for any time
    fence : of the lease under which it was last claimed
    unsure : tries that got no answer in time
    page : of a long message that is sent piece by piece
    """

    id: int
    homeowner_id: int | None
    address: str
    kind: int
    urgency: int
    attempts: int
    body: str
    made_ms: int
    due_ms: int
    hours: str | None = None
    fence: int = 0
    unsure: int = 0
    page: int = 0
    consent: int | None = None
    unreachable_ms: int | None = None

    @property
    def is_reply(self) -> bool:
        """Whether somebody waits for it."""
        return self.urgency == REPLY

    @property
    def may_repeat(self) -> bool:
        """Whether it may be sent once more when no answer came: neither what is waited for, nor what goes to many."""
        return self.urgency not in (REPLY, ADVISORY)


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
    """A row the far side has, and whether its owner was erased before it went out.

    fence : of the lease under which it was sent; a row that went to another sender since is left to that one
    far_id : the far side's own id of it, where receipts name that
    is_unsure : no answer came back in time, and it is not sent again
    """

    id: int
    sent_ms: int
    is_last_word: bool
    fence: int = 0
    far_id: str | None = None
    is_unsure: bool = False


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
_LOOK = (
    select(
        outbox.c.id,
        outbox.c.homeowner_id,
        outbox.c.address,
        outbox.c.kind,
        outbox.c.urgency,
        outbox.c.attempts,
        outbox.c.body,
        outbox.c.made_ms,
        outbox.c.due_ms,
        outbox.c.hours,
        outbox.c.fence,
        outbox.c.unsure,
        outbox.c.page,
        reach.c.consent,
        reach.c.unreachable_ms,
    )
    .select_from(
        outbox.outerjoin(reach, and_(reach.c.channel == outbox.c.channel, reach.c.address == outbox.c.address))
    )
    .where(
        outbox.c.state == STATE_PENDING,
        outbox.c.channel == bindparam("of_channel"),
        outbox.c.due_ms <= bindparam("now_ms"),
        outbox.c.address.in_(_FIRST_ADDRESSES),
    )
)
_LOOK_IN_ORDER = _LOOK.order_by(outbox.c.id)
_PENDING_ID = and_(outbox.c.id == bindparam("of_id"), outbox.c.state == STATE_PENDING)
_MARK_SENT = (
    update(outbox)
    .where(_PENDING_ID, outbox.c.fence == bindparam("with_fence"))
    .values(
        state=SENT,
        sent_ms=bindparam("at_ms"),
        attempts=outbox.c.attempts + 1,
        far_id=bindparam("with_far_id"),
        unsure=outbox.c.unsure + bindparam("is_unsure"),
    )
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


Swift = tuple[Executable, list[dict[str, Any]]]
"""A statement without an answer, and the values of its executions."""


MOST_TOGETHER = 64
"""How many rows one statement names. Longer and longer ones would each have to be worked out anew."""


def claiming(row_ids: Sequence[int], fence: int) -> list[Swift]:
    """Mark rows as about to be sent under a lease."""
    parts = (row_ids[start : start + MOST_TOGETHER] for start in range(0, len(row_ids), MOST_TOGETHER))
    return [(_claim_of(len(part)), [{"with_fence": fence, "to_fence": fence, **_ids(part)}]) for part in parts]


def acknowledging(rows: Sequence[Acknowledged]) -> list[Swift]:
    """Mark rows as sent; last words to somebody who was just erased are removed.

    Rows with nothing of their own to note are marked by one statement, with the instant of the last of them: each row
    more in a statement of its own is a turn more for the database's thread, which all others wait for.
    """
    plain: dict[int, list[Acknowledged]] = {}
    others: list[dict[str, Any]] = []
    for row in rows:
        if row.is_last_word:
            continue
        if row.far_id is None and not row.is_unsure:
            plain.setdefault(row.fence, []).append(row)
        else:
            others.append(_sent_values(row))
    together = [
        (
            _mark_of(len(part)),
            [{"at_ms": max(row.sent_ms for row in part), "with_fence": fence, **_ids([row.id for row in part])}],
        )
        for fence, found in plain.items()
        for part in (found[start : start + MOST_TOGETHER] for start in range(0, len(found), MOST_TOGETHER))
    ]
    gone: list[dict[str, Any]] = [{"of_id": row.id} for row in rows if row.is_last_word]
    return [*together, *(each for each in ((_MARK_SENT, others), (_DROP, gone)) if each[1])]


def _sent_values(row: Acknowledged) -> dict[str, Any]:
    return {
        "of_id": row.id,
        "at_ms": row.sent_ms,
        "with_fence": row.fence,
        "with_far_id": row.far_id,
        "is_unsure": int(row.is_unsure),
    }


def _ids(row_ids: Sequence[int]) -> dict[str, int]:
    return {f"id_{number}": row_id for number, row_id in enumerate(row_ids)}


def _pending_of(count: int) -> ColumnElement[bool]:
    """So many rows by their ids, while they are open."""
    ids = [bindparam(f"id_{number}", type_=outbox.c.id.type) for number in range(count)]
    return and_(outbox.c.id.in_(ids), outbox.c.state == STATE_PENDING)


@lru_cache(maxsize=MOST_TOGETHER)
def _claim_of(count: int) -> Executable:
    mine = outbox.c.fence < bindparam("with_fence")
    return update(outbox).where(_pending_of(count), mine).values(fence=bindparam("to_fence"))


@lru_cache(maxsize=MOST_TOGETHER)
def _mark_of(count: int) -> Executable:
    mine = outbox.c.fence == bindparam("with_fence")
    values = {"state": SENT, "sent_ms": bindparam("at_ms"), "attempts": outbox.c.attempts + 1}
    return update(outbox).where(_pending_of(count), mine).values(**values)


async def postpone(tx: Transaction, row_id: int, next_try_ms: int, *, unsure: bool = False) -> None:
    """Note a failed try, or one that got no answer in time, and when the next is due."""
    await tx.execute(
        update(outbox)
        .where(outbox.c.id == row_id, outbox.c.state == STATE_PENDING)
        .values(attempts=outbox.c.attempts + 1, next_try_ms=next_try_ms, unsure=outbox.c.unsure + (1 if unsure else 0))
    )


async def hold(tx: Transaction, rows: Sequence[tuple[int, int]]) -> None:
    """Leave rows until an instant (row id, ms), without counting it as a try; their chats go on behind them."""
    waiting = and_(outbox.c.id == bindparam("of_id"), outbox.c.state == STATE_PENDING)
    statement = update(outbox).where(waiting).values(due_ms=bindparam("until_ms"))
    await tx.execute(statement, [{"of_id": of_id, "until_ms": until_ms} for of_id, until_ms in rows])


async def readdress(tx: Transaction, channel: str, address: str, to_address: str) -> None:
    """Send what waits for an address to another one."""
    waiting = update(outbox).where(
        outbox.c.channel == channel, outbox.c.address == address, outbox.c.state == STATE_PENDING
    )
    await tx.execute(waiting.values(address=to_address, next_try_ms=0))


async def withdraw_reminders(tx: Transaction, homeowner_ids: Sequence[int]) -> None:
    """Take back what nobody asked for and was not sent yet: these homeowners want to hear nothing more."""
    await tx.execute(
        delete(outbox).where(
            outbox.c.homeowner_id.in_(homeowner_ids), outbox.c.state == STATE_PENDING, outbox.c.urgency != REPLY
        )
    )


async def park(tx: Transaction, row_ids: Sequence[int]) -> None:
    """Give up on rows; their chats go on behind them."""
    await _park_where(tx, outbox.c.id.in_(row_ids))


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Queue:
    """What stands in the outbox of a channel. `oldest_due_ms`: since when the oldest row that may go out waits."""

    waiting: int
    due: int
    oldest_due_ms: int | None
    parked: int


async def queues(tx: Transaction, now_ms: int) -> dict[str, Queue]:
    """The queue of every channel that has one."""
    is_due = outbox.c.due_ms <= now_ms
    since = case((outbox.c.due_ms > outbox.c.made_ms, outbox.c.due_ms), else_=outbox.c.made_ms)
    statement = (
        select(
            outbox.c.channel,
            func.count().label("waiting"),
            func.sum(case((is_due, 1), else_=0)).label("due"),
            func.min(case((is_due, since))).label("oldest"),
        )
        .where(outbox.c.state == STATE_PENDING)
        .group_by(outbox.c.channel)
    )
    parked = (
        select(outbox.c.channel, func.count()).where(outbox.c.state == literal_column("2")).group_by(outbox.c.channel)
    )
    open_rows = {row.channel: row for row in await tx.execute(statement)}
    parked_rows = {row[0]: row[1] for row in await tx.execute(parked)}
    return {
        channel: Queue(
            waiting=open_rows[channel].waiting if channel in open_rows else 0,
            due=open_rows[channel].due if channel in open_rows else 0,
            oldest_due_ms=open_rows[channel].oldest if channel in open_rows else None,
            parked=parked_rows.get(channel, 0),
        )
        for channel in sorted(open_rows.keys() | parked_rows.keys())
    }


async def next_page(tx: Transaction, channel: str, address: str, now_ms: int) -> bool:
    """Queue the next piece of the last message an address was sent; False when it was sent nothing yet."""
    last = (
        select(outbox)
        .where(
            outbox.c.channel == channel, outbox.c.address == address, outbox.c.state == SENT, outbox.c.kind == MESSAGE
        )
        .order_by(outbox.c.id.desc())
        .limit(1)
    )
    row = (await tx.execute(last)).first()
    if row is None:
        return False
    again = {"urgency": REPLY, "made_ms": now_ms, "due_ms": 0, "hours": None, "page": row.page + 1}
    kept = {name: getattr(row, name) for name in ("homeowner_id", "inbox_id", "channel", "address", "kind", "body")}
    await tx.execute(insert(outbox), [{**kept, **again}])
    return True


async def note_delivery(tx: Transaction, channel: str, far_id: str, delivery: int) -> str | None:
    """Note what a receipt says of a row; its address when that was news. A final word sticks."""
    statement = (
        update(outbox)
        .where(
            outbox.c.channel == channel,
            outbox.c.far_id == far_id,
            outbox.c.delivery < delivery,
            outbox.c.delivery.not_in((DELIVERED, UNDELIVERED)),
        )
        .values(delivery=delivery)
        .returning(outbox.c.address)
    )
    found = (await tx.execute(statement)).first()
    return None if found is None else str(found.address)
