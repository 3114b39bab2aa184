"""Drawn areas from outside, as GeoJSON (RFC 7946): read within limits, checked, mended where that is safe.

Refused by name: `too_large`, `not_json`, `too_deep`, `wrong_kind`, `bad_point`, `out_of_range`, `not_closed`,
`too_few_points`, `too_many_points`, `too_many_polygons`, `crosses_antimeridian`, `too_tangled`, `no_area`.
A ring that crosses itself is made valid (its loops become parts); `Drawn.is_mended` tells, so that a person looks.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil
from typing import Any

import numpy as np
import shapely

from bot.ops.regions.refused import ShapeRefused
from bot.ops.regions.shapes import Point, Polygon, Ring

MOST_BYTES = 5_000_000
MOST_POLYGONS = 1000
MOST_POINTS = 10_000  # of one polygon; a state's outline from the census has fewer
MOST_POINTS_TOGETHER = 100_000
MOST_POINTS_TO_MEND = 20_000  # of all outlines of one drawing that cross themselves
MOST_CROSSINGS = 300  # of one outline; a scribble has about a tenth of the square of its points, each of them work
SEGMENTS_LOOKED_AT = 100
HALF_TURN_DEGREES = 180


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """What was drawn. `is_mended`: some ring crossed itself and was made valid."""

    polygons: tuple[Polygon, ...]
    is_mended: bool = False


def read_geojson(doc: str | bytes) -> Drawn:
    """The polygons of a GeoJSON text. Raises `ShapeRefused`."""
    return drawn_in(values_in(doc))


def polygons_of(values: object) -> tuple[Polygon, ...]:
    """The polygons of GeoJSON that was parsed already. Raises `ShapeRefused`."""
    return drawn_in(values).polygons


def values_in(doc: str | bytes, most_bytes: int = MOST_BYTES) -> Any:
    """Plain values of a JSON text within our limits. Raises `ShapeRefused`."""
    if len(doc) > most_bytes:
        raise ShapeRefused("too_large", f"The text is larger than {most_bytes // 1_000_000} MB.")
    try:
        return json.loads(doc)
    except RecursionError as error:
        raise ShapeRefused("too_deep", "The text is nested too deeply to be an area.") from error
    except ValueError as error:  # no JSON, or no text at all
        raise ShapeRefused("not_json", f"This cannot be read as JSON ({error}).") from error


def drawn_in(values: object) -> Drawn:
    """Every polygon in a Polygon, MultiPolygon, Feature or FeatureCollection. Raises `ShapeRefused`."""
    raw = list(_raw_polygons(values))
    if not raw:
        raise ShapeRefused("no_area", "There is no polygon in it.")
    if len(raw) > MOST_POLYGONS:
        raise ShapeRefused("too_many_polygons", f"{len(raw)} polygons are more than {MOST_POLYGONS}.")
    if sum(map(_count_points, raw)) > MOST_POINTS_TOGETHER:
        raise ShapeRefused("too_many_points", f"The areas have more than {MOST_POINTS_TOGETHER} points together.")
    polygons: list[Polygon] = []
    to_mend = MOST_POINTS_TO_MEND
    for rings in map(_checked, raw):
        drawn = _drawn(rings)
        if drawn.is_valid and drawn.area > 0:
            polygons.append(Polygon(outer=rings[0], holes=tuple(rings[1:])))
            continue
        to_mend -= _count_points(rings)
        if to_mend < 0 or _crossings(rings[0]) > MOST_CROSSINGS:
            raise ShapeRefused("too_tangled", "The outline crosses itself too often to be put right. Draw it anew.")
        polygons += _mended(drawn)
    if len(polygons) > MOST_POLYGONS:
        raise ShapeRefused("too_many_polygons", f"Put right, it has more than {MOST_POLYGONS} polygons. Draw it anew.")
    return Drawn(polygons=tuple(polygons), is_mended=to_mend < MOST_POINTS_TO_MEND)


def _raw_polygons(values: object) -> Iterator[Sequence[Any]]:
    """The rings of each polygon, unread."""
    for geometry in _geometries(values):
        kind, coordinates = geometry.get("type"), geometry.get("coordinates")
        if kind not in ("Polygon", "MultiPolygon"):
            raise ShapeRefused("wrong_kind", f"A {_short(kind)} is no area. Polygon and MultiPolygon are.")
        yield from [_list(coordinates)] if kind == "Polygon" else map(_list, _list(coordinates))


def _geometries(values: object) -> Iterator[Mapping[str, Any]]:
    """The geometries of what was given; a feature without one is passed over."""
    outer = _object(values)
    is_collection = outer.get("type") == "FeatureCollection"
    for each in map(_object, _list(outer.get("features"))) if is_collection else (outer,):
        if each.get("type") != "Feature":
            if is_collection:
                raise ShapeRefused("wrong_kind", f"A FeatureCollection holds features, not {_short(each.get('type'))}.")
            yield each
        elif each.get("geometry") is not None:
            yield _object(each["geometry"])


def _checked(rings: Sequence[Any]) -> list[Ring]:
    if not rings:
        raise ShapeRefused("no_area", "A polygon has no ring.")
    if _count_points(rings) > MOST_POINTS:
        raise ShapeRefused("too_many_points", f"A polygon has more than {MOST_POINTS} points. Simplify it.")
    return [_checked_ring(_list(ring)) for ring in rings]


def _checked_ring(raw: Sequence[Any]) -> Ring:
    if len(raw) < 4:
        raise ShapeRefused("too_few_points", "A ring needs at least four points, the last one equal to the first.")
    ring = tuple(map(_point, raw))
    if ring[0] != ring[-1]:
        raise ShapeRefused("not_closed", "A ring does not end where it began. Its last point must be its first.")
    if any(abs(one[0] - other[0]) > HALF_TURN_DEGREES for one, other in pairwise(ring)):
        raise ShapeRefused(
            "crosses_antimeridian", "An outline jumps over the 180th meridian. Cut the area in two there."
        )
    return ring


def _point(raw: object) -> Point:
    position = _list(raw)
    if len(position) < 2 or not all(_is_number(each) for each in position[:2]):
        raise ShapeRefused("bad_point", f"{_short(raw)} is no point. It needs longitude and latitude.")
    longitude, latitude = position[:2]  # a height may follow; it is not used
    if not (-180 <= longitude <= 180 and -90 <= latitude <= 90):  # nor is what is not a number within them
        hint = " Longitude comes first." if -90 <= longitude <= 90 else ""
        raise ShapeRefused("out_of_range", f"{_short(raw)} is not on the globe.{hint}")
    return float(longitude), float(latitude)


def _drawn(rings: Sequence[Ring]) -> shapely.Polygon:
    return shapely.Polygon(rings[0], rings[1:])


def _crossings(ring: Ring) -> float:
    """About how often an outline crosses itself, from some of its segments."""
    points = np.array(ring)
    segments = shapely.linestrings(np.stack((points[:-1], points[1:]), axis=1))
    some = segments[:: ceil(len(segments) / SEGMENTS_LOOKED_AT)]
    pairs = shapely.STRtree(segments).query(some, predicate="crosses")
    return float(len(pairs[0]) / len(some) * len(segments) / 2)


def _mended(drawn: shapely.Polygon) -> list[Polygon]:
    """The ground an outline encloses that crosses itself, as valid polygons."""
    sound = shapely.make_valid(drawn, method="structure", keep_collapsed=False)
    parts = [part for part in shapely.get_parts(sound) if isinstance(part, shapely.Polygon) and part.area > 0]
    if not parts:
        raise ShapeRefused("no_area", "The outline encloses no ground.")
    return [_polygon(part.exterior.coords, [hole.coords for hole in part.interiors]) for part in parts]


def _polygon(outer: Sequence[Any], holes: Sequence[Sequence[Any]]) -> Polygon:
    return Polygon(outer=_ring(outer), holes=tuple(map(_ring, holes)))


def _ring(coordinates: Sequence[Any]) -> Ring:
    return tuple((float(longitude), float(latitude)) for longitude, latitude in coordinates)


def _count_points(rings: Sequence[Any]) -> int:
    return sum(len(ring) for ring in rings if isinstance(ring, (list, tuple)))


def _object(values: object) -> Mapping[str, Any]:
    if not isinstance(values, dict):
        raise ShapeRefused("wrong_kind", f"{_short(values)} is no GeoJSON object.")
    return values


def _list(values: object) -> list[Any]:
    if not isinstance(values, list):
        raise ShapeRefused("wrong_kind", f"{_short(values)} stands where a list of points is wanted.")
    return values


def _is_number(value: object) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool)


def _short(value: object) -> str:
    """The beginning of what was given, for a sentence; of what holds more, what it is."""
    if isinstance(value, dict):
        return "an object"
    if isinstance(value, list) and not (len(value) <= 3 and all(map(_is_number, value))):
        return "a list"
    return repr(value)[:60]
