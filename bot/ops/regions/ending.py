"""What it means to end a region: what is named after it or made for it, told before anybody ends it.

An advisory keeps the area it was written for, so it goes on. A correction and a local rule count for their region
alone, and stop.
"""

from __future__ import annotations

from dataclasses import dataclass

from bot.ops.advisories.advisory import Advisory, State, loaded
from bot.ops.learning.standing import Standing, standing
from bot.ops.local import book
from bot.ops.regions.book import Region
from bot.ops.regions.shapes import Shape
from bot.store import advisories, local_rules
from bot.store.database import Transaction

OPEN = (State.DRAFT, State.APPROVED, State.GOING_OUT, State.PAUSED)


@dataclass(frozen=True, slots=True, kw_only=True)
class Affected:
    """What a region's end touches: open advisories whose area holds it, its own corrections and local rules."""

    advisories: tuple[Advisory, ...]
    corrections: tuple[Standing, ...]
    local_rules: int


async def affected(tx: Transaction, region: Region) -> Affected:
    """What ending a region would touch."""
    said = book.standing(await local_rules.everything(tx))
    open_ones = map(loaded, await advisories.in_states(tx, OPEN))
    return Affected(
        advisories=tuple(each for each in open_ones if _holds(each, region.shape)),
        corrections=tuple(each for each in await standing(tx) if each.region_id == region.id and each.counts),
        local_rules=sum(each.region_id == region.id for each in said),
    )


def _holds(advisory: Advisory, shape: Shape) -> bool:
    """Whether all parts of a shape are parts of an advisory's area."""
    area = advisory.content.audience.shape
    return area is not None and area | shape == area
