"""What came in, before anybody has read it; and how far each channel has got.

A row that was read loses its body and the far side's id at once, and is kept for a week as a digest, so that a repeat
has no effect. What could not be read keeps both, for a person to look at.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta

from sqlalchemy import bindparam, delete, exists, select, update

from bot.arrivals import NewArrival, StoredArrival
from bot.store.database import Transaction, insert_into, instant, milliseconds
from bot.store.inbox import digest
from bot.store.schema import HELD, READ, STATE_PENDING, UNREADABLE, WAITING, arrival, cursor

_ERASED = {"body": "", "external_id": "", "bundle": None, "error": None}


@dataclass(frozen=True, slots=True, kw_only=True)
class Waiting:
    """An arrival that waits, with when it may be read and what it is read together with."""

    arrival: StoredArrival
    channel: str
    due_ms: int
    bundle: str | None


_WAITING = (
    select(
        arrival.c.id,
        arrival.c.channel,
        arrival.c.external_id,
        arrival.c.address,
        arrival.c.at_ms,
        arrival.c.body,
        arrival.c.attempts,
        arrival.c.due_ms,
        arrival.c.bundle,
    )
    .where(arrival.c.state == STATE_PENDING, arrival.c.id > bindparam("after"))
    .order_by(arrival.c.id)
    .limit(bindparam("at_most"))
)
_READ = update(arrival).where(arrival.c.id.in_(bindparam("ids", expanding=True))).values(state=READ, **_ERASED)
_POSTPONE = (
    update(arrival)
    .where(arrival.c.id.in_(bindparam("ids", expanding=True)))
    .values(due_ms=bindparam("to_ms"), attempts=arrival.c.attempts + 1, error=bindparam("with_error"))
)


async def add(tx: Transaction, channel: str, arrivals: Sequence[NewArrival], now_ms: int) -> None:
    """Store arrivals; repeats are left out."""
    statement = insert_into(tx, arrival).on_conflict_do_nothing(index_elements=["channel", "external_digest"])
    await tx.execute(statement, [_row(channel, each, now_ms) for each in arrivals])


def _row(channel: str, each: NewArrival, now_ms: int) -> dict[str, object]:
    wait_ms = each.wait // timedelta(milliseconds=1)
    return {
        "channel": channel,
        "external_digest": digest(channel, each.external_id),
        "external_id": each.external_id,
        "address": each.address,
        "bundle": each.group,
        "at_ms": milliseconds(each.at),
        "kept_ms": now_ms,
        "due_ms": now_ms + wait_ms if wait_ms else 0,
        "body": each.body,
    }


async def waiting(tx: Transaction, after: int, at_most: int) -> list[Waiting]:
    """What waits to be read, in order, from after an id."""
    return [
        Waiting(
            arrival=StoredArrival(
                id=row.id,
                external_id=row.external_id,
                address=row.address,
                at=instant(row.at_ms),
                body=row.body,
                attempts=row.attempts,
            ),
            channel=row.channel,
            due_ms=row.due_ms,
            bundle=row.bundle,
        )
        for row in await tx.execute(_WAITING, {"after": after, "at_most": at_most})
    ]


async def mark_read(tx: Transaction, ids: Sequence[int]) -> None:
    """Note that arrivals were read; only what a repeat is known by stays."""
    await tx.execute(_READ, {"ids": list(ids)})


async def postpone(tx: Transaction, ids: Sequence[int], to_ms: int, error: str) -> None:
    """Read these again later."""
    await tx.execute(_POSTPONE, {"ids": list(ids), "to_ms": to_ms, "with_error": error})


async def give_up(tx: Transaction, ids: Sequence[int], error: str) -> None:
    """Keep these unread for a person to look at."""
    await tx.execute(update(arrival).where(arrival.c.id.in_(ids)).values(state=UNREADABLE, error=error))


async def hold(tx: Transaction, ids: Sequence[int]) -> None:
    """Leave these unread until their address consents."""
    await tx.execute(update(arrival).where(arrival.c.id.in_(ids)).values(state=HELD))


async def release(tx: Transaction, channel: str, address: str) -> None:
    """An address consented: what was held is read now."""
    held = update(arrival).where(arrival.c.channel == channel, arrival.c.address == address, arrival.c.state == HELD)
    await tx.execute(held.values(state=WAITING, due_ms=0))


async def is_held(tx: Transaction, channel: str, address: str) -> bool:
    """Whether anything of an address waits for its consent."""
    held = exists().where(arrival.c.channel == channel, arrival.c.address == address, arrival.c.state == HELD)
    return bool((await tx.execute(select(held))).scalar())


async def drop_held(tx: Transaction, channel: str, address: str) -> None:
    """An address said no: what was held is not read any more."""
    held = update(arrival).where(arrival.c.channel == channel, arrival.c.address == address, arrival.c.state == HELD)
    await tx.execute(held.values(state=READ, **_ERASED))


async def erase_of(tx: Transaction, channel: str, address: str) -> None:
    """Blank everything from an address."""
    of_address = update(arrival).where(arrival.c.channel == channel, arrival.c.address == address)
    await tx.execute(of_address.values(state=READ, address="", **_ERASED))


async def drop_old(tx: Transaction, before_ms: int) -> int:
    """Remove digests of what was read before an instant; how many."""
    return (await tx.execute(delete(arrival).where(arrival.c.state == READ, arrival.c.kept_ms < before_ms))).rowcount


async def cursor_of(tx: Transaction, channel: str) -> int | None:
    """How far a channel had got."""
    found = (await tx.execute(select(cursor.c.value).where(cursor.c.channel == channel))).scalar()
    return None if found is None else int(found)


async def set_cursor(tx: Transaction, channel: str, value: int) -> None:
    """Note how far a channel has got."""
    statement = insert_into(tx, cursor).values(channel=channel, value=value)
    await tx.execute(statement.on_conflict_do_update(index_elements=["channel"], set_={"value": value}))
