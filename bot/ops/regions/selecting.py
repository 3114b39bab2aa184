"""Which homeowners an audience means, out of a million in about a second.

1. SQL decides what it can: grass, stage, estimates, channel, areas told by name, the box around what is drawn.
2. What is drawn is decided in a thread, on arrays. No object is made for a home.
3. A homeowner is selected when one of their lawns meets every condition. A lawn without a position is in no drawn
   area; `nowhere` tells how many could not be placed.

The rows of `glance` must be up to date (`Glancing.run_all`).
"""

from __future__ import annotations

import asyncio

import numpy as np
from numpy.typing import NDArray

from bot.ops.regions.audience import Audience
from bot.ops.regions.ground import box_of, lie_in
from bot.ops.regions.shapes import Shape
from bot.ops.regions.whereabouts import Whereabouts
from bot.store import lawns_sought
from bot.store.columns import Wholes
from bot.store.database import Database, Transaction
from bot.store.lawns_sought import Kind, Named


async def select(database: Database, audience: Audience) -> NDArray[np.int64]:
    """The ids of the homeowners who are meant, sorted, each once."""
    async with database.read() as tx:
        found = await _owners(tx, audience)
    return await asyncio.to_thread(_among, found, audience.homeowner_ids)


async def nowhere(database: Database, audience: Audience) -> int:
    """How many homeowners meet everything but the place, and have a lawn we cannot place in what is drawn.

    0 where nothing is drawn: then a place is not needed, or its state is enough.
    """
    shape = audience.shape
    if shape is None or box_of(shape) is None:
        return 0
    async with database.read() as tx:
        unplaced = await lawns_sought.nowhere(tx, _kind(audience))
        found = await _owners(tx, audience)
    return len(np.setdiff1d(_among(unplaced, audience.homeowner_ids), _once(found), assume_unique=True))


def holds(shape: Shape, where: Whereabouts) -> bool:
    """Whether one place lies in a shape, by the same rules."""
    is_named = (
        where.state in shape.all_states
        or where.county in shape.all_counties
        or any(where.zip_code.startswith(prefix) for prefix in shape.zip_prefixes)
    )
    if is_named or where.latitude is None or where.longitude is None:
        return is_named
    latitude, longitude = (np.array([round(each * 100)], dtype=np.int64) for each in (where.latitude, where.longitude))
    return bool(lie_in(shape, latitude, longitude)[0])


async def _owners(tx: Transaction, audience: Audience) -> Wholes:
    """The owners of lawns that are meant, perhaps more than once."""
    kind, shape = _kind(audience), audience.shape
    if shape is None:
        return await lawns_sought.owners(tx, kind)
    named = Named(states=shape.all_states, counties=shape.all_counties, zip_prefixes=shape.zip_prefixes)
    found = [await lawns_sought.owners(tx, kind, named)] if named else []
    box = box_of(shape)
    if box is not None:
        lawns = await lawns_sought.placed(tx, kind, box)
        inside = await asyncio.to_thread(lie_in, shape, lawns[:, 1], lawns[:, 2])
        found.append(lawns[inside, 0])
    return np.concatenate(found)


def _kind(audience: Audience) -> Kind:
    return Kind(
        grasses=audience.grasses,
        cultivars=audience.cultivars,
        stages=audience.stages,
        channels=audience.channels,
        languages=audience.languages,
        soil_min_below_dc=_tenths(audience.soil_min_below_c),
        crown_min_below_dc=_tenths(audience.crown_min_below_c),
    )


def _tenths(celsius: float | None) -> float | None:
    return None if celsius is None else round(celsius * 10, 6)


def _among(owners: Wholes, homeowner_ids: frozenset[int] | None) -> Wholes:
    """Sorted, each once; only those of the given ones, where some are given."""
    found = _once(owners)
    if homeowner_ids is None:
        return found
    wanted = np.fromiter(homeowner_ids, dtype=np.int64, count=len(homeowner_ids))
    return np.intersect1d(found, wanted, assume_unique=True)


def _once(owners: Wholes) -> Wholes:
    """Sorted, each once. (numpy's own way of it goes through a table of hashes, four times as slow on a million.)"""
    ordered = np.sort(owners)
    is_new = np.ones(len(ordered), dtype=np.bool_)
    is_new[1:] = ordered[1:] != ordered[:-1]
    return ordered[is_new]
