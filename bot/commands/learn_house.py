"""What the learning commands work with: an open data folder, and what is learned in it by names as they are typed."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import dataclass

from bot.clock import Clock
from bot.commands.acting import acting_operator
from bot.conversation import GAZETTEER, known_here
from bot.ops.learning.outcomes import Gathered
from bot.ops.learning.seeing import Learning, Proposal, Seen, kind_named
from bot.ops.learning.standing import Standing, standing
from bot.ops.regions.book import Region, RegionBook
from bot.ops.regions.glancing import Glancing
from bot.ops.regions.whereabouts import Geography
from bot.ops.roles import Operator
from bot.settings import Settings
from bot.store.beside import beside
from bot.store.store import Store
from bot.talk.known import Known
from bot.weather.living import LivingBook
from bot.wiring import clock_for
from bot.words import Words


@dataclass(frozen=True, slots=True, kw_only=True)
class LearnHouse:
    """An open data folder and what is learned in it. `known` knows no correction."""

    store: Store
    clock: Clock
    known: Known
    learning: Learning

    async def operator(self, name: str | None) -> Operator | None:
        """An operator by name; None where none is named."""
        return await acting_operator(self.store, name)

    async def region(self, name: str | None) -> Region | None:
        """A region by name; None where none is named."""
        return await RegionBook(self.store.database, self.clock).named(name) if name is not None else None

    async def gathered(self, region: str | None) -> Gathered:
        """What came of the lawns of a region, or of all."""
        return await self.learning.gathered(await self.region(region))

    async def look(self, region: str | None, grass: str | None) -> Seen:
        """Everything learned of a region's grasses, or of one of them."""
        return await self.learning.look(await self.region(region), None if grass is None else kind_named(grass)[0])

    async def standing(self) -> tuple[Standing, ...]:
        """The corrections that count."""
        async with self.store.database.read() as tx:
            return tuple(each for each in await standing(tx) if each.counts)

    async def proposal(self, region: str | None, grass: str) -> Proposal:
        """What was found for "grass" or "grass/cultivar", and what it would change."""
        code, cultivar = kind_named(grass)
        return await self.learning.proposal(await self.region(region), code, cultivar)

    async def adopt(self, proposal: Proposal, by: Operator | None) -> int:
        """Adopt a proposal; the correction's id. What operators see of lawns is then worked out anew."""
        made = await self.learning.adopting.adopt(proposal.wanted, proposal.found, by)
        await self._look_again()
        return made

    async def undo(self, correction_id: int, by: Operator | None) -> None:
        """Take a correction back; then as above."""
        await self.learning.adopting.undo(correction_id, by)
        await self._look_again()

    async def _look_again(self) -> None:
        await Glancing(self.store, self.known, Geography(GAZETTEER)).look_again()


@asynccontextmanager
async def learn_house(settings: Settings) -> AsyncIterator[LearnHouse]:
    """The house of a data folder, whether a service runs on it or not."""
    weather = LivingBook(settings.data)
    await asyncio.to_thread(weather.refresh)
    clock, known = clock_for(settings), known_here(Words(), settings, weather)
    async with beside(settings.data) as store:
        learning = Learning(store, clock, known, GAZETTEER.zip_near)
        yield LearnHouse(store=store, clock=clock, known=known, learning=learning)
