"""What operators say of their regions, piece by piece. A piece that is said anew keeps its older rows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import insert, select, update

from bot.store.database import Transaction, values_of
from bot.store.desk_schema import local_rule


@dataclass(frozen=True, slots=True, kw_only=True)
class NewLocalRule:
    """A piece to keep. `doc` None: nothing is said of it any more."""

    region_id: int
    piece: str
    doc: str | None
    made_by: int | None
    made_ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredLocalRule:
    """A piece's row; `undone_ms` None while it was not taken back."""

    id: int
    region_id: int
    piece: str
    doc: str | None
    made_by: int | None
    made_ms: int
    undone_by: int | None
    undone_ms: int | None


_COLUMNS = tuple(local_rule.c[name] for name in StoredLocalRule.__slots__)


async def add(tx: Transaction, new: NewLocalRule) -> int:
    """Keep a piece; its id."""
    made = await tx.execute(insert(local_rule).returning(local_rule.c.id), values_of(new))
    return int(made.scalar_one())


async def everything(tx: Transaction) -> Sequence[StoredLocalRule]:
    """Every piece that is or was said, oldest first. There are hundreds, not thousands."""
    rows = await tx.execute(select(*_COLUMNS).order_by(local_rule.c.id))
    return [StoredLocalRule(**row._mapping) for row in rows]


async def undo(tx: Transaction, rule_id: int, by: int | None, at_ms: int) -> bool:
    """Take a piece back; False when it was before, or is none."""
    statement = update(local_rule).where(local_rule.c.id == rule_id, local_rule.c.undone_ms.is_(None))
    return (await tx.execute(statement.values(undone_by=by, undone_ms=at_ms))).rowcount == 1
