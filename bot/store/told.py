"""Whether anybody told something since a moment: two numbers that only rise, each found at the end of an index."""

from __future__ import annotations

from sqlalchemy import func, select

from bot.store.database import Transaction
from bot.store.schema import homeowner, inbox


async def told_until(tx: Transaction) -> tuple[int, int]:
    """The newest homeowner and the newest thing that came in. The same numbers: nothing was told meanwhile."""
    newest = (select(func.coalesce(func.max(table.c.id), 0)).scalar_subquery() for table in (homeowner, inbox))
    row = (await tx.execute(select(*newest))).one()
    return int(row[0]), int(row[1])
