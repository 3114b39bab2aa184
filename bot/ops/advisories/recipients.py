"""Who is meant by an advisory, at this moment: by place and lawn, and for what follows or corrects, who got that.

1. Sending looks first at everybody who took a turn since their rows were made (`of`).
2. A preview does so for a moment only (`seen`), and tells how many are left of whom an older picture is shown.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Protocol

import numpy as np

from bot.ops.advisories.advisory import NewAdvisory
from bot.ops.regions.audience import Audience
from bot.store import stances
from bot.store.columns import Wholes
from bot.store.database import Database

CATCHING_UP_SECONDS = 1.0
"""How long a preview has rows brought up to date before it counts."""
_ANY_C = 1e6  # every estimate is below it


class Glancing(Protocol):
    """Brings what is known of each lawn at a glance up to date."""

    async def run_all(self) -> int: ...  # how many it had to look at

    async def run_for(self, seconds: float) -> int: ...  # how many are left


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """Who is meant, as far as their rows tell. `behind`: people whose rows are older than their last turn."""

    ids: Wholes
    behind: int


class Recipients:
    """Finds them."""

    def __init__(self, database: Database, glancing: Glancing) -> None:
        self._database = database
        self._glancing = glancing

    async def of(self, content: NewAdvisory) -> Wholes:
        """Their ids, in order, each once, from rows that are up to date."""
        if not _is_settled(content):
            await self._glancing.run_all()
        return await self.as_seen(content)

    async def seen(self, content: NewAdvisory) -> Seen:
        """The same, soon."""
        behind = 0 if _is_settled(content) else await self._glancing.run_for(CATCHING_UP_SECONDS)
        return Seen(ids=await self.as_seen(content), behind=behind)

    async def as_seen(self, content: NewAdvisory, among: Wholes | None = None) -> Wholes:
        """The same from the rows as they are; `among`: of these alone."""
        got = await self._got(content) if among is None else among
        audience = content.audience
        if audience.homeowner_ids is not None:
            named = np.array(sorted(audience.homeowner_ids), dtype=np.int64)
            got = named if got is None else np.intersect1d(got, named, assume_unique=True)
        audience = replace(audience, homeowner_ids=None)
        if got is not None and audience == Audience():
            return got
        found = await _select(self._database, audience)
        return found if got is None else np.intersect1d(found, got, assume_unique=True)

    async def without_estimate(self, content: NewAdvisory) -> int:
        """How many would be meant but for an estimate that is not there for them: they do not count as selected."""
        audience = content.audience
        soil, crown = audience.soil_min_below_c, audience.crown_min_below_c
        if soil is None and crown is None:
            return 0
        anybody = replace(audience, soil_min_below_c=None, crown_min_below_c=None)
        estimated = replace(
            audience,
            soil_min_below_c=None if soil is None else _ANY_C,
            crown_min_below_c=None if crown is None else _ANY_C,
        )
        everybody, known = [await self.as_seen(replace(content, audience=each)) for each in (anybody, estimated)]
        return len(everybody) - len(known)

    async def zone(self, content: NewAdvisory) -> str | None:
        """The zone most of them live in, of two as many the first by name; None where nobody is meant."""
        ids = await self.as_seen(content)
        async with self._database.read() as tx:
            counted = await stances.zones(tx, ids)
        return min(counted, key=lambda zone: (-counted[zone], zone), default=None)

    async def _got(self, content: NewAdvisory) -> Wholes | None:
        """Who got what it corrects and what it follows; None where it does neither."""
        got: Wholes | None = None
        async with self._database.read() as tx:
            for first_id in filter(None, (content.corrects, content.after_id)):
                ids = await stances.who_got(tx, first_id)
                got = ids if got is None else np.intersect1d(got, ids, assume_unique=True)
        return got


def _is_settled(content: NewAdvisory) -> bool:
    """Whether it is for those who got another one, whatever their lawns are like: rows tell nothing of that, and all of
    them are out of date just then.
    """
    is_for_others = content.corrects is not None or content.after_id is not None
    return is_for_others and replace(content.audience, homeowner_ids=None) == Audience()


async def _select(database: Database, audience: Audience) -> Wholes:
    from bot.ops.regions.selecting import select  # shapely: only where somebody is looked for

    return await select(database, audience)
