"""Questions that were passed to a person, until somebody has answered them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import and_, delete, func, insert, select, update

from bot.store.database import Transaction, values_of
from bot.store.inbox import CLOCK
from bot.store.schema import handover, inbox


@dataclass(frozen=True, slots=True, kw_only=True)
class NewHandover:
    """A question for a person, in the homeowner's words, and the lawn it is about."""

    homeowner_id: int
    inbox_id: int | None
    lawn: int | None
    question: str
    at_ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredHandover:
    """A question that was passed on; `closed_ms` is None while it is open."""

    id: int
    homeowner_id: int
    lawn: int | None
    question: str
    at_ms: int
    closed_ms: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class WaitingQuestion(StoredHandover):
    """A question that is open. `is_left`: a person held the talk and left it unanswered, until the bot took it back."""

    is_left: bool


_COLUMNS = (
    handover.c.id,
    handover.c.homeowner_id,
    handover.c.lawn,
    handover.c.question,
    handover.c.at_ms,
    handover.c.closed_ms,
)


async def add(tx: Transaction, handovers: Sequence[NewHandover]) -> None:
    """Pass questions on."""
    await tx.execute(insert(handover), [values_of(row) for row in handovers])


async def open_ones(tx: Transaction, at_most: int = 100) -> list[WaitingQuestion]:
    """Questions nobody has answered yet, oldest first."""
    is_left = and_(inbox.c.channel.is_not(None), inbox.c.channel == CLOCK).label("is_left")
    statement = (
        select(*_COLUMNS, is_left)
        .join_from(handover, inbox, inbox.c.id == handover.c.inbox_id, isouter=True)
        .where(handover.c.closed_ms.is_(None))
        .order_by(handover.c.at_ms, handover.c.id)
    )
    rows = await tx.execute(statement.limit(at_most))
    return [WaitingQuestion(**{**row._mapping, "is_left": bool(row.is_left)}) for row in rows]


async def how_many_open(tx: Transaction) -> int:
    """How many questions nobody has answered yet."""
    statement = select(func.count()).select_from(handover).where(handover.c.closed_ms.is_(None))
    return int((await tx.execute(statement)).scalar_one())


async def by_id(tx: Transaction, handover_id: int) -> StoredHandover | None:
    """A question that was passed on, open or not."""
    row = (await tx.execute(select(*_COLUMNS).where(handover.c.id == handover_id))).first()
    return StoredHandover(**row._mapping) if row else None


async def of_homeowner(tx: Transaction, homeowner_id: int) -> list[StoredHandover]:
    """Every question of a homeowner that was passed on, in order."""
    statement = select(*_COLUMNS).where(handover.c.homeowner_id == homeowner_id).order_by(handover.c.id)
    return [StoredHandover(**row._mapping) for row in await tx.execute(statement)]


async def close(tx: Transaction, handover_id: int, at_ms: int) -> bool:
    """Note that a question was answered; False when it was closed before or does not exist."""
    statement = update(handover).where(handover.c.id == handover_id, handover.c.closed_ms.is_(None))
    return (await tx.execute(statement.values(closed_ms=at_ms))).rowcount == 1


async def erase_of(tx: Transaction, homeowner_ids: Sequence[int]) -> None:
    """Remove every question of these homeowners."""
    await tx.execute(delete(handover).where(handover.c.homeowner_id.in_(homeowner_ids)))
