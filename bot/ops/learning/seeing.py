"""What is learned of a house's lawns, for whoever asks: the command and the desk's page, so that both say the same.

1. What takes long works in threads; the loop goes on meanwhile.
2. Lawns that were learned from before are not learned from again: `look` takes what came out last time.
3. A proposal carries a mark of everything it shows, so that what is adopted is what was looked at.
"""

from __future__ import annotations

import asyncio
import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from bot.clock import Clock
from bot.ops.learning.adopting import Adopting, AdoptionRefused, Wanted, why_not_enough
from bot.ops.learning.changes import Changes, changes
from bot.ops.learning.correction import correction_doc
from bot.ops.learning.fitting import Learned, curve_of, learn
from bot.ops.learning.outcomes import Gathered, gather
from bot.ops.regions.book import Region
from bot.ops.regions.by_place import NearestZip, lies_in
from bot.store.store import Store
from bot.talk.case import Place
from bot.talk.known import Known, as_published
from rules.grasses import GrassCode, cultivars_of
from rules.lt50_curve import SurvivalCurve
from rules.lt50_fit import FoundShift

Kind = tuple[GrassCode, str | None]
"""A grass, or one of its cultivars."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """What was learned of some grasses, with the curves of each and of its cultivars. `region` None: everywhere."""

    region: Region | None
    gathered: Gathered
    learned: tuple[Learned, ...]
    curves: Mapping[Kind, SurvivalCurve]


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """What may be adopted, and what it would change."""

    region: Region | None
    learned: Learned
    found: FoundShift
    wanted: Wanted
    changes: Changes

    @property
    def mark(self) -> str:
        """What stands for all of it: another fit or another change has another mark."""
        told = repr((self.wanted, self.changes))
        return hashlib.sha256(told.encode()).hexdigest()[:32]


class Learning:
    """Works out what is learned. `known` is what the talk knows beside the answers; its corrections are not used."""

    def __init__(self, store: Store, clock: Clock, known: Known, nearest_zip: NearestZip) -> None:
        self._store = store
        self._clock = clock
        self._known = replace(known, shift_at=as_published)
        self._nearest_zip = nearest_zip
        self.adopting = Adopting(store.database, clock, nearest_zip)

    async def gathered(self, region: Region | None) -> Gathered:
        """What came of the lawns of a region, or of all."""
        shape = region.shape if region else None

        def is_in(place: Place) -> bool:
            return lies_in(place, shape, self._nearest_zip)

        return await gather(self._store, self._known, self._clock.now().date(), is_in)

    async def look(self, region: Region | None, code: GrassCode | None = None, before: Seen | None = None) -> Seen:
        """Everything learned of a region's grasses, or of one of them. `before`: what the same look found last time."""
        gathered = await self.gathered(region)
        if before is not None and before.gathered == gathered:
            return replace(before, region=region)
        codes = list(gathered.told_by_grass) if code is None else [code]
        learned = tuple([await asyncio.to_thread(learn, each, gathered) for each in codes])
        curves = await asyncio.to_thread(_curves, learned, gathered)
        return Seen(region=region, gathered=gathered, learned=learned, curves=curves)

    async def proposal(self, region: Region | None, code: GrassCode, cultivar: str | None) -> Proposal:
        """What was found of a grass or cultivar, and what it would change. Raises `AdoptionRefused` for too little."""
        learned = await asyncio.to_thread(learn, code, await self.gathered(region))
        found = learned.fit.of(cultivar)
        if found is None:
            raise AdoptionRefused(f"No lawn whose season is over was named as {cultivar}. Adopt the grass: {code}")
        if not found.is_enough:
            raise AdoptionRefused(f"Not enough to adopt. {why_not_enough(found)}")
        region_id = region.id if region else None
        wanted = Wanted(region_id=region_id, code=code, cultivar=cultivar, doc=correction_doc(learned, found, 0))
        would = await changes(
            self._store,
            replace(self._known, shift_at=await self.adopting.shift_now()),
            replace(self._known, shift_at=await self.adopting.shift_with(wanted)),
            self._clock.now(),
        )
        doc = correction_doc(learned, found, would.changed_lawns)
        return Proposal(region=region, learned=learned, found=found, wanted=replace(wanted, doc=doc), changes=would)


def kind_named(typed: str) -> Kind:
    """A grass or cultivar as it is typed: "zoysia", "zoysia/meyer". Raises `AdoptionRefused`."""
    name, _, cultivar = typed.partition("/")
    if name not in set(GrassCode):
        raise AdoptionRefused(f"No grass is called {name!r}. Known: {', '.join(GrassCode)}.")
    code = GrassCode(name)
    known = [each.code for each in cultivars_of(code)]
    if cultivar and cultivar not in known:
        raise AdoptionRefused(f"{cultivar!r} is no cultivar of {name}. Known: {', '.join(known) or 'none'}.")
    return code, cultivar or None


def _curves(learned: Sequence[Learned], gathered: Gathered) -> dict[Kind, SurvivalCurve]:
    return {(each.code, found.cultivar): curve_of(each.code, found, gathered) for each in learned for found in each.all}
