"""Regions: areas with a name that somebody answers for. An ended one keeps its row, for what was done in it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import insert, select, update

from bot.store.database import Transaction, values_of
from bot.store.desk_schema import region


@dataclass(frozen=True, slots=True, kw_only=True)
class NewRegion:
    """A region to keep. `shape` is JSON text; `operator_id` None: nobody in particular answers for it."""

    name: str
    shape: str
    operator_id: int | None
    made_ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredRegion:
    """A region's row; `ended_ms` None while it counts."""

    id: int
    name: str
    shape: str
    operator_id: int | None
    made_ms: int
    ended_ms: int | None


_COLUMNS = tuple(region.c[name] for name in StoredRegion.__slots__)


async def add(tx: Transaction, new: NewRegion) -> int:
    """Keep a region; its id. The name must be free."""
    made = await tx.execute(insert(region).returning(region.c.id), values_of(new))
    return int(made.scalar_one())


async def everything(tx: Transaction) -> Sequence[StoredRegion]:
    """Every region there is or was, oldest first. There are dozens, not thousands."""
    return [StoredRegion(**row._mapping) for row in await tx.execute(select(*_COLUMNS).order_by(region.c.id))]


async def by_id(tx: Transaction, region_id: int) -> StoredRegion | None:
    """A region, ended or not."""
    row = (await tx.execute(select(*_COLUMNS).where(region.c.id == region_id))).first()
    return StoredRegion(**row._mapping) if row else None


async def end(tx: Transaction, region_id: int, at_ms: int) -> bool:
    """End a region; False when it had ended before, or is none."""
    statement = update(region).where(region.c.id == region_id, region.c.ended_ms.is_(None))
    return (await tx.execute(statement.values(ended_ms=at_ms))).rowcount == 1
