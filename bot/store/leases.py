"""Who may send on a channel, one at a time, also where several processes share a database.

A lease is a row with a holder, an end and a fence that grows with every new holder. What a holder claims carries its
fence; who was asleep while the lease went to another finds its fence outdated and claims and marks nothing any more.
"""

from __future__ import annotations

from sqlalchemy import or_, select

from bot.store.database import Transaction, insert_into
from bot.store.schema import lease


async def take(tx: Transaction, name: str, holder: str, now_ms: int, until_ms: int, *, by_force: bool) -> int | None:
    """Take or renew a lease; its fence, or None while another holds it. `by_force`: the other is known to be gone."""
    statement = insert_into(tx, lease).values(name=name, holder=holder, until_ms=until_ms, fence=1)
    is_free = or_(lease.c.until_ms <= now_ms, lease.c.until_ms > now_ms + (until_ms - now_ms) * 4)
    if not by_force:
        taken = statement.on_conflict_do_update(
            index_elements=["name"],
            set_={"holder": holder, "until_ms": until_ms, "fence": lease.c.fence + 1},
            where=is_free,
        )
    else:
        taken = statement.on_conflict_do_update(
            index_elements=["name"], set_={"holder": holder, "until_ms": until_ms, "fence": lease.c.fence + 1}
        )
    found = (await tx.execute(taken.returning(lease.c.fence))).scalar()
    return None if found is None else int(found)


async def renew(tx: Transaction, name: str, fence: int, until_ms: int) -> bool:
    """Hold a lease for longer; False when it has gone to another."""
    statement = lease.update().where(lease.c.name == name, lease.c.fence == fence).values(until_ms=until_ms)
    return bool((await tx.execute(statement)).rowcount)


async def fence_of(tx: Transaction, name: str) -> int | None:
    """The fence of a lease as it stands."""
    found = (await tx.execute(select(lease.c.fence).where(lease.c.name == name))).scalar()
    return None if found is None else int(found)
