"""What is known of an address by itself: whether it may be written to, and whether it can be reached.

1. The record of consent only grows: what was said, what was shown, when, from where. The last entry is how it stands.
2. An address that was erased leaves its "no" behind as a keyed digest, so that no list can enrol it again.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from sqlalchemy import bindparam, delete, exists, select, update

from bot.arrivals import Consent, ConsentNote, Reach
from bot.store.database import Transaction, insert_into, instant, secret_of
from bot.store.schema import consent, opt_out, outbox, reach

FAILURES_UNTIL_UNREACHABLE = 2

_BY_ADDRESS = select(reach).where(reach.c.channel == bindparam("at_channel"), reach.c.address == bindparam("at"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Recorded:
    """One entry of the record of consent, as it is stored."""

    at_ms: int
    consent: Consent
    said: str
    shown: str
    source: str


def digest_of(key: bytes, channel: str, address: str) -> str:
    """What an address is known by after it was erased; without the key no list of numbers leads back to it."""
    return hashlib.blake2b(f"{channel}\0{address}".encode(), key=key, digest_size=16).hexdigest()


async def of(tx: Transaction, channel: str, address: str) -> Reach:
    """How an address stands."""
    row = (await tx.execute(_BY_ADDRESS, {"at_channel": channel, "at": address})).first()
    if row is None:
        return Reach()
    return Reach(
        consent=Consent(row.consent),
        consent_at=None if row.consent_ms is None else instant(row.consent_ms),
        is_unreachable=row.unreachable_ms is not None,
    )


async def note_consent(tx: Transaction, channel: str, address: str, notes: Sequence[ConsentNote], at_ms: int) -> None:
    """Write entries to the record; the last is how the address stands from now on."""
    rows = [
        {
            "channel": channel,
            "address": address,
            "consent": int(note.consent),
            "at_ms": at_ms,
            "said": note.said,
            "shown": note.shown,
            "source": note.source,
        }
        for note in notes
    ]
    await tx.execute(consent.insert(), rows)
    await _put(tx, channel, address, {"consent": int(notes[-1].consent), "consent_ms": at_ms})


async def record_of(tx: Transaction, channel: str, address: str) -> list[Recorded]:
    """The record of consent of an address, in order."""
    statement = select(consent).where(consent.c.channel == channel, consent.c.address == address).order_by(consent.c.id)
    return [
        Recorded(at_ms=row.at_ms, consent=Consent(row.consent), said=row.said, shown=row.shown, source=row.source)
        for row in await tx.execute(statement)
    ]


async def close(tx: Transaction, channel: str, address: str, at_ms: int) -> None:
    """Note that an address cannot be reached."""
    await _put(tx, channel, address, {"unreachable_ms": at_ms})


async def reopen(tx: Transaction, channel: str, addresses: Iterable[str]) -> None:
    """Note that addresses can be reached."""
    statement = update(reach).where(
        reach.c.channel == channel, reach.c.address.in_(list(addresses)), reach.c.unreachable_ms.is_not(None)
    )
    await tx.execute(statement.values(unreachable_ms=None, failures=0))


async def move(tx: Transaction, channel: str, address: str, to_address: str) -> None:
    """An address is another one now: how it stood goes with it, unless the new one has a standing of its own."""
    is_known = exists().where(reach.c.channel == channel, reach.c.address == to_address)
    moving = update(reach).where(reach.c.channel == channel, reach.c.address == address, ~is_known.correlate(None))
    await tx.execute(moving.values(address=to_address))


async def count_delivery(tx: Transaction, channel: str, address: str, at_ms: int, *, failed: bool) -> bool:
    """Note a final receipt; whether the address counts as unreachable from now on."""
    if not failed:
        await _put(tx, channel, address, {"failures": 0, "unreachable_ms": None})
        return False
    row = (await tx.execute(_BY_ADDRESS, {"at_channel": channel, "at": address})).first()
    failures = (row.failures if row else 0) + 1
    is_gone = failures >= FAILURES_UNTIL_UNREACHABLE
    await _put(tx, channel, address, {"failures": failures, **({"unreachable_ms": at_ms} if is_gone else {})})
    return is_gone


async def unreachable(tx: Transaction, at_most: int = 100) -> list[tuple[str, str, int]]:
    """Addresses that cannot be reached, latest first: channel, address, since when."""
    statement = (
        select(reach.c.channel, reach.c.address, reach.c.unreachable_ms)
        .where(reach.c.unreachable_ms.is_not(None))
        .order_by(reach.c.unreachable_ms.desc())
    )
    return [(row[0], row[1], row[2]) for row in await tx.execute(statement.limit(at_most))]


async def has_refused(tx: Transaction, channel: str, address: str) -> bool:
    """Whether an address said no, now or before it was erased."""
    standing = await of(tx, channel, address)
    if standing.consent in (Consent.WITHDRAWN, Consent.GIVEN):
        return standing.consent is Consent.WITHDRAWN
    digest = digest_of(secret_of(tx), channel, address)
    found = select(exists().where(opt_out.c.channel == channel, opt_out.c.digest == digest))
    return bool((await tx.execute(found)).scalar())


async def erase(tx: Transaction, contacts: Iterable[tuple[str, str]], at_ms: int) -> None:
    """Remove what is known of addresses, and of a "no" all but its digest."""
    for channel, address in contacts:
        if (await of(tx, channel, address)).consent is Consent.WITHDRAWN:
            digest = digest_of(secret_of(tx), channel, address)
            statement = insert_into(tx, opt_out).values(channel=channel, digest=digest, at_ms=at_ms)
            await tx.execute(statement.on_conflict_do_nothing())
        for table in (consent, reach):
            await tx.execute(delete(table).where(table.c.channel == channel, table.c.address == address))


async def take_back(tx: Transaction, channel: str, address: str) -> int:
    """Remove everything that waits to be sent to an address; how many."""
    waiting = delete(outbox).where(outbox.c.channel == channel, outbox.c.address == address, outbox.c.state == 0)
    return (await tx.execute(waiting)).rowcount


async def _put(tx: Transaction, channel: str, address: str, values: dict[str, int | None]) -> None:
    statement = insert_into(tx, reach).values(channel=channel, address=address, **values)
    await tx.execute(statement.on_conflict_do_update(index_elements=["channel", "address"], set_=values))
