"""Corrections of an LT50 that operators adopted, and the stored homeowners they are learned from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import insert, select, update

from bot.store.database import Transaction, values_of
from bot.store.desk_schema import correction
from bot.store.schema import homeowner


@dataclass(frozen=True, slots=True, kw_only=True)
class NewCorrection:
    """A correction to keep. `region_id` None: everywhere. `cultivar` None: the grass. `doc`: the fit it came from."""

    region_id: int | None
    grass: str
    cultivar: str | None
    doc: str
    adopted_by: int | None
    adopted_ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredCorrection:
    """A correction's row; `undone_ms` None while it was not taken back."""

    id: int
    region_id: int | None
    grass: str
    cultivar: str | None
    doc: str
    adopted_by: int | None
    adopted_ms: int
    undone_by: int | None
    undone_ms: int | None


_COLUMNS = tuple(correction.c[name] for name in StoredCorrection.__slots__)


async def add(tx: Transaction, new: NewCorrection) -> int:
    """Keep a correction; its id."""
    made = await tx.execute(insert(correction).returning(correction.c.id), values_of(new))
    return int(made.scalar_one())


async def everything(tx: Transaction) -> Sequence[StoredCorrection]:
    """Every correction there is or was, oldest first. There are dozens, not thousands."""
    rows = await tx.execute(select(*_COLUMNS).order_by(correction.c.id))
    return [StoredCorrection(**row._mapping) for row in rows]


async def undo(tx: Transaction, correction_id: int, by: int | None, at_ms: int) -> bool:
    """Take a correction back; False when it was before, or is none."""
    statement = update(correction).where(correction.c.id == correction_id, correction.c.undone_ms.is_(None))
    return (await tx.execute(statement.values(undone_by=by, undone_ms=at_ms))).rowcount == 1


async def documents(tx: Transaction, after_id: int, at_most: int) -> Sequence[tuple[int, str]]:
    """The next homeowners with something to learn from, in the order of their ids: id and document."""
    statement = (
        select(homeowner.c.id, homeowner.c.doc)
        .where(homeowner.c.id > after_id, homeowner.c.doc.is_not(None))
        .order_by(homeowner.c.id)
        .limit(at_most)
    )
    return [(row.id, row.doc) for row in await tx.execute(statement)]
