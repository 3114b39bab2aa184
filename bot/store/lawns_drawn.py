"""Where lawns lie, for a map to draw areas on: the middle of each county's lawns."""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy import Float, case, cast, func, select

from bot.store.case_lists import FIRST_LAWN
from bot.store.database import Transaction
from bot.store.desk_schema import glance


@dataclass(frozen=True, slots=True, kw_only=True)
class CountyMiddle:
    """A county by its code, how many homes are in it, and the middle of their lawns in hundredths of a degree."""

    county: str
    homes: int
    latitude_e2: float
    longitude_e2: float


async def county_middles(tx: Transaction, at_most: int) -> list[CountyMiddle]:
    """The counties with most homes, the fullest first."""
    latitude, longitude = (cast(func.avg(each), Float) for each in (glance.c.latitude_e2, glance.c.longitude_e2))
    homes = func.sum(case((glance.c.lawn == FIRST_LAWN, 1), else_=0)).label("homes")
    statement = (
        select(glance.c.county, homes, latitude.label("latitude_e2"), longitude.label("longitude_e2"))
        .where(glance.c.county.is_not(None), glance.c.latitude_e2.is_not(None), glance.c.longitude_e2.is_not(None))
        .group_by(glance.c.county)
        .order_by(homes.desc(), glance.c.county)
        .limit(at_most)
    )
    return [CountyMiddle(**row._mapping) for row in await tx.execute(statement)]
