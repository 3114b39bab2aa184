"""How big a lawn is, from sides in feet or paces. Square feet throughout, because rates and laws are."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from rules.errors import NotEnoughData, require_range
from rules.facts import areas as facts


@dataclass(frozen=True, slots=True, kw_only=True)
class AreaEstimate:
    """An area that was paced out, not measured. [sq ft] The true one lies between `low_sqft` and `high_sqft`."""

    area_sqft: float
    low_sqft: float
    high_sqft: float


def rectangle_sqft(length_ft: float, width_ft: float) -> float:
    """Area of a rectangle. [sq ft] Both sides 0.5 to 1,000 ft. Raises OutOfRange, also for an unbelievable lawn.

    Checked: published/areas.csv (Mississippi State P1322: 110 by 80 ft).
    """
    return require_lawn_sqft(_side(length_ft) * _side(width_ft))


def circle_sqft(radius_ft: float) -> float:
    """Area of a circle from its radius. [sq ft] 1.2 to 260 ft, by the size of a believable lawn. Raises OutOfRange."""
    return require_lawn_sqft(math.pi * _side(radius_ft) ** 2)


def triangle_sqft(base_ft: float, height_ft: float) -> float:
    """Area of a triangle from its base and the height straight up from it. [sq ft] Raises OutOfRange."""
    return require_lawn_sqft(0.5 * _side(base_ft) * _side(height_ft))


def paced_rectangle(length_paces: float, width_paces: float) -> AreaEstimate:
    """A rectangle paced out. [paces] 1 to 400 a side; a pace taken as 2.5 ft, 2.2 to 3.0 (expert judgement).

    Raises OutOfRange for a side or a middle size that is not believable; the low and high ends are not refused.
    """
    for name, paces in (("length_paces", length_paces), ("width_paces", width_paces)):
        require_range(name, paces, facts.PACES.low, facts.PACES.high, "paces")
    square = length_paces * width_paces
    return AreaEstimate(
        area_sqft=require_lawn_sqft(square * facts.PACE_FT.value**2),
        low_sqft=square * facts.PACE_FT.low**2,
        high_sqft=square * facts.PACE_FT.high**2,
    )


def total_sqft(parts_sqft: Iterable[float]) -> float:
    """Sum of the parts of one lawn. [sq ft] Each part and the sum must be believable. Raises NotEnoughData if empty."""
    parts = [require_lawn_sqft(part) for part in parts_sqft]
    if not parts:
        raise NotEnoughData("a lawn needs at least one part to have a size")
    return require_lawn_sqft(math.fsum(parts))


def require_lawn_sqft(area_sqft: float) -> float:
    """Return the area unchanged when it is a believable home lawn, 4 sq ft to 5 acres; raise OutOfRange otherwise."""
    return require_range("area_sqft", area_sqft, facts.LAWN_SQFT.low, facts.LAWN_SQFT.high, "sq ft")


def _side(length_ft: float) -> float:
    return require_range("length_ft", length_ft, facts.LENGTH_FT.low, facts.LENGTH_FT.high, "ft")
