"""Everything that came in, once each, in order: what people wrote, and the reminders our own clock brought up.

The rows of one homeowner, folded through the conversation at the instants written beside them, give the stored
homeowner again. Of the channel's own message id only a digest is kept: it may hold a phone number, and it is needed for
nothing but telling a repeat. A row of somebody who was erased loses its body and its owner, and is kept for a week so
that a late repeat still has no effect.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import bindparam, delete, insert, select, update

from bot.store.database import Transaction, insert_into, instant, values_of
from bot.store.rows import load_incoming
from bot.store.schema import FAILED, HANDLED, inbox
from bot.talk.incoming import Incoming

CLOCK = "clock"
"""The channel of what our own clock brought up."""
DESK = "desk"
"""The channel of what people of ours did."""

MessageKey = tuple[str, str]
"""A channel's name and the digest of its own message id."""


def digest(channel: str, external_id: str) -> str:
    """What a message is known by: the same for every repeat, and nothing of the id can be read from it."""
    return hashlib.blake2b(f"{channel}\0{external_id}".encode(), digest_size=16).hexdigest()


@dataclass(frozen=True, slots=True, kw_only=True)
class NewMessage:
    """One thing that came in. `external_digest` is None for what our own clock brought up."""

    channel: str
    external_digest: str | None
    homeowner_id: int | None
    at_ms: int
    sent_ms: int
    body: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CameIn:
    """A stored message: when the conversation took it, what it was, and whether it could be handled."""

    id: int
    at: datetime
    incoming: Incoming
    is_handled: bool


_MARK_FAILED = update(inbox).where(inbox.c.id == bindparam("of_id")).values(state=FAILED, error=bindparam("with_error"))
_ASSIGN = update(inbox).where(inbox.c.id == bindparam("of_id")).values(homeowner_id=bindparam("to_homeowner"))
_BLANK = {"homeowner_id": None, "body": "", "error": None}


async def add(tx: Transaction, messages: Sequence[NewMessage]) -> dict[MessageKey, int]:
    """Store messages of people; those that were there already are left out of the answer."""
    statement = (
        insert_into(tx, inbox)
        .on_conflict_do_nothing(index_elements=["channel", "external_digest"])
        .returning(inbox.c.id, inbox.c.channel, inbox.c.external_digest)
    )
    rows = await tx.execute(statement, [values_of(message) for message in messages])
    return {(row.channel, row.external_digest): row.id for row in rows}


async def add_own(tx: Transaction, messages: Sequence[NewMessage]) -> dict[int, int]:
    """Store what our own clock brought up, at most one a homeowner: row ids by homeowner."""
    statement = insert(inbox).returning(inbox.c.id, inbox.c.homeowner_id)
    rows = await tx.execute(statement, [values_of(message) for message in messages])
    return {row.homeowner_id: row.id for row in rows}


async def mark_failed(tx: Transaction, errors: Mapping[int, str]) -> None:
    """Note that the conversation could not take these, with the kind of error and its place."""
    await tx.execute(_MARK_FAILED, [{"of_id": of_id, "with_error": error} for of_id, error in errors.items()])


async def assign(tx: Transaction, owners: Mapping[int, int | None]) -> None:
    """Say whose these rows are (row id to homeowner id); None for a newcomer who has no id yet."""
    await tx.execute(_ASSIGN, [{"of_id": of_id, "to_homeowner": owner} for of_id, owner in owners.items()])


async def blank(tx: Transaction, ids: Sequence[int]) -> None:
    """Take owner and body from rows, so that they serve for nothing but telling repeats."""
    await tx.execute(update(inbox).where(inbox.c.id.in_(ids)).values(_BLANK))


async def blank_of(tx: Transaction, homeowner_ids: Sequence[int]) -> None:
    """The same for every row of these homeowners."""
    await tx.execute(update(inbox).where(inbox.c.homeowner_id.in_(homeowner_ids)).values(_BLANK))


async def drop_blanked(tx: Transaction, before_ms: int) -> int:
    """Remove rows of the erased that are older than an instant; how many."""
    statement = delete(inbox).where(inbox.c.homeowner_id.is_(None), inbox.c.at_ms < before_ms)
    return (await tx.execute(statement)).rowcount


async def of_homeowner(tx: Transaction, homeowner_id: int, after: int = 0) -> list[CameIn]:
    """What came in for a homeowner since a row id, reminders included, in order."""
    statement = (
        select(inbox.c.id, inbox.c.at_ms, inbox.c.body, inbox.c.state)
        .where(inbox.c.homeowner_id == homeowner_id, inbox.c.id > after)
        .order_by(inbox.c.id)
    )
    return [
        CameIn(id=row.id, at=instant(row.at_ms), incoming=load_incoming(row.body), is_handled=row.state == HANDLED)
        for row in await tx.execute(statement)
    ]
