"""What people of ours write down about a homeowner for each other. It is stored about the homeowner: theirs to see."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import delete, insert, select

from bot.store.database import Transaction, values_of
from bot.store.desk_schema import case_note, operator


@dataclass(frozen=True, slots=True, kw_only=True)
class NewNote:
    """A note about a homeowner. `operator_id` None: by whoever runs this, at the command line."""

    homeowner_id: int
    operator_id: int | None
    at_ms: int
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredNote:
    """A note as it stands, with who wrote it ("" for whoever runs this)."""

    id: int
    at_ms: int
    words: str
    by: str


async def add(tx: Transaction, note: NewNote) -> int:
    """Write a note down; its id."""
    made = await tx.execute(insert(case_note).returning(case_note.c.id), values_of(note))
    return int(made.scalar_one())


async def of_homeowner(tx: Transaction, homeowner_id: int) -> list[StoredNote]:
    """The notes about a homeowner, in order."""
    statement = (
        select(case_note.c.id, case_note.c.at_ms, case_note.c.words, operator.c.name)
        .join_from(case_note, operator, operator.c.id == case_note.c.operator_id, isouter=True)
        .where(case_note.c.homeowner_id == homeowner_id)
        .order_by(case_note.c.id)
    )
    rows = await tx.execute(statement)
    return [StoredNote(id=row.id, at_ms=row.at_ms, words=row.words, by=row.name or "") for row in rows]


async def erase_of(tx: Transaction, homeowner_ids: Sequence[int]) -> None:
    """Remove every note about these homeowners."""
    await tx.execute(delete(case_note).where(case_note.c.homeowner_id.in_(homeowner_ids)))
