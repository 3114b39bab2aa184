"""Homes put straight into the tables, so that a test says exactly where each is and what grows there."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from sqlalchemy import insert

from bot.store import glances, homeowners
from bot.store.desk_schema import glance
from bot.store.glances import StoredGlance
from bot.store.homeowners import NewHomeowner
from bot.store.schema import contact, homeowner
from tests.fakes.house import House

PLAIN_LAWN: dict[str, Any] = {
    "lawn": 1,
    "latitude_e2": 3120,
    "longitude_e2": -8150,
    "zip": "31520",
    "county": "13127",
    "state": "GA",
    "zone": "America/New_York",
    "language": "en",
    "grass": "bermuda",
    "cultivar": None,
    "stage": "waiting",
    "is_quiet": 0,
    "crown_min_dc": -60,
    "soil_min_dc": 5,
    "alive_percent": 60,
    "heard_ms": 0,
}


@dataclass(slots=True)
class Homes:
    """Adds homeowners with their lawns to a house."""

    house: House
    count: int = field(default=0)

    async def add(self, *lawns: dict[str, Any], channel: str = "web") -> int:
        """A homeowner with lawns that differ from a plain one as told; their id."""
        self.count += 1
        new = NewHomeowner(doc=None, rev=0, channel=channel, address=f"home {self.count}", heard_ms=0)
        rows = [PLAIN_LAWN | {"lawn": number} | lawn for number, lawn in enumerate(lawns, start=1)]
        async with self.house.store.database.write() as tx:
            (of_id,) = await homeowners.add(tx, [new])
            stored = [StoredGlance(homeowner_id=of_id, **row) for row in rows]
            await glances.replace_of(tx, [(of_id, 0)], stored)
        return of_id

    async def replace_all(self, lawns: list[tuple[int, dict[str, Any]]], channels: dict[int, str]) -> None:
        """These lawns by owner's id, and nobody else's."""
        async with self.house.store.database.write() as tx:
            for table in (glance, contact, homeowner):
                await tx.execute(table.delete())
            owners = [{"id": of_id, "rev": 0, "glanced_rev": 0} for of_id in sorted(channels)]
            for owner in owners:
                owner |= {"channel": channels[owner["id"]], "address": "", "created_ms": 0, "heard_ms": 0}
            if owners:
                await tx.execute(insert(homeowner), owners)
            if lawns:
                await tx.execute(insert(glance), [{"homeowner_id": of_id} | lawn for of_id, lawn in lawns])
