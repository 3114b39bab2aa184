"""An area as somebody types, draws or uploads it, to a shape: for the command and for the desk's form alike.

1. What cannot be used is refused by name (`ShapeRefused`), with a sentence that says what to type instead.
2. Points are typed a line each, latitude first as people say it; an empty line begins another area. The last point of
   an area need not be its first.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby

from bot.ops.regions.counties import county_named
from bot.ops.regions.geojson import MOST_POINTS, Drawn, drawn_in, read_geojson
from bot.ops.regions.refused import ShapeRefused
from bot.ops.regions.shapes import Circle, Point, Shape

FEWEST_CORNERS = 3
LONGEST_LINE = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed:
    """The parts of an area as they came. `geojson`: whole files; `points`: lines of "latitude, longitude"."""

    states: tuple[str, ...] = ()
    counties: tuple[str, ...] = ()
    zips: tuple[str, ...] = ()
    circles: tuple[str, ...] = ()
    codes: tuple[str, ...] = ()
    geojson: tuple[bytes, ...] = ()
    points: str = ""


def shape_of(typed: Typed) -> tuple[Shape, bool]:
    """The area, and whether an outline had to be put right. Raises `ShapeRefused`."""
    drawn = [read_geojson(content) for content in typed.geojson]
    if typed.points.strip():
        drawn.append(drawn_by_points(typed.points))
    shape = Shape(
        states=frozenset(each.upper() for each in typed.states),
        counties=frozenset(map(county_named, typed.counties)),
        zip_prefixes=frozenset(typed.zips),
        circles=tuple(map(_circle, typed.circles)),
        polygons=tuple(polygon for each in drawn for polygon in each.polygons),
        codes=frozenset(each.upper() for each in typed.codes),
    )
    return shape, any(each.is_mended for each in drawn)


def drawn_by_points(text: str) -> Drawn:
    """Areas by their corners. Raises `ShapeRefused`."""
    lines = text.splitlines()
    if len(lines) > MOST_POINTS:
        raise ShapeRefused("too_many_points", f"More than {MOST_POINTS} lines of points. Hand them in as GeoJSON.")
    rings = [_ring(list(area)) for is_empty, area in groupby(enumerate(lines, 1), _is_empty) if not is_empty]
    return drawn_in({"type": "MultiPolygon", "coordinates": [[ring] for ring in rings]})


def _is_empty(numbered: tuple[int, str]) -> bool:
    return not numbered[1].strip()


def _ring(lines: list[tuple[int, str]]) -> list[list[float]]:
    corners = list(_corners(lines))
    if len(set(corners)) < FEWEST_CORNERS:
        raise ShapeRefused("too_few_points", "An area takes at least three points. Set another one.")
    closed = corners if corners[0] == corners[-1] else [*corners, corners[0]]
    return [list(point) for point in closed]


def _corners(lines: list[tuple[int, str]]) -> Iterator[Point]:
    for number, line in lines:
        shown = line.strip()[:LONGEST_LINE]
        try:
            latitude, longitude = map(float, line.split(","))
        except ValueError as error:
            raise ShapeRefused(
                "bad_point", f"Line {number}: {shown!r} is no point. Type latitude and longitude, like 31.20, -81.50."
            ) from error
        if not (-90 <= latitude <= 90 and -180 <= longitude <= 180):  # nor is what is not a number within them
            raise ShapeRefused("out_of_range", f"Line {number}: {shown!r} is not on the globe. Latitude comes first.")
        yield longitude, latitude


def _circle(typed: str) -> Circle:
    try:
        latitude, longitude, km = map(float, typed.split(","))
    except ValueError as error:
        raise ShapeRefused(
            "bad_circle", f"{typed!r} is no circle. Type latitude, longitude and kilometres, like 31.2,-81.5,40."
        ) from error
    return Circle(latitude=latitude, longitude=longitude, km=km)
