"""Who did what, when. Rows are only ever added."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from sqlalchemy import insert, select

from bot.store.database import Transaction, values_of
from bot.store.desk_schema import audit


@dataclass(frozen=True, slots=True, kw_only=True)
class Deed:
    """One thing an operator did. `operator_id` None: at the command line, by whoever runs this.

    `act` is a short word of our own ("approved"), `about` what it was done to ("advisory 3"). No message text and no
    address of a homeowner stands in either, nor in `detail`.
    """

    at_ms: int
    operator_id: int | None
    act: str
    about: str
    detail: str = ""


async def note(tx: Transaction, deed: Deed) -> None:
    """Write down what was done, in the transaction that does it."""
    await tx.execute(insert(audit), values_of(deed))


async def done_to(tx: Transaction, act: str, abouts: Collection[str]) -> frozenset[str]:
    """Those among some things that something was done to."""
    if not abouts:
        return frozenset()
    rows = await tx.execute(select(audit.c.about).where(audit.c.act == act, audit.c.about.in_(abouts)).distinct())
    return frozenset(rows.scalars())


async def latest(tx: Transaction, at_most: int = 200, before_id: int | None = None) -> Sequence[tuple[int, Deed]]:
    """The newest deeds first, each with its row's id; `before_id` goes on where an earlier page ended."""
    statement = select(audit).order_by(audit.c.id.desc()).limit(at_most)
    if before_id is not None:
        statement = statement.where(audit.c.id < before_id)
    rows = await tx.execute(statement)
    return [(row.id, Deed(**{name: getattr(row, name) for name in Deed.__slots__})) for row in rows]
