"""What the learning commands work with: an open data folder, what is known beside the answers, and what came out."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Mapping
from contextlib import asynccontextmanager
from dataclasses import dataclass, replace

from bot.clock import Clock
from bot.commands.acting import acting_operator
from bot.commands.telling import Told
from bot.conversation import GAZETTEER, known_here
from bot.ops.learning.adopted import Adopted, lies_in
from bot.ops.learning.adopting import Adopting, Wanted, why_not_enough
from bot.ops.learning.changes import Changes, changes
from bot.ops.learning.correction import correction_doc
from bot.ops.learning.fitting import Learned, curve_of, learn
from bot.ops.learning.outcomes import Gathered, gather
from bot.ops.regions.book import Region, RegionBook
from bot.ops.regions.glancing import Glancing
from bot.ops.regions.whereabouts import Geography
from bot.ops.roles import Operator
from bot.settings import Settings
from bot.store.beside import beside
from bot.store.store import Store
from bot.talk.case import Place
from bot.talk.known import Known
from bot.weather.living import LivingBook
from bot.wiring import clock_for
from bot.words import Words
from rules.grasses import GrassCode, cultivars_of
from rules.lt50_curve import SurvivalCurve
from rules.lt50_fit import FoundShift


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """What was learned of some grasses, with their curves, and what is adopted.

    region : None for everywhere; picture : what the drawn one shows, "" where none was drawn
    """

    region: Region | None
    gathered: Gathered
    learned: tuple[Learned, ...]
    curves: Mapping[GrassCode, SurvivalCurve]
    adopted: tuple[Adopted, ...]
    picture: str = ""

    def with_picture(self, told: str) -> Seen:
        """The same, with a picture that was drawn."""
        return replace(self, picture=told)


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """What may be adopted, and what it would change."""

    region: Region | None
    learned: Learned
    found: FoundShift
    wanted: Wanted
    changes: Changes


@dataclass(frozen=True, slots=True, kw_only=True)
class LearnHouse:
    """An open data folder and what is learned in it. `known` knows no correction."""

    store: Store
    clock: Clock
    known: Known
    adopting: Adopting

    async def operator(self, name: str | None) -> Operator | None:
        """An operator by name; None where none is named."""
        return await acting_operator(self.store, name)

    async def region(self, name: str | None) -> Region | None:
        """A region by name; None where none is named."""
        return await RegionBook(self.store.database, self.clock).named(name) if name is not None else None

    async def gathered(self, region: str | None) -> Gathered:
        """What came of the lawns of a region, or of all."""
        return await self._gathered(await self.region(region))

    async def look(self, region: str | None, grass: str | None) -> Seen:
        """Everything learned of a region's grasses, or of one of them."""
        drawn = await self.region(region)
        gathered = await self._gathered(drawn)
        codes = list(gathered.told_by_grass) if grass is None else [_named(grass)[0]]
        learned = [await asyncio.to_thread(learn, each, gathered) for each in codes]
        curves = {each.code: curve_of(each.code, each.fit.grass, gathered) for each in learned}
        return Seen(
            region=drawn,
            gathered=gathered,
            learned=tuple(learned),
            curves=curves,
            adopted=await self.adopting.now(),
        )

    async def proposal(self, region: str | None, grass: str) -> Proposal:
        """What was found for "grass" or "grass/cultivar", and what it would change. Raises Told for too little."""
        code, cultivar = _named(grass)
        drawn = await self.region(region)
        learned = await asyncio.to_thread(learn, code, await self._gathered(drawn))
        found = learned.fit.of(cultivar)
        if found is None:
            raise Told(f"No lawn whose season is over was named as {cultivar}. Adopt the grass: {code}")
        if not found.is_enough:
            raise Told(f"Not enough to adopt. {why_not_enough(found)}")
        region_id = drawn.id if drawn else None
        wanted = Wanted(region_id=region_id, code=code, cultivar=cultivar, doc=correction_doc(learned, found, 0))
        would = await changes(
            self.store,
            replace(self.known, shift_at=await self.adopting.shift_now()),
            replace(self.known, shift_at=await self.adopting.shift_with(wanted)),
            self.clock.now(),
        )
        doc = correction_doc(learned, found, would.changed_lawns)
        return Proposal(region=drawn, learned=learned, found=found, wanted=replace(wanted, doc=doc), changes=would)

    async def adopt(self, proposal: Proposal, by: Operator | None) -> int:
        """Adopt a proposal; the correction's id. What operators see of lawns is then worked out anew."""
        made = await self.adopting.adopt(proposal.wanted, proposal.found, by)
        await self._look_again()
        return made

    async def undo(self, correction_id: int, by: Operator | None) -> None:
        """Take a correction back; then as above."""
        await self.adopting.undo(correction_id, by)
        await self._look_again()

    async def _look_again(self) -> None:
        await Glancing(self.store, self.known, Geography(GAZETTEER)).look_again()

    async def _gathered(self, region: Region | None) -> Gathered:
        shape = region.shape if region else None

        def is_in(place: Place) -> bool:
            return lies_in(place, shape, GAZETTEER.zip_near)

        return await gather(self.store, self.known, self.clock.now().date(), is_in)


def _named(grass: str) -> tuple[GrassCode, str | None]:
    name, _, cultivar = grass.partition("/")
    if name not in [code.value for code in GrassCode]:
        raise Told(f"No grass is called {name!r}. Known: {', '.join(GrassCode)}.")
    code = GrassCode(name)
    known = [each.code for each in cultivars_of(code)]
    if cultivar and cultivar not in known:
        raise Told(f"{cultivar!r} is no cultivar of {name}. Known: {', '.join(known) or 'none'}.")
    return code, cultivar or None


@asynccontextmanager
async def learn_house(settings: Settings) -> AsyncIterator[LearnHouse]:
    """The house of a data folder, whether a service runs on it or not."""
    weather = LivingBook(settings.data)
    await asyncio.to_thread(weather.refresh)
    clock = clock_for(settings)
    async with beside(settings.data) as store:
        yield LearnHouse(
            store=store,
            clock=clock,
            known=known_here(Words(), settings, weather),
            adopting=Adopting(store.database, clock, GAZETTEER.zip_near),
        )
