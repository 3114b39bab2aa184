"""Operators, what lets them in, and how often somebody tried. Secrets stand here as digests only."""

from __future__ import annotations

import hashlib
import hmac
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import and_, delete, insert, or_, select, update

from bot.store.database import Transaction, secret_of, values_of
from bot.store.desk_schema import desk_key, desk_try, operator

SESSION, LINK = "session", "link"


@dataclass(frozen=True, slots=True, kw_only=True)
class NewOperator:
    """Somebody who is let in from now on."""

    name: str
    role: str
    made_ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredOperator:
    """Somebody who is or was let in (`ended_ms`). `password` None: signs in by one-time links only."""

    id: int
    name: str
    role: str
    password: str | None
    made_ms: int
    ended_ms: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Key:
    """What lets an operator in: a session in a browser, or a link that works once.

    `used_ms` is when a session was last seen, and when a link was used up.
    """

    digest: str
    operator_id: int
    kind: str
    made_ms: int
    expires_ms: int
    used_ms: int | None = None


def folded(name: str) -> str:
    """A name as it is compared: "Ann  LEE" is "ann lee"."""
    return " ".join(unicodedata.normalize("NFKC", name).casefold().split())


def digest_of_secret(secret: str) -> str:
    """What is kept of a secret of 256 bits. Nobody can guess so much, so it needs no slow hash."""
    return hashlib.sha256(secret.encode("utf-8", "replace")).hexdigest()


def digest_of_trace(tx: Transaction, kind: str, trace: str) -> str:
    """What is kept of a name that was tried, or of where it was tried from: useless without the folder's secret."""
    return hmac.new(secret_of(tx), f"{kind}\0{trace}".encode("utf-8", "replace"), hashlib.sha256).hexdigest()


# --- who -----------------------------------------------------------------------------------------------------------

_COLUMNS = tuple(operator.c[name] for name in StoredOperator.__slots__)


async def add(tx: Transaction, new: NewOperator) -> int:
    """Let somebody in; their id."""
    found = (await tx.execute(insert(operator).returning(operator.c.id), values_of(new))).scalar_one()
    return int(found)


async def by_id(tx: Transaction, operator_id: int) -> StoredOperator | None:
    """An operator, let go or not."""
    row = (await tx.execute(select(*_COLUMNS).where(operator.c.id == operator_id))).first()
    return StoredOperator(**row._mapping) if row else None


async def by_name(tx: Transaction, name: str) -> StoredOperator | None:
    """Who is let in under a name, however it is typed; None for somebody who was let go."""
    wanted = folded(name)
    return next((each for each in await everybody(tx) if not each.ended_ms and folded(each.name) == wanted), None)


async def everybody(tx: Transaction) -> list[StoredOperator]:
    """Every operator there is or was, by name. There are dozens, not thousands."""
    rows = await tx.execute(select(*_COLUMNS).order_by(operator.c.name, operator.c.id))
    return [StoredOperator(**row._mapping) for row in rows]


async def set_role(tx: Transaction, operator_id: int, role: str) -> None:
    """Change what an operator may do."""
    await tx.execute(update(operator).where(operator.c.id == operator_id).values(role=role))


async def set_password(tx: Transaction, operator_id: int, hashed: str) -> None:
    """Keep the hash of a new password."""
    await tx.execute(update(operator).where(operator.c.id == operator_id).values(password=hashed))


async def end(tx: Transaction, operator_id: int, at_ms: int) -> None:
    """Let an operator go. The row stays, for who did what."""
    statement = update(operator).where(operator.c.id == operator_id)
    await tx.execute(statement.values(ended_ms=at_ms, password=None, channel=None, address=None))


@dataclass(frozen=True, slots=True, kw_only=True)
class Reached:
    """Where an operator gets their digest."""

    operator_id: int
    channel: str
    address: str


async def with_channel(tx: Transaction) -> list[Reached]:
    """Everybody who is let in and gets digests."""
    columns = (operator.c.id, operator.c.channel, operator.c.address)
    statement = select(*columns).where(operator.c.ended_ms.is_(None), operator.c.channel.is_not(None))
    rows = await tx.execute(statement.order_by(operator.c.id))
    return [Reached(operator_id=row.id, channel=row.channel, address=row.address) for row in rows]


async def set_channel(tx: Transaction, operator_id: int, channel: str | None, address: str | None) -> None:
    """Where an operator gets digests from now on; None for nowhere."""
    statement = update(operator).where(operator.c.id == operator_id)
    await tx.execute(statement.values(channel=channel, address=address))


# --- what lets them in ---------------------------------------------------------------------------------------------


async def add_key(tx: Transaction, key: Key) -> None:
    """From now on this lets its operator in."""
    await tx.execute(insert(desk_key), values_of(key))


async def key_of(tx: Transaction, kind: str, digest: str) -> tuple[Key, StoredOperator] | None:
    """A key and whose it is, with operators who were let go as well; None where there is none."""
    keys = [desk_key.c[name].label(f"key_{name}") for name in Key.__slots__]
    joined = select(*keys, *_COLUMNS).join_from(desk_key, operator, desk_key.c.operator_id == operator.c.id)
    row = (await tx.execute(joined.where(desk_key.c.digest == digest, desk_key.c.kind == kind))).first()
    if row is None:
        return None
    key = Key(**{name: row._mapping[f"key_{name}"] for name in Key.__slots__})
    return key, StoredOperator(**{name: row._mapping[name] for name in StoredOperator.__slots__})


async def note_use(tx: Transaction, digest: str, at_ms: int) -> None:
    """A session was seen."""
    await tx.execute(update(desk_key).where(desk_key.c.digest == digest).values(used_ms=at_ms))


async def use_up(tx: Transaction, digest: str, at_ms: int) -> bool:
    """Use a link; False when it was used before, ran out, or never was one."""
    is_good = and_(desk_key.c.used_ms.is_(None), desk_key.c.expires_ms > at_ms, desk_key.c.kind == LINK)
    statement = update(desk_key).where(desk_key.c.digest == digest, is_good).values(used_ms=at_ms)
    return (await tx.execute(statement)).rowcount == 1


async def drop_key(tx: Transaction, digest: str) -> None:
    """This lets nobody in any more."""
    await tx.execute(delete(desk_key).where(desk_key.c.digest == digest))


async def drop_keys_of(tx: Transaction, operator_id: int, kinds: Sequence[str] = (SESSION, LINK)) -> None:
    """Nothing of these kinds lets this operator in any more."""
    await tx.execute(delete(desk_key).where(desk_key.c.operator_id == operator_id, desk_key.c.kind.in_(kinds)))


async def drop_old(tx: Transaction, now_ms: int, tried_before_ms: int) -> None:
    """Forget keys that have run out, and tries from before an instant."""
    await tx.execute(delete(desk_key).where(desk_key.c.expires_ms <= now_ms))
    await tx.execute(delete(desk_try).where(desk_try.c.at_ms < tried_before_ms))


# --- who tried -----------------------------------------------------------------------------------------------------


async def tries(tx: Transaction, digests: Sequence[str], since_ms: int) -> dict[str, list[int]]:
    """When somebody tried to get in since an instant, oldest first, for each of these traces."""
    recent = select(desk_try.c.digest, desk_try.c.at_ms).where(
        or_(*(desk_try.c.digest == digest for digest in digests)), desk_try.c.at_ms >= since_ms
    )
    found: dict[str, list[int]] = {digest: [] for digest in digests}
    for row in await tx.execute(recent.order_by(desk_try.c.at_ms)):
        found[row.digest].append(row.at_ms)
    return found


async def add_tries(tx: Transaction, digests: Sequence[str], at_ms: int) -> None:
    """Somebody tries now."""
    await tx.execute(insert(desk_try), [{"digest": digest, "at_ms": at_ms} for digest in digests])


async def forget_tries(tx: Transaction, digest: str, at_ms: int | None = None) -> None:
    """It was them: their tries (or only the one of an instant) are no longer held against a trace."""
    statement = delete(desk_try).where(desk_try.c.digest == digest)
    await tx.execute(statement if at_ms is None else statement.where(desk_try.c.at_ms == at_ms))
