"""Which of very many positions lie in drawn areas and circles, and how large a shape is.

1. Positions are hundredths of a degree; each cell of that grid is looked at once, however many homes share it.
2. A position on the edge of an area is in it. Circles are measured along the ground.
3. Areas are brought to hundredths of a degree too: there places are whole numbers and so is most of what people draw,
   so that a place on an edge is found on it and not a millionth of an inch beside it.
4. Positions are sorted by longitude, so that an area is only asked about those beside it; what is in its box is then
   asked of shapely's prepared geometry, all at once.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from math import ceil, floor, pi

import numpy as np
import shapely
from numpy.typing import NDArray

from bot.ops.regions.counties import counties
from bot.ops.regions.shapes import Circle, Polygon, Ring, Shape

Truths = NDArray[np.bool_]
Degrees = NDArray[np.float64]

EARTH_RADIUS_KM = 6371.0088  # mean radius of the GRS 80 ellipsoid (IUGG)
PARTS_OF_DEGREE = 100
DECIMALS = 6  # of hundredths of a degree: a millimetre
LONGITUDES = 100_000  # more than the hundredths of degrees there are, to write a position as one number
AREA_OF_ZIP_PREFIX_KM2 = {1: 935_000.0, 2: 94_000.0, 3: 10_400.0, 4: 1_580.0, 5: 314.0}
"""By its digits: the country's area over the number of such beginnings among the standard codes of the ZIP table."""


Box = tuple[float, float, float, float]
"""West, south, east and north edge, in hundredths of a degree."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Cells:
    """Distinct positions, sorted by longitude, in hundredths of a degree."""

    longitude: Degrees
    latitude: Degrees

    def beside(self, box: Box) -> NDArray[np.intp]:
        """Which of them lie in a box."""
        west, south, east, north = box
        first, last = np.searchsorted(self.longitude, west, "left"), np.searchsorted(self.longitude, east, "right")
        latitude = self.latitude[first:last]
        return np.flatnonzero((latitude >= south) & (latitude <= north)) + first


def box_of(shape: Shape) -> tuple[int, int, int, int] | None:
    """South, west, north and east edge around all that is drawn, in hundredths of a degree; None: nothing is drawn."""
    boxes = [_box_of_polygon(each) for each in shape.polygons] + [_box_of_circle(each) for each in shape.circles]
    if not boxes:
        return None
    west, south, east, north = zip(*boxes, strict=True)
    return floor(min(south)), floor(min(west)), ceil(max(north)), ceil(max(east))


def lie_in(shape: Shape, latitude_e2: NDArray[np.int64], longitude_e2: NDArray[np.int64]) -> Truths:
    """For each position whether it lies in any polygon or circle of a shape. What it names is not looked at here."""
    if not len(latitude_e2):
        return np.zeros(0, dtype=np.bool_)
    packed, where = np.unique(longitude_e2 * LONGITUDES + latitude_e2 + LONGITUDES // 2, return_inverse=True)
    longitude, latitude = np.divmod(packed, LONGITUDES)
    cells = _Cells(longitude=longitude.astype(float), latitude=(latitude - LONGITUDES // 2).astype(float))
    return _cells_in(shape, cells)[where]


def _cells_in(shape: Shape, cells: _Cells) -> Truths:
    found = np.zeros(len(cells.longitude), dtype=np.bool_)
    for polygon in shape.polygons:
        beside = _still(found, cells.beside(_box_of_polygon(polygon)))
        drawn = _prepared(polygon)
        found[beside] = shapely.intersects_xy(drawn, cells.longitude[beside], cells.latitude[beside])
    for circle in shape.circles:
        beside = _still(found, cells.beside(_box_of_circle(circle)))
        latitudes, longitudes = cells.latitude[beside] / PARTS_OF_DEGREE, cells.longitude[beside] / PARTS_OF_DEGREE
        found[beside] = km_from(circle.latitude, circle.longitude, latitudes, longitudes) <= circle.km
    return found


def _still(found: Truths, which: NDArray[np.intp]) -> NDArray[np.intp]:
    return which[~found[which]]


def _in_hundredths(ring: Ring) -> Degrees:
    return np.round(np.array(ring) * PARTS_OF_DEGREE, DECIMALS)


def _prepared(polygon: Polygon) -> shapely.Polygon:
    drawn = shapely.Polygon(_in_hundredths(polygon.outer), [_in_hundredths(hole) for hole in polygon.holes])
    shapely.prepare(drawn)
    return drawn


def _box_of_polygon(polygon: Polygon) -> Box:
    outer = _in_hundredths(polygon.outer)
    (west, south), (east, north) = outer.min(axis=0), outer.max(axis=0)
    return float(west), float(south), float(east), float(north)


def _box_of_circle(circle: Circle) -> Box:
    north, east = (each * PARTS_OF_DEGREE for each in circle.reach_degrees)
    longitude, latitude = circle.longitude * PARTS_OF_DEGREE, circle.latitude * PARTS_OF_DEGREE
    return longitude - east, latitude - north, longitude + east, latitude + north


def km_from(latitude: float, longitude: float, latitudes: Degrees, longitudes: Degrees) -> Degrees:
    """Distances from one point to many, along the ground of a ball (haversine). [km]"""
    north = np.sin(np.radians(latitudes - latitude) / 2) ** 2
    east = np.sin(np.radians(longitudes - longitude) / 2) ** 2
    half_chord = north + np.cos(np.radians(latitude)) * np.cos(np.radians(latitudes)) * east
    distances: Degrees = 2 * EARTH_RADIUS_KM * np.arcsin(np.sqrt(np.minimum(half_chord, 1.0)))
    return distances


# --- how large --------------------------------------------------------------------------------------------------------


def area_km2(shape: Shape) -> float:
    """About how much ground a shape covers, its parts added up (ground in two of them counts twice). [km2]

    For telling the smaller of two regions, nothing finer. A ZIP prefix counts as an ordinary one of its length.
    """
    return sum(_areas_km2(shape))


def _areas_km2(shape: Shape) -> Iterator[float]:
    known = counties()
    yield from (_state_km2(state) for state in shape.all_states)
    yield from (known[code].area_km2 if code in known else 0.0 for code in shape.all_counties)
    yield from (AREA_OF_ZIP_PREFIX_KM2[len(prefix)] for prefix in shape.zip_prefixes)
    yield from (pi * circle.km**2 for circle in shape.circles)
    yield from (_polygon_km2(polygon) for polygon in shape.polygons)


@cache
def _state_km2(state: str) -> float:
    return sum(county.area_km2 for county in counties().values() if county.state == state)


def _polygon_km2(polygon: Polygon) -> float:
    """On a map of equal areas: east in radians, north as the sine of the latitude."""
    flat = shapely.transform(shapely.Polygon(polygon.outer, polygon.holes), _equal_area)
    return float(flat.area) * EARTH_RADIUS_KM**2


def _equal_area(points: Degrees) -> Degrees:
    return np.column_stack((np.radians(points[:, 0]), np.sin(np.radians(points[:, 1]))))
