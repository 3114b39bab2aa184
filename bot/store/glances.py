"""Rows of `glance`: what operators may know of each lawn, and which homeowners' rows are out of date.

`homeowner.glanced_rev` says of which revision the rows tell. Where it is not the present one, the partial index
`ix_homeowner_unglanced` finds the homeowner; its condition must stand in the statement as it stands in the index.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass
from typing import Any

from sqlalchemy import Row, bindparam, delete, func, insert, select, update

from bot.store.database import Transaction, values_of
from bot.store.desk_schema import glance
from bot.store.schema import homeowner

NEVER = -1
"""A `glanced_rev` no homeowner has: their rows are worked out anew."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredGlance:
    """One lawn's row. Places in hundredths of a degree, temperatures in tenths of a degree C.

    hours, unasked_on, is_held : of its owner, what decides whether they may be written to; None: their document tells
    """

    homeowner_id: int
    lawn: int
    latitude_e2: int | None
    longitude_e2: int | None
    zip: str | None
    county: str | None
    state: str | None
    zone: str
    language: str
    grass: str | None
    cultivar: str | None
    stage: str
    is_quiet: int
    crown_min_dc: int | None
    soil_min_dc: int | None
    alive_percent: int | None
    heard_ms: int
    hours: str | None = None
    unasked_on: str | None = None
    is_held: int | None = None
    is_active_lawn: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class OutOfDate:
    """A homeowner whose rows do not tell of their present revision."""

    id: int
    doc: str | None
    rev: int
    heard_ms: int


_OUT_OF_DATE = (
    select(homeowner.c.id, homeowner.c.doc, homeowner.c.rev, homeowner.c.heard_ms)
    .where(homeowner.c.glanced_rev != homeowner.c.rev)  # as the index has it
    .order_by(homeowner.c.id)
    .limit(bindparam("at_most"))
)
_DELETE = delete(glance).where(glance.c.homeowner_id.in_(bindparam("ids", expanding=True)))
_STILL_THERE = select(homeowner.c.id).where(homeowner.c.id.in_(bindparam("ids", expanding=True)))
_GLANCED = update(homeowner).where(homeowner.c.id == bindparam("of_id")).values(glanced_rev=bindparam("of_rev"))


async def out_of_date(tx: Transaction, at_most: int) -> list[OutOfDate]:
    """Some homeowners whose rows are out of date."""
    return [OutOfDate(**row._mapping) for row in await tx.execute(_OUT_OF_DATE, {"at_most": at_most})]


async def count_out_of_date(tx: Transaction) -> int:
    """How many homeowners' rows are out of date."""
    statement = select(func.count()).select_from(homeowner).where(homeowner.c.glanced_rev != homeowner.c.rev)
    return int((await tx.execute(statement)).scalar_one())


async def ids_out_of_date(tx: Transaction, at_most: int) -> list[int]:
    """The ids of some homeowners whose rows are out of date."""
    found = select(homeowner.c.id).where(homeowner.c.glanced_rev != homeowner.c.rev).order_by(homeowner.c.id)
    return [row.id for row in await tx.execute(found.limit(at_most))]


async def replace_of(tx: Transaction, revs: Iterable[tuple[int, int]], rows: Sequence[StoredGlance]) -> None:
    """Put these rows in the place of all those of some homeowners, given as (id, revision the rows tell of).

    Who was erased meanwhile gets none; who took a turn meanwhile stays out of date.
    """
    rev_of = dict(revs)
    there = {row.id for row in await tx.execute(_STILL_THERE, {"ids": list(rev_of)})}
    await tx.execute(_DELETE, {"ids": list(rev_of)})
    kept = [values_of(row) for row in rows if row.homeowner_id in there]
    if kept:
        await tx.execute(insert(glance), kept)
    if there:
        await tx.execute(_GLANCED, [{"of_id": of_id, "of_rev": rev_of[of_id]} for of_id in sorted(there)])


async def look_again(tx: Transaction, after_id: int, at_most: int) -> int | None:
    """Have the rows of the next homeowners worked out anew, in the order of their ids; the last id, None at the end.

    For when what is known beside their answers has changed: a correction, an operator's report, other weather.
    """
    following = select(homeowner.c.id).where(homeowner.c.id > after_id).order_by(homeowner.c.id).limit(at_most)
    last_id: int | None = (await tx.execute(select(func.max(following.subquery().c.id)))).scalar()
    if last_id is not None:
        ids = homeowner.c.id.between(after_id + 1, last_id)
        await tx.execute(update(homeowner).where(ids).values(glanced_rev=NEVER))
    return last_id


async def of_homeowners(tx: Transaction, homeowner_ids: Sequence[int]) -> list[StoredGlance]:
    """The rows of these homeowners, in order."""
    statement = select(glance).where(glance.c.homeowner_id.in_(homeowner_ids))
    return [_stored(row) for row in await tx.execute(statement.order_by(glance.c.homeowner_id, glance.c.lawn))]


async def erase_of(tx: Transaction, homeowner_ids: Sequence[int]) -> None:
    """Remove every row of these homeowners."""
    await tx.execute(_DELETE, {"ids": list(homeowner_ids)})


def plain(row: StoredGlance) -> dict[str, object]:
    """A row as its owner may read it."""
    kept = asdict(row)
    del kept["homeowner_id"]
    return kept


def _stored(row: Row[*tuple[Any, ...]]) -> StoredGlance:
    return StoredGlance(**row._mapping)
