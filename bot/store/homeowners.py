"""Homeowners and the addresses they write from."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Row, bindparam, delete, exists, func, insert, select, update

from bot.store.database import Transaction, values_of
from bot.store.schema import contact, homeowner

Contact = tuple[str, str]
"""A channel's name and an address on it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredHomeowner:
    """A homeowner's row: the document as text (None: nothing could be made of what they wrote so far)."""

    id: int
    doc: str | None
    rev: int
    channel: str
    address: str


@dataclass(frozen=True, slots=True, kw_only=True)
class NewHomeowner:
    """A homeowner nobody had heard of, and where they wrote from."""

    doc: str | None
    rev: int
    channel: str
    address: str
    heard_ms: int


_COLUMNS = (homeowner.c.id, homeowner.c.doc, homeowner.c.rev, homeowner.c.channel, homeowner.c.address)
_BY_CONTACT = (
    select(contact.c.channel.label("at_channel"), contact.c.address.label("at_address"), *_COLUMNS)
    .join(homeowner, homeowner.c.id == contact.c.homeowner_id)
    .where(
        contact.c.channel == bindparam("at_channel"), contact.c.address.in_(bindparam("at_addresses", expanding=True))
    )
    .with_for_update(of=homeowner)
)
_BY_ID = select(*_COLUMNS).where(homeowner.c.id.in_(bindparam("ids", expanding=True)))
_BY_ID_TO_CHANGE = _BY_ID.with_for_update()
_SAVE = (
    update(homeowner)
    .where(homeowner.c.id == bindparam("of_id"))
    .values(
        doc=bindparam("doc"),
        rev=bindparam("rev"),
        channel=bindparam("channel"),
        address=bindparam("address"),
        heard_ms=bindparam("heard_ms"),
    )
)
_SAVE_UNHEARD = (
    update(homeowner).where(homeowner.c.id == bindparam("of_id")).values(doc=bindparam("doc"), rev=bindparam("rev"))
)


def _stored(row: Row[*tuple[Any, ...]]) -> StoredHomeowner:
    return StoredHomeowner(id=row.id, doc=row.doc, rev=row.rev, channel=row.channel, address=row.address)


async def by_contact(tx: Transaction, contacts: Iterable[Contact]) -> dict[Contact, StoredHomeowner]:
    """Who writes from these addresses; an address nobody has written from before is not in the answer.

    One statement a channel: a list of pairs would make SQLite read the whole table.
    """
    addresses: defaultdict[str, set[str]] = defaultdict(set)
    for channel, address in contacts:
        addresses[channel].add(address)
    found: dict[Contact, StoredHomeowner] = {}
    for channel, of_channel in addresses.items():
        rows = await tx.execute(_BY_CONTACT, {"at_channel": channel, "at_addresses": sorted(of_channel)})
        found |= {(row.at_channel, row.at_address): _stored(row) for row in rows}
    return found


async def by_id(tx: Transaction, ids: Iterable[int], *, to_change: bool = False) -> dict[int, StoredHomeowner]:
    """Homeowners by their ids; one who was erased is not in the answer. `to_change` keeps others from doing so."""
    rows = await tx.execute(_BY_ID_TO_CHANGE if to_change else _BY_ID, {"ids": list(ids)})
    return {row.id: _stored(row) for row in rows}


async def page(tx: Transaction, after_id: int, at_most: int) -> list[StoredHomeowner]:
    """The next homeowners in the order of their ids, for going through everybody."""
    statement = (
        select(*_COLUMNS).where(homeowner.c.id > after_id).order_by(homeowner.c.id).limit(at_most).with_for_update()
    )
    return [_stored(row) for row in await tx.execute(statement)]


async def add(tx: Transaction, newcomers: Sequence[NewHomeowner]) -> list[int]:
    """Store newcomers with their contacts; their ids in the same order."""
    rows = [{**values_of(newcomer), "created_ms": newcomer.heard_ms} for newcomer in newcomers]
    made = await tx.execute(insert(homeowner).returning(homeowner.c.id, sort_by_parameter_order=True), rows)
    ids = [row.id for row in made]
    await tx.execute(
        insert(contact),
        [
            {"channel": newcomer.channel, "address": newcomer.address, "homeowner_id": of_id}
            for newcomer, of_id in zip(newcomers, ids, strict=True)
        ],
    )
    return ids


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard:
    """A homeowner after they wrote: the new document, and where and when they were heard."""

    of_id: int
    doc: str | None
    rev: int
    channel: str
    address: str
    heard_ms: int


async def save_heard(tx: Transaction, heard: Sequence[Heard]) -> None:
    """Store homeowners who wrote. Reminders go to where somebody was last heard."""
    await tx.execute(_SAVE, [values_of(row) for row in heard])


async def save_unheard(tx: Transaction, docs: Sequence[tuple[int, str | None, int]]) -> None:
    """Store homeowners after a turn of our own (id, document, rev): where they were last heard stays."""
    await tx.execute(_SAVE_UNHEARD, [{"of_id": of_id, "doc": doc, "rev": rev} for of_id, doc, rev in docs])


async def find(tx: Transaction, channel: str, address: str) -> int | None:
    """The id of who writes from an address, or None."""
    statement = select(contact.c.homeowner_id).where(contact.c.channel == channel, contact.c.address == address)
    return (await tx.execute(statement)).scalar()


async def contacts_of(tx: Transaction, homeowner_id: int) -> list[Contact]:
    """Every address a homeowner has written from."""
    statement = select(contact.c.channel, contact.c.address).where(contact.c.homeowner_id == homeowner_id)
    rows = await tx.execute(statement.order_by(contact.c.channel, contact.c.address))
    return [(row.channel, row.address) for row in rows]


async def contacts_of_all(tx: Transaction, ids: Sequence[int]) -> list[Contact]:
    """Every address these homeowners have written from."""
    statement = select(contact.c.channel, contact.c.address).where(contact.c.homeowner_id.in_(ids))
    return [(row.channel, row.address) for row in await tx.execute(statement)]


async def latest_heard_ms(tx: Transaction, ids: Sequence[int]) -> int:
    """When the last of these was heard."""
    return int((await tx.execute(select(func.max(homeowner.c.heard_ms)).where(homeowner.c.id.in_(ids)))).scalar() or 0)


async def move_contact(tx: Transaction, channel: str, address: str, to_address: str) -> None:
    """An address is another one now. Where the new one is known already, it stays whose it is."""
    known = exists().where(contact.c.channel == channel, contact.c.address == to_address)
    if (await tx.execute(select(known))).scalar():
        return
    for table in (contact, homeowner):
        at_old = update(table).where(table.c.channel == channel, table.c.address == address)
        await tx.execute(at_old.values(address=to_address))


async def erase(tx: Transaction, ids: Sequence[int]) -> None:
    """Remove homeowners and their addresses. Everything that refers to them must be gone before."""
    await tx.execute(delete(contact).where(contact.c.homeowner_id.in_(ids)))
    await tx.execute(delete(homeowner).where(homeowner.c.id.in_(ids)))
