"""Which photos a homeowner sent, and where the conversation filed them. The files are in `files.py`."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import bindparam, delete, select

from bot.store.database import Transaction, insert_into, values_of
from bot.store.schema import photo


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrival:
    """A photo as it came in."""

    homeowner_id: int
    photo_id: str
    received_ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Filing:
    """Where a photo belongs: the lawn, the spot, and the local day it shows."""

    homeowner_id: int
    photo_id: str
    received_ms: int
    lawn: int
    spot: str
    shown_on: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredPhoto:
    """A photo row; lawn, spot and day are None until it is filed."""

    photo_id: str
    received_ms: int
    lawn: int | None
    spot: str | None
    shown_on: str | None


async def arrived(tx: Transaction, arrivals: Sequence[Arrival]) -> None:
    """Note photos as they come in; one that came before is left as it is."""
    statement = insert_into(tx, photo).on_conflict_do_nothing(index_elements=["homeowner_id", "photo_id"])
    await tx.execute(statement, [values_of(arrival) for arrival in arrivals])


async def file(tx: Transaction, filings: Sequence[Filing]) -> None:
    """File photos; a photo filed before moves to the new place."""
    statement = insert_into(tx, photo)
    new = statement.excluded
    upsert = statement.on_conflict_do_update(
        index_elements=["homeowner_id", "photo_id"],
        set_={"lawn": new.lawn, "spot": new.spot, "shown_on": new.shown_on},
    )
    await tx.execute(upsert, [values_of(filing) for filing in filings])


async def of_homeowner(tx: Transaction, homeowner_id: int) -> list[StoredPhoto]:
    """A homeowner's photos in the order they came."""
    columns = (photo.c.photo_id, photo.c.received_ms, photo.c.lawn, photo.c.spot, photo.c.shown_on)
    statement = select(*columns).where(photo.c.homeowner_id == homeowner_id).order_by(photo.c.id)
    return [StoredPhoto(**row._mapping) for row in await tx.execute(statement)]


async def belongs_to(tx: Transaction, photo_id: str, homeowner_id: int) -> bool:
    """Whether a homeowner sent this photo, so that nobody is shown another's."""
    statement = select(photo.c.id).where(photo.c.homeowner_id == homeowner_id, photo.c.photo_id == photo_id)
    return (await tx.execute(statement)).first() is not None


async def erase_of(tx: Transaction, homeowner_ids: Sequence[int]) -> set[str]:
    """Remove the rows of these homeowners; the photos that nobody else sent, so that their files can go."""
    theirs = select(photo.c.photo_id).where(photo.c.homeowner_id.in_(homeowner_ids))
    sent = {row.photo_id for row in await tx.execute(theirs)}
    await tx.execute(delete(photo).where(photo.c.homeowner_id.in_(homeowner_ids)))
    return sent - await known(tx, sent)


async def known(tx: Transaction, photo_ids: set[str]) -> set[str]:
    """Those of these photos that somebody's row still names."""
    statement = select(photo.c.photo_id).where(photo.c.photo_id.in_(bindparam("ids", expanding=True)))
    found: set[str] = set()
    listed = sorted(photo_ids)
    for start in range(0, len(listed), 500):
        rows = await tx.execute(statement, {"ids": listed[start : start + 500]})
        found |= {row.photo_id for row in rows}
    return found
