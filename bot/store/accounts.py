"""What channels have used and done: units by the hour, and counts that grow."""

from __future__ import annotations

from collections.abc import Mapping

from sqlalchemy import delete, select

from bot.store.database import Transaction, insert_into
from bot.store.schema import meter, spent

HOUR_MS = 3_600_000
KEEP_HOURS = 48


async def spend(tx: Transaction, channel: str, at_ms: int, units: int) -> None:
    """Note units that went out."""
    statement = insert_into(tx, spent).values(channel=channel, hour=at_ms // HOUR_MS, units=units)
    await tx.execute(
        statement.on_conflict_do_update(
            index_elements=["channel", "hour"], set_={"units": spent.c.units + statement.excluded.units}
        )
    )


async def spent_by_hour(tx: Transaction, channel: str, now_ms: int) -> dict[int, int]:
    """What went out in the last 24 hours, by the hour."""
    since = now_ms // HOUR_MS - 24
    statement = select(spent.c.hour, spent.c.units).where(spent.c.channel == channel, spent.c.hour > since)
    return {row.hour: row.units for row in await tx.execute(statement)}


async def drop_old(tx: Transaction, now_ms: int) -> None:
    """Remove hours that no limit looks at any more."""
    await tx.execute(delete(spent).where(spent.c.hour < now_ms // HOUR_MS - KEEP_HOURS))


async def count(tx: Transaction, channel: str, counts: Mapping[str, int]) -> None:
    """Let counts grow."""
    statement = insert_into(tx, meter)
    grown = statement.on_conflict_do_update(
        index_elements=["channel", "name"], set_={"value": meter.c.value + statement.excluded.value}
    )
    await tx.execute(grown, [{"channel": channel, "name": name, "value": value} for name, value in counts.items()])


async def counts(tx: Transaction) -> dict[str, dict[str, int]]:
    """Every count, by channel and name."""
    found: dict[str, dict[str, int]] = {}
    for row in await tx.execute(select(meter).order_by(meter.c.channel, meter.c.name)):
        found.setdefault(row.channel, {})[row.name] = row.value
    return found
