"""Codes with which a homeowner moves to another chat, who tried one, and what a move does to rows.

1. A code is 36 bits of chance that live for half an hour, and all strangers together have 50 wrong tries an hour: with
   a thousand codes open at every moment, one is guessed in some two hundred years. So a fast digest is enough, where a
   password would need a slow one. It is keyed with the data folder's secret: the table alone gives no code away.
2. One open code a homeowner. A used one is kept for a week: for so long the move can be taken back.
3. Wrong tries are counted here, so a restart forgets none, and so does no wish to be forgotten. Addresses stand here
   as digests, and go after the hour.
4. The digest of a used code is needed no more. In its place stands the digest of the address that joined with it, so
   that a chat may be told from those that joined after it.
"""

from __future__ import annotations

import hashlib
import secrets
from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import ColumnElement, Table, and_, delete, exists, func, insert, or_, select, update

from bot.store import homeowners
from bot.store.database import Transaction, insert_into, secret_of
from bot.store.homeowners import Contact
from bot.store.reaches import digest_of
from bot.store.schema import (
    REPLY,
    STATE_PENDING,
    contact,
    handover,
    inbox,
    move_code,
    move_try,
    outbox,
    photo,
)
from bot.talk.understand.move_codes import ALPHABET, LENGTH, is_sound

MINUTE_MS = 60_000
HOUR_MS = 60 * MINUTE_MS
CODE_MS = 30 * MINUTE_MS
TAKE_BACK_MS = 7 * 24 * HOUR_MS
WRONG_OF_ONE, WRONG_OF_ALL = 5, 50
"""Wrong codes an hour: from one address, and from all together."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """An open code, and whose it is."""

    id: int
    homeowner_id: int


def new_code() -> str:
    """A code nobody can guess."""
    while True:
        code = "".join(secrets.choice(ALPHABET) for _ in range(LENGTH))
        if is_sound(code):
            return code


# --- codes ------------------------------------------------------------------------------------------------------


async def offer(tx: Transaction, codes: Sequence[tuple[int, str]], now_ms: int) -> None:
    """Store new codes (homeowner id, code). They take the place of the open ones."""
    await cancel(tx, [homeowner_id for homeowner_id, _ in codes])
    await drop_old(tx, now_ms)
    rows = [
        {
            "homeowner_id": homeowner_id,
            "digest": _digest(tx, code),
            "made_ms": now_ms,
            "expires_ms": now_ms + CODE_MS,
        }
        for homeowner_id, code in codes
    ]
    await tx.execute(insert(move_code), rows)


async def find(tx: Transaction, code: str, now_ms: int) -> Found | None:
    """The open code that was typed, if it is one."""
    statement = select(move_code.c.id, move_code.c.homeowner_id).where(
        move_code.c.digest == _digest(tx, code), move_code.c.used_ms.is_(None), move_code.c.expires_ms > now_ms
    )
    row = (await tx.execute(statement)).first()
    return Found(id=row.id, homeowner_id=row.homeowner_id) if row else None


async def use(tx: Transaction, code_id: int, by: Contact, now_ms: int) -> None:
    """A code is used up by whoever writes from an address."""
    values = {"used_ms": now_ms, "digest": f"{_mark(tx, by)}{_OF}{code_id}"}
    await tx.execute(update(move_code).where(move_code.c.id == code_id).values(values))


async def cancel(tx: Transaction, homeowner_ids: Sequence[int]) -> None:
    """Take back the open codes of these homeowners."""
    is_open = and_(move_code.c.homeowner_id.in_(homeowner_ids), move_code.c.used_ms.is_(None))
    await tx.execute(delete(move_code).where(is_open))


async def erase_of(tx: Transaction, homeowner_ids: Sequence[int]) -> None:
    """Remove every code of these homeowners."""
    await tx.execute(delete(move_code).where(move_code.c.homeowner_id.in_(homeowner_ids)))


async def drop_old(tx: Transaction, now_ms: int) -> None:
    """Remove codes and tries that nothing asks about any more."""
    has_run_out = and_(move_code.c.used_ms.is_(None), move_code.c.expires_ms <= now_ms)
    was_used_long_ago = move_code.c.used_ms <= now_ms - TAKE_BACK_MS
    await tx.execute(delete(move_code).where(or_(has_run_out, was_used_long_ago)))
    await tx.execute(delete(move_try).where(move_try.c.at_ms <= now_ms - HOUR_MS))


def _digest(tx: Transaction, code: str) -> str:
    return hashlib.blake2b(code.encode("ascii"), key=secret_of(tx), digest_size=16, person=b"move").hexdigest()


# --- wrong ones -------------------------------------------------------------------------------------------------


async def may_try(tx: Transaction, from_: Contact, now_ms: int) -> bool:
    """Whether a code may be looked up for somebody, or too many were wrong in the last hour."""
    is_theirs = and_(move_try.c.channel == from_[0], move_try.c.address == _mark(tx, from_))
    counted = select(func.count(), func.count().filter(is_theirs)).where(move_try.c.at_ms > now_ms - HOUR_MS)
    of_all, of_one = (await tx.execute(counted)).one()
    return bool(of_all < WRONG_OF_ALL and of_one < WRONG_OF_ONE)


async def note_wrong(tx: Transaction, from_: Contact, now_ms: int) -> None:
    """Count a wrong code."""
    await tx.execute(delete(move_try).where(move_try.c.at_ms <= now_ms - HOUR_MS))
    row = {"channel": from_[0], "address": _mark(tx, from_), "at_ms": now_ms}
    await tx.execute(insert(move_try).values(row))


# --- moving -----------------------------------------------------------------------------------------------------


async def has_more_than_words(tx: Transaction, homeowner_id: int) -> bool:
    """Whether a homeowner sent a photo, asked a person something, or writes from other addresses too."""
    held = (select(table.c.id).where(table.c.homeowner_id == homeowner_id) for table in (photo, handover))
    if (await tx.execute(select(or_(*(exists(each) for each in held))))).scalar():
        return True
    return len(await homeowners.contacts_of(tx, homeowner_id)) > 1


async def link(tx: Transaction, to: Contact, homeowner_id: int) -> None:
    """Whoever writes from an address is this homeowner from now on."""
    statement = insert_into(tx, contact).values(channel=to[0], address=to[1], homeowner_id=homeowner_id)
    await tx.execute(
        statement.on_conflict_do_update(
            index_elements=["channel", "address"], set_={"homeowner_id": statement.excluded.homeowner_id}
        )
    )


async def unlink(tx: Transaction, from_: Contact, homeowner_id: int) -> None:
    """Whoever writes from an address is not this homeowner, and gets nothing more of theirs."""
    await tx.execute(delete(contact).where(*_at(contact, from_), contact.c.homeowner_id == homeowner_id))
    await tx.execute(delete(outbox).where(*_at(outbox, from_), *_waiting(homeowner_id)))


async def redirect_reminders(tx: Transaction, from_: Contact, to: Contact, homeowner_id: int) -> None:
    """What nobody asked for and was not tried yet goes to another address."""
    untried = (*_at(outbox, from_), *_waiting(homeowner_id), outbox.c.urgency != REPLY, outbox.c.attempts == 0)
    values = {"channel": to[0], "address": to[1], "next_try_ms": 0, "fence": 0}  # a fence counts within one channel
    await tx.execute(update(outbox).where(*untried).values(values))


async def rewrite(tx: Transaction, inbox_id: int, homeowner_id: int, body: str) -> None:
    """A message is of this homeowner, and is kept as something else than what was typed."""
    await tx.execute(update(inbox).where(inbox.c.id == inbox_id).values(homeowner_id=homeowner_id, body=body))


async def joined_after(tx: Transaction, here: Contact, homeowner_id: int, now_ms: int) -> set[Contact]:
    """The linked addresses that joined by a move of the last week, and later than this one did."""
    statement = (
        select(move_code.c.digest, move_code.c.used_ms, move_code.c.id)
        .where(move_code.c.homeowner_id == homeowner_id, move_code.c.used_ms > now_ms - TAKE_BACK_MS)
        .order_by(move_code.c.used_ms, move_code.c.id)
    )
    joined = {row.digest.partition(_OF)[0]: (row.used_ms, row.id) for row in await tx.execute(statement)}
    since = joined.get(_mark(tx, here), _EVER)
    linked = await homeowners.contacts_of(tx, homeowner_id)
    return {each for each in linked if each != here and joined.get(_mark(tx, each), _EVER) > since}


_OF = "/"
_EVER = (0, 0)


def _mark(tx: Transaction, of: Contact) -> str:
    return digest_of(secret_of(tx), *of)


def _at(table: Table, where: Contact) -> tuple[ColumnElement[bool], ...]:
    return table.c.channel == where[0], table.c.address == where[1]


def _waiting(homeowner_id: int) -> tuple[ColumnElement[bool], ...]:
    return outbox.c.homeowner_id == homeowner_id, outbox.c.state == STATE_PENDING
