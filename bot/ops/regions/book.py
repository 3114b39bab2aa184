"""The regions of a house: drawn, looked up, ended; and which of several that overlap a place belongs to.

Regions may overlap. A place belongs to the smallest that holds it (by `ground.area_km2`), of equal ones to the older:
the county office before the state's. So every place has at most one owner, and drawing a large region takes nothing
away from a small one.
"""

from __future__ import annotations

import asyncio
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from bot.clock import Clock
from bot.errors import AfterfrostError
from bot.ops.regions.audience import Audience
from bot.ops.regions.ground import area_km2
from bot.ops.regions.selecting import holds, nowhere, select
from bot.ops.regions.shapes import Shape, shape_doc, shape_from
from bot.ops.regions.whereabouts import Whereabouts
from bot.store import audits, glances, lawns_sought, operators, regions
from bot.store.audits import Deed
from bot.store.database import Database, Transaction, milliseconds
from bot.store.regions import NewRegion, StoredRegion

LONGEST_NAME = 60
KM2_PER_SQUARE_MILE = 2.58999
NOT_DRAWN = 0
"""The number of a region that is only looked at."""


class RegionRefused(AfterfrostError):
    """What was wanted of a region cannot be done; the message says what to do instead."""


@dataclass(frozen=True, kw_only=True)
class Region:
    """A region that counts. `answered_by`: the operator who answers for it, by id and by name."""

    id: int
    name: str
    shape: Shape
    operator_id: int | None
    answered_by: str
    made_ms: int

    @cached_property
    def area_km2(self) -> float:
        """About how much ground it covers. [km2]"""
        return area_km2(self.shape)

    @property
    def area_square_miles(self) -> float:
        """The same, for people here."""
        return self.area_km2 / KM2_PER_SQUARE_MILE


@dataclass(frozen=True, slots=True, kw_only=True)
class Overlap:
    """Another region with homes in both, how many, and whose they are."""

    other: str
    homes: int
    owner: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RegionSeen:
    """A region with what is in it.

    homes : homeowners with a lawn in it
    lawns : all lawns of theirs, by grass (None: not known) and stage
    nowhere : homeowners whose place is not known well enough for what is drawn
    behind : homeowners whose rows do not tell of their newest turn
    """

    region: Region
    homes: int
    lawns: Sequence[tuple[str | None, str, int]]
    nowhere: int
    behind: int
    overlaps: Sequence[Overlap]


@dataclass(frozen=True, slots=True, kw_only=True)
class Tallied:
    """A region with how many homes lie in it, and how many of them belong to it: the others have a smaller one."""

    region: Region
    homes: int
    own: int


def owner_of(known: Iterable[Region], where: Whereabouts) -> Region | None:
    """The region a place belongs to: the smallest that holds it, of equal ones the older. None: in no region."""
    return min((each for each in known if holds(each.shape, where)), key=_order, default=None)


def _order(region: Region) -> tuple[float, int, int]:
    return region.area_km2, region.made_ms, region.id


class RegionBook:
    """What can be done with regions. Reads the database each time: a command beside the service may change it."""

    def __init__(self, database: Database, clock: Clock) -> None:
        self._database = database
        self._clock = clock

    async def all(self) -> list[Region]:
        """Every region that counts, oldest first."""
        async with self._database.read() as tx:
            return await _present(tx)

    async def named(self, name: str) -> Region:
        """The region of a name, however it is typed. Raises `RegionRefused`."""
        wanted = operators.folded(name)
        for region in await self.all():
            if operators.folded(region.name) == wanted:
                return region
        raise RegionRefused(f'There is no region {name!r}. "region list" shows them.')

    async def by_id(self, region_id: int) -> Region | None:
        """A region by its number; None when there is none that counts."""
        return next((each for each in await self.all() if each.id == region_id), None)

    async def add(self, name: str, shape: Shape, *, by: int | None, answered_by: int | None = None) -> int:
        """Draw a region; its id. Raises `RegionRefused` when the name cannot be used."""
        now_ms = milliseconds(self._clock.now())
        async with self._database.write() as tx:
            kept = await _free_name(tx, name)
            new = NewRegion(name=kept, shape=shape_doc(shape), operator_id=answered_by, made_ms=now_ms)
            region_id = await regions.add(tx, new)
            await _note(tx, "drew", region_id, by, now_ms)
        return region_id

    async def end(self, region: Region, *, by: int | None) -> None:
        """End a region: it counts no more. What was done in it stays. Raises `RegionRefused` when it had ended."""
        now_ms = milliseconds(self._clock.now())
        async with self._database.write() as tx:
            if not await regions.end(tx, region.id, now_ms):
                raise RegionRefused(f"The region {region.name!r} has ended already.")
            await _note(tx, "ended", region.id, by, now_ms)

    async def preview(self, name: str, shape: Shape) -> RegionSeen:
        """What a region would be, were it drawn now. Nothing is kept. Raises `RegionRefused` as `add` does."""
        async with self._database.read() as tx:
            kept = await _free_name(tx, name)
        now_ms = milliseconds(self._clock.now())
        return await self.seen(
            Region(id=NOT_DRAWN, name=kept, shape=shape, operator_id=None, answered_by="", made_ms=now_ms)
        )

    async def tally(self) -> list[Tallied]:
        """Every region, oldest first, with how many homes are in it; each home belongs to one of them at most."""
        regions_ = await self.all()
        taken, counted = np.empty(0, dtype=np.int64), dict[int, Tallied]()
        for region in sorted(regions_, key=_order):
            ids = await select(self._database, Audience(shape=region.shape))
            own = await asyncio.to_thread(np.setdiff1d, ids, taken, assume_unique=True)
            taken = np.concatenate((taken, own))
            counted[region.id] = Tallied(region=region, homes=len(ids), own=len(own))
        return [counted[each.id] for each in regions_]

    async def seen(self, region: Region) -> RegionSeen:
        """A region with how many homes are in it, of which kind, and with which others it overlaps."""
        audience = Audience(shape=region.shape)
        ids = await select(self._database, audience)
        overlaps = []
        for other in await self.all():
            if other.id != region.id:
                shared = np.intersect1d(
                    ids, await select(self._database, Audience(shape=other.shape)), assume_unique=True
                )
                owner = min(region, other, key=_order)
                overlaps.append(Overlap(other=other.name, homes=len(shared), owner=owner.name))
        async with self._database.read() as tx:
            lawns = await lawns_sought.count_by_grass_and_stage(tx, ids.tolist())
            behind = await glances.count_out_of_date(tx)
        return RegionSeen(
            region=region,
            homes=len(ids),
            lawns=lawns,
            nowhere=await nowhere(self._database, audience),
            behind=behind,
            overlaps=[each for each in overlaps if each.homes],
        )


async def _free_name(tx: Transaction, name: str) -> str:
    """A name as it is kept. Raises `RegionRefused` for one that cannot be, or that a region has or had."""
    kept = " ".join(name.split())
    if not 0 < len(kept) <= LONGEST_NAME or not kept.isprintable():
        raise RegionRefused(f"A region needs a name of at most {LONGEST_NAME} letters.")
    taken = {operators.folded(each.name): each for each in await regions.everything(tx)}
    other = taken.get(operators.folded(kept))
    if other is not None:
        state = "is" if other.ended_ms is None else "was"
        raise RegionRefused(f"There {state} a region {other.name!r}. Take another name.")
    return kept


async def _present(tx: Transaction) -> list[Region]:
    names = {each.id: each.name for each in await operators.everybody(tx) if each.ended_ms is None}
    return [
        _region(each, names.get(each.operator_id or 0, ""))
        for each in await regions.everything(tx)
        if not each.ended_ms
    ]


def _region(stored: StoredRegion, answered_by: str) -> Region:
    return Region(
        id=stored.id,
        name=stored.name,
        shape=shape_from(stored.shape),
        operator_id=stored.operator_id,
        answered_by=answered_by,
        made_ms=stored.made_ms,
    )


async def _note(tx: Transaction, act: str, region_id: int, by: int | None, at_ms: int) -> None:
    await audits.note(tx, Deed(at_ms=at_ms, operator_id=by, act=act, about=f"region {region_id}"))
