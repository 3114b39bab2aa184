"""A handful of places that stand for a region, where its forecast is asked for.

They are ZIP codes' middles that lie in it, since that is where lawns are: the northernmost first, then always the one
farthest from all before, so that each end of the region has one. The same region gives the same places. They need not
be its coldest: a mountain without a ZIP code is missed.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import shapely

from bot.ops.regions.counties import county_code
from bot.ops.regions.ground import km_from, lie_in
from bot.ops.regions.shapes import Shape
from bot.places.gazetteer import ZipArea

MOST_SPOTS = 6
APART_KM = 25.0
"""Nearer ones tell the same: a forecast is of cells, and cold of such a size."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """A place a forecast is asked for. `name` is empty for one that is no town."""

    name: str
    latitude: float
    longitude: float


def spots_of(shape: Shape, areas: Iterable[ZipArea], at_most: int = MOST_SPOTS) -> tuple[Spot, ...]:
    """The places for a shape, out of ZIP areas; none where nothing of it is known."""
    inside = sorted(_within(shape, list(areas)), key=lambda area: (-area.latitude, area.zip_code))
    if not inside:
        return _drawn_middles(shape)[:at_most]
    latitudes, longitudes = (np.array([getattr(area, name) for area in inside]) for name in ("latitude", "longitude"))
    chosen, nearest_km = [0], np.full(len(inside), np.inf)
    while len(chosen) < at_most:
        last = inside[chosen[-1]]
        nearest_km = np.minimum(nearest_km, km_from(last.latitude, last.longitude, latitudes, longitudes))
        farthest = int(nearest_km.argmax())
        if nearest_km[farthest] < APART_KM:
            break
        chosen.append(farthest)
    return tuple(_spot(inside[each]) for each in chosen)


def _spot(area: ZipArea) -> Spot:
    return Spot(name=f"{area.town}, {area.state}", latitude=area.latitude, longitude=area.longitude)


def _within(shape: Shape, areas: list[ZipArea]) -> list[ZipArea]:
    """Those a shape names, and those that lie in what it draws."""
    rounded = np.array([[each.latitude, each.longitude] for each in areas]).reshape(-1, 2) * 100
    latitude_e2, longitude_e2 = np.round(rounded).astype(np.int64).T
    is_drawn = lie_in(shape, latitude_e2, longitude_e2)
    states, counties, prefixes = shape.all_states, shape.all_counties, tuple(shape.zip_prefixes)
    return [
        area
        for area, drawn in zip(areas, is_drawn, strict=True)
        if drawn
        or area.state in states
        or (prefixes and area.zip_code.startswith(prefixes))
        or (counties and county_code(area.state, area.county) in counties)
    ]


def _drawn_middles(shape: Shape) -> tuple[Spot, ...]:
    """A point in each part that is drawn: for an area too small to hold the middle of a ZIP code."""
    drawn = [shapely.Polygon(each.outer, each.holes).representative_point() for each in shape.polygons]
    return (
        *(Spot(name="", latitude=each.y, longitude=each.x) for each in drawn),
        *(Spot(name="", latitude=each.latitude, longitude=each.longitude) for each in shape.circles),
    )
