"""An area on the ground: states, counties, ZIP prefixes, circles, polygons and alert codes, all together one union.

1. A `Shape` that exists can be used: its parts are checked when it is made, and refused by name (`ShapeRefused`).
2. Points stand as in GeoJSON: longitude first. Whoever has latitude first (alerts) makes rings with `ring_of`.
3. Nothing here looks at homes; `selecting.py` does.

    Shape(states=frozenset({"GA"}), circles=(Circle(latitude=31.2, longitude=-81.5, km=40),))
    Shape(codes=frozenset({"SAME 013127", "UGC GAC191"}))
    Shape(polygons=read_geojson(text).polygons)            # geojson.py
    one | other                                            # the union of both
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable
from dataclasses import dataclass
from math import cos, radians
from typing import Any

from bot.ops.regions.codes import STATE_DIGITS, area_of_code, state_of_county
from bot.ops.regions.refused import ShapeRefused

Point = tuple[float, float]
"""Longitude and latitude, in degrees, as GeoJSON writes them."""

Ring = tuple[Point, ...]
"""A closed line: its last point is its first."""

KM_PER_DEGREE = 111.2  # along a meridian
MOST_PARTS = 5000  # names of states, counties and ZIP prefixes in one shape; the country has about 3,200 counties
MOST_CIRCLES = 200
MOST_KM = 1500.0  # a circle that holds the largest of the states

_ZIP = re.compile(r"[0-9]{1,5}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Circle:
    """Everything within `km` of a point, along the ground."""

    latitude: float
    longitude: float
    km: float

    def __post_init__(self) -> None:
        if not (-90 <= self.latitude <= 90 and -180 <= self.longitude <= 180 and 0 < self.km <= MOST_KM):
            raise ShapeRefused(
                "bad_circle", f"A circle needs latitude, longitude and a radius of at most {MOST_KM:.0f} km."
            )
        north, east = self.reach_degrees
        if abs(self.latitude) + north >= 90 or abs(self.longitude) + east > 180:
            raise ShapeRefused("crosses_antimeridian", "The circle reaches over a pole or the 180th meridian.")

    @property
    def reach_degrees(self) -> tuple[float, float]:
        """How far it reaches north and east at most, a little more rather than less. [degrees]"""
        north = self.km / KM_PER_DEGREE * 1.01
        return north, north / max(cos(radians(min(abs(self.latitude) + north, 89.9))), 0.001)


@dataclass(frozen=True, slots=True, kw_only=True)
class Polygon:
    """One area with its holes. Made by `geojson.py` from outside data, which checks and mends it."""

    outer: Ring
    holes: tuple[Ring, ...] = ()

    def __post_init__(self) -> None:
        for ring in (self.outer, *self.holes):
            if len(ring) < 4 or ring[0] != ring[-1]:
                raise ShapeRefused("not_closed", "A ring needs at least four points, and its last one is its first.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """The union of its parts; at least one.

    states : two letters
    counties : five digits, state and county
    zip_prefixes : one to five digits
    codes : of an alert, like "SAME 013127" or "UGC GAC127"; what they mean is in `all_counties` and `all_states`
    """

    states: frozenset[str] = frozenset()
    counties: frozenset[str] = frozenset()
    zip_prefixes: frozenset[str] = frozenset()
    circles: tuple[Circle, ...] = ()
    polygons: tuple[Polygon, ...] = ()
    codes: frozenset[str] = frozenset()

    def __post_init__(self) -> None:
        named = (self.states, self.counties, self.zip_prefixes, self.codes)
        if not any((*named, self.circles, self.polygons)):
            raise ShapeRefused(
                "empty", "The area names no place. Give a state, a county, a ZIP, a circle or a drawing."
            )
        if sum(map(len, named)) > MOST_PARTS or len(self.circles) > MOST_CIRCLES:
            raise ShapeRefused("too_many_parts", "The area has too many parts. Name whole states where you can.")
        for state in self.states:
            if state not in STATE_DIGITS:
                raise ShapeRefused("unknown_state", f"{state!r} is no state. Use two letters, like GA.")
        for county in self.counties:
            state_of_county(county)
        for prefix in self.zip_prefixes:
            if not _ZIP.fullmatch(prefix):
                raise ShapeRefused("bad_zip", f"{prefix!r} is no beginning of a ZIP code. Use one to five digits.")
        for code in self.codes:
            area_of_code(code)

    @property
    def all_counties(self) -> frozenset[str]:
        """The named counties and those the codes mean."""
        return self.counties | self._coded("county")

    @property
    def all_states(self) -> frozenset[str]:
        """The named states and those the codes mean whole."""
        return self.states | self._coded("state")

    def _coded(self, wanted: str) -> frozenset[str]:
        return frozenset(area for kind, area in map(area_of_code, self.codes) if kind == wanted)

    def __or__(self, other: Shape) -> Shape:
        """Everything in either."""
        return Shape(
            states=self.states | other.states,
            counties=self.counties | other.counties,
            zip_prefixes=self.zip_prefixes | other.zip_prefixes,
            circles=tuple(dict.fromkeys(self.circles + other.circles)),
            polygons=tuple(dict.fromkeys(self.polygons + other.polygons)),
            codes=self.codes | other.codes,
        )


def ring_of(latitude_first: Iterable[tuple[float, float]]) -> Ring:
    """A ring from points with latitude first, as alerts write them."""
    return tuple((longitude, latitude) for latitude, longitude in latitude_first)


def shape_doc(shape: Shape) -> str:
    """A shape as JSON text; the same shape gives the same text."""
    return json.dumps(plain_shape(shape), separators=(",", ":"))


def plain_shape(shape: Shape) -> dict[str, Any]:
    """A shape as plain values; parts it has not are left out. Polygons are a GeoJSON MultiPolygon."""
    plain: dict[str, Any] = {
        "states": sorted(shape.states),
        "counties": sorted(shape.counties),
        "zip_prefixes": sorted(shape.zip_prefixes),
        "circles": [{"latitude": each.latitude, "longitude": each.longitude, "km": each.km} for each in shape.circles],
        "codes": sorted(shape.codes),
    }
    if shape.polygons:
        rings = [[list(map(list, ring)) for ring in (each.outer, *each.holes)] for each in shape.polygons]
        plain["area"] = {"type": "MultiPolygon", "coordinates": rings}
    return {name: value for name, value in plain.items() if value}


def shape_from(doc: str | bytes) -> Shape:
    """A shape from JSON text, strictly: what is not known, or cannot be used, raises `ShapeRefused`."""
    from bot.ops.regions.shape_file import read_shape  # pydantic: only where something comes from outside

    return read_shape(doc)
