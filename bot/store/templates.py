"""Words that are written often, kept under a name. Blanks in them are filled from the case they are used for."""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy import delete, select

from bot.store.database import Transaction, insert_into
from bot.store.desk_schema import template


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredTemplate:
    """A template: a short name, and its words."""

    id: int
    name: str
    words: str


_COLUMNS = (template.c.id, template.c.name, template.c.words)


async def put(tx: Transaction, name: str, words: str) -> int:
    """Keep words under a name, in the place of those that were kept under it; the id."""
    statement = insert_into(tx, template).values(name=name, words=words)
    upsert = statement.on_conflict_do_update(index_elements=["name"], set_={"words": statement.excluded.words})
    return int((await tx.execute(upsert.returning(template.c.id))).scalar_one())


async def every_one(tx: Transaction) -> list[StoredTemplate]:
    """All templates by name."""
    rows = await tx.execute(select(*_COLUMNS).order_by(template.c.name))
    return [StoredTemplate(**row._mapping) for row in rows]


async def by_id(tx: Transaction, template_id: int) -> StoredTemplate | None:
    """One template."""
    row = (await tx.execute(select(*_COLUMNS).where(template.c.id == template_id))).first()
    return StoredTemplate(**row._mapping) if row else None


async def drop(tx: Transaction, template_id: int) -> bool:
    """Remove a template; False when there is none of that id."""
    return (await tx.execute(delete(template).where(template.c.id == template_id))).rowcount == 1
