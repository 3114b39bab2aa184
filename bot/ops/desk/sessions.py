"""What lets an operator in once they were let in: sessions, and links that open one.

1. Both are secrets of 256 bits, kept as digests.
2. A session ends after an hour without a look (somebody else may sit there by then), and after half a day in any case:
   a working day. Both are common practice.
3. A link works once, within a quarter of an hour. A new one makes the earlier ones of the same operator worth nothing.
"""

from __future__ import annotations

from datetime import datetime, timedelta

from bot.ops.desk.keys import new_secret
from bot.store import operators
from bot.store.database import Transaction, milliseconds
from bot.store.operators import LINK, SESSION, Key, digest_of_secret

IDLE, LONGEST = timedelta(hours=1), timedelta(hours=12)
LINK_LASTS = timedelta(minutes=15)
NOTED_EVERY = timedelta(minutes=1)
"""How exactly it is known when a session was last seen: not every look costs a write."""


async def open_session(tx: Transaction, operator_id: int, now: datetime) -> str:
    """A new session; the secret that opens it."""
    return await _new(tx, operator_id, SESSION, now, LONGEST)


async def make_link(tx: Transaction, operator_id: int, now: datetime) -> str:
    """A new link; its secret."""
    await operators.drop_keys_of(tx, operator_id, [LINK])
    return await _new(tx, operator_id, LINK, now, LINK_LASTS)


def is_open(session: Key, now: datetime) -> bool:
    """Whether a session has neither run out nor been left alone for too long."""
    now_ms = milliseconds(now)
    seen_ms = session.used_ms if session.used_ms is not None else session.made_ms
    return now_ms < session.expires_ms and now_ms - seen_ms < IDLE // timedelta(milliseconds=1)


def is_to_be_noted(session: Key, now: datetime) -> bool:
    """Whether it is time to write down that a session was seen."""
    seen_ms = session.used_ms if session.used_ms is not None else session.made_ms
    return milliseconds(now) - seen_ms >= NOTED_EVERY // timedelta(milliseconds=1)


async def _new(tx: Transaction, operator_id: int, kind: str, now: datetime, lasts: timedelta) -> str:
    secret = new_secret()
    await operators.add_key(
        tx,
        Key(
            digest=digest_of_secret(secret),
            operator_id=operator_id,
            kind=kind,
            made_ms=milliseconds(now),
            expires_ms=milliseconds(now + lasts),
        ),
    )
    return secret
