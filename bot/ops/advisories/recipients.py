"""Who is meant by an advisory, at this moment: by place and lawn, and for what follows or corrects, who got that."""

from __future__ import annotations

from dataclasses import replace
from typing import Protocol

from bot.ops.advisories.advisory import NewAdvisory
from bot.ops.regions.audience import Audience
from bot.store import sends
from bot.store.database import Database


class Glancing(Protocol):
    """Brings what is known of each lawn at a glance up to date; how many it had to look at."""

    async def run_all(self) -> int: ...


class Recipients:
    """Finds them. Whoever took a turn a moment ago is looked at first."""

    def __init__(self, database: Database, glancing: Glancing) -> None:
        self._database = database
        self._glancing = glancing

    async def of(self, content: NewAdvisory) -> list[int]:
        """Their ids, in order, each once."""
        await self._glancing.run_all()
        audience = await self._audience(content)
        if audience.homeowner_ids is not None and replace(audience, homeowner_ids=None) == Audience():
            return sorted(audience.homeowner_ids)
        return await _select(self._database, audience)

    async def without_estimate(self, content: NewAdvisory) -> int:
        """How many would be meant but for an estimate that is not there for them: they do not count as selected."""
        audience = content.audience
        if audience.soil_min_below_c is None and audience.crown_min_below_c is None:
            return 0
        audience = await self._audience(content)
        others = await _select(self._database, replace(audience, soil_min_below_c=None, crown_min_below_c=None))
        async with self._database.read() as tx:
            return await sends.count_without_estimate(
                tx,
                others,
                soil=audience.soil_min_below_c is not None,
                crown=audience.crown_min_below_c is not None,
            )

    async def _audience(self, content: NewAdvisory) -> Audience:
        audience = content.audience
        async with self._database.read() as tx:
            for first_id in filter(None, (content.corrects, content.after_id)):
                got = frozenset(await sends.who_got(tx, first_id))
                before = audience.homeowner_ids
                audience = replace(audience, homeowner_ids=got if before is None else got & before)
        return audience


async def _select(database: Database, audience: Audience) -> list[int]:
    from bot.ops.regions.selecting import select  # numpy and shapely: only where somebody is looked for

    ids: list[int] = (await select(database, audience)).tolist()
    return ids
