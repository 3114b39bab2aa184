"""A plain map to draw areas on: squares where lawns are, county names, degrees, and the areas there are. Pure.

Points of the map and degrees follow from each other by two scales, so that a page's script and its server agree.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby
from math import ceil, cos, floor, radians

from bot.ops.regions.ground import PARTS_OF_DEGREE, box_of
from bot.ops.regions.shapes import Ring, Shape
from bot.places.states import state_middles
from bot.store.case_lists import Cell
from bot.store.lawns_drawn import CountyMiddle

WIDTH = 480
"""Of the map, in its own units; its height follows."""
MOST_COLUMNS, MOST_LINES = 24, 6
CELLS_E2 = (5, 10, 25, 50, 100, 200, 400, 800)
LINES_DEGREES = (0.1, 0.2, 0.5, 1, 2, 5, 10, 20)
AROUND_FRACTION, AROUND_DEGREES = 0.2, 0.25
"""How much ground is shown around what there is: areas are drawn around lawns, not through them."""
FLATTEST, STEEPEST = 0.75, 1.3
"""Height by width, so that a phone shows all of it."""
NAME_WIDTH, NAME_HEIGHT = 130, 20
"""The room a county's name takes."""
WARM_STATES = (24.0, -107.0, 40.0, -75.0)
"""What is shown while no lawn is known: where warm-season lawns grow. Expert judgement."""

Degrees = tuple[float, float, float, float]
"""South, west, north, east."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A square with lawns in it."""

    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A line of the grid: how far along, and its degree (positive north or west)."""

    at: float
    degrees: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Named:
    """A name on the map, at its middle."""

    x: float
    y: float
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Area:
    """What is drawn of one area: the points of each outline, and its circles as centre and half axes."""

    name: str
    outlines: tuple[str, ...]
    circles: tuple[tuple[float, float, float, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sketch:
    """The map. `x_per_degree`, `y_per_degree`: its scales; it begins at `west` and `north`."""

    west: float
    north: float
    x_per_degree: float
    y_per_degree: float
    height: int
    squares: tuple[Box, ...] = ()
    rows: tuple[Line, ...] = ()
    columns: tuple[Line, ...] = ()
    counties: tuple[Named, ...] = ()
    states: tuple[Named, ...] = ()
    areas: tuple[Area, ...] = ()

    def at(self, latitude: float, longitude: float) -> tuple[float, float]:
        """Where a place lies on the map."""
        x, y = (longitude - self.west) * self.x_per_degree, (self.north - latitude) * self.y_per_degree
        return round(x, 1), round(y, 1)


def cell_of(extent_e2: tuple[int, int, int, int] | None) -> int:
    """The side of the squares that lawns are shown by, in hundredths of a degree."""
    if extent_e2 is None:
        return CELLS_E2[0]
    south, west, north, east = extent_e2
    widest = max(east - west, north - south)
    return next((each for each in CELLS_E2 if widest / each <= MOST_COLUMNS), CELLS_E2[-1])


def frame_of(extent_e2: tuple[int, int, int, int] | None, shapes: Iterable[Shape] = ()) -> Sketch:
    """An empty map of the ground around all lawns and around some areas."""
    boxes = [extent_e2, *map(box_of, shapes)]
    known = [tuple(each / PARTS_OF_DEGREE for each in box) for box in boxes if box is not None]
    if not known:
        return _framed(WARM_STATES)
    south, west, north, east = zip(*known, strict=True)
    return _framed(_with_room((min(south), min(west), max(north), max(east))))


def _with_room(box: Degrees) -> Degrees:
    south, west, north, east = box
    around = max(AROUND_DEGREES, AROUND_FRACTION * max(north - south, east - west))
    return south - around, west - around, north + around, east + around


def _framed(box: Degrees) -> Sketch:
    """Ground of a shape that fits a phone: what is too flat or too steep shows more beside it."""
    south, west, north, east = box
    shrink = cos(radians((south + north) / 2))
    wide, high = east - west, (north - south) / shrink
    more_high, more_wide = max(0.0, FLATTEST * wide - high), max(0.0, high / STEEPEST - wide)
    west, wide = west - more_wide / 2, wide + more_wide
    north, high = north + more_high * shrink / 2, high + more_high
    scale = WIDTH / wide
    return Sketch(
        west=round(west, 4),
        north=round(north, 4),
        x_per_degree=round(scale, 4),
        y_per_degree=round(scale / shrink, 4),
        height=round(scale * high),
    )


def filled(
    frame: Sketch,
    cells: Sequence[Cell],
    cell_e2: int,
    middles: Sequence[tuple[str, CountyMiddle]],
    areas: Sequence[tuple[str, Shape]],
) -> Sketch:
    """The map with everything on it. `middles`, `areas`: each with its name."""
    return Sketch(
        west=frame.west,
        north=frame.north,
        x_per_degree=frame.x_per_degree,
        y_per_degree=frame.y_per_degree,
        height=frame.height,
        squares=tuple(_square(frame, each, cell_e2) for each in cells),
        rows=tuple(_rows(frame)),
        columns=tuple(_columns(frame)),
        counties=tuple(_names(frame, middles)),
        states=tuple(_states(frame)),
        areas=tuple(_area(frame, name, shape) for name, shape in areas),
    )


def _square(frame: Sketch, cell: Cell, cell_e2: int) -> Box:
    x, y = frame.at((cell.south_e2 + cell_e2) / PARTS_OF_DEGREE, cell.west_e2 / PARTS_OF_DEGREE)
    side = cell_e2 / PARTS_OF_DEGREE
    return Box(x=x, y=y, width=round(side * frame.x_per_degree, 1), height=round(side * frame.y_per_degree, 1))


def _rows(frame: Sketch) -> Iterable[Line]:
    south = frame.north - frame.height / frame.y_per_degree
    for degree in _even(south, frame.north):
        yield Line(at=frame.at(degree, frame.west)[1], degrees=f"{degree:g}")


def _columns(frame: Sketch) -> Iterable[Line]:
    for degree in _even(frame.west, frame.west + WIDTH / frame.x_per_degree):
        yield Line(at=frame.at(frame.north, degree)[0], degrees=f"{-degree:g}")


def _even(low: float, high: float) -> list[float]:
    step = next((each for each in LINES_DEGREES if (high - low) / each <= MOST_LINES), LINES_DEGREES[-1])
    return [round(number * step, 1) for number in range(ceil(low / step), floor(high / step) + 1)]


def _names(frame: Sketch, middles: Sequence[tuple[str, CountyMiddle]]) -> Iterable[Named]:
    """The fullest counties first; a name that would lie on another one is left out."""
    told: list[Named] = []
    for name, middle in middles:
        x, y = frame.at(middle.latitude_e2 / PARTS_OF_DEGREE, middle.longitude_e2 / PARTS_OF_DEGREE)
        if all(abs(each.x - x) >= NAME_WIDTH or abs(each.y - y) >= NAME_HEIGHT for each in told):
            told.append(Named(x=x, y=y, name=name))
    return told


def _states(frame: Sketch) -> Iterable[Named]:
    """The letters of the states whose middles lie on the map: without them an empty map tells nobody where they are."""
    for letters, latitude, longitude in state_middles():
        x, y = frame.at(latitude, longitude)
        if NAME_HEIGHT <= y <= frame.height - NAME_HEIGHT and NAME_HEIGHT <= x <= WIDTH - NAME_HEIGHT:
            yield Named(x=x, y=y, name=letters)


def _area(frame: Sketch, name: str, shape: Shape) -> Area:
    def outline(ring: Ring) -> str:
        """Without points the eye cannot tell apart: a coast may have thousands."""
        whole = ((round(x), round(y)) for x, y in (frame.at(latitude, longitude) for longitude, latitude in ring))
        return " ".join(f"{x},{y}" for (x, y), _ in groupby(whole))

    circles = []
    for circle in shape.circles:
        north, east = circle.reach_degrees
        x, y = frame.at(circle.latitude, circle.longitude)
        circles.append((x, y, round(east * frame.x_per_degree, 1), round(north * frame.y_per_degree, 1)))
    return Area(name=name, outlines=tuple(outline(each.outer) for each in shape.polygons), circles=tuple(circles))
