"""Where the lawns are and how cold the ground got there, as squares on a grid: what a page draws and a table repeats.

Pure. A square says how many lawns lie in it and the middle of their estimated soil minima, as a figure and as a shade;
nobody has to see colours. Where homes are few, a square or county would point at somebody: it is left out for those who
may see no single lawn, and how many are left out is told.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bot.store.case_lists import Cell, County
from rules.units import c_to_f

FEWEST_HOMES = 5
"""Below this many homes a figure is as good as a name."""
STEPS_E2 = (25, 50, 100, 200, 400, 800)
MOST_COLUMNS, MOST_ROWS = 6, 9
"""So that a figure in a square can be read on a phone."""
SIDE, LEFT, TOP = 64, 44, 8
"""Of a square, and of the margins, in the drawing's own units."""
SHADES_FROM_F = (25, 29, 32, 36, 42)
"""Lower edges of the shades after the coldest: a St. Augustine's runners, frost in the ground, none, mild."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Square:
    """One square as it is drawn: its corner, its shade (0 the coldest; None: no estimate), figure and lawns."""

    x: int
    y: int
    shade: int | None
    soil_f: int | None
    lawns: int
    south: float
    west: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """A degree at the edge: how far along, and the degree (positive north or west)."""

    at: int
    degrees: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SoilMap:
    """The drawing. `left_out`: lawns in squares with too few homes to be shown."""

    width: int
    height: int
    step_degrees: float
    squares: tuple[Square, ...]
    rows: tuple[Label, ...]
    columns: tuple[Label, ...]
    left_out: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CountyRow:
    """A county as a line of the table. Both names are empty for lawns whose place is not known."""

    state: str
    county: str
    lawns: int
    soil_f: int | None


def step_of(extent: tuple[int, int, int, int]) -> int:
    """The side of a square that lets everything be seen at once, in hundredths of a degree."""
    south, west, north, east = extent
    for step in STEPS_E2[:-1]:
        if _count(west, east, step) <= MOST_COLUMNS and _count(south, north, step) <= MOST_ROWS:
            return step
    return STEPS_E2[-1]


def _count(low: int, high: int, step: int) -> int:
    return high // step - low // step + 1


def soil_map(cells: Sequence[Cell], step_e2: int, fewest_homes: int) -> SoilMap | None:
    """The squares with enough homes, drawn; None where there is none."""
    shown = [cell for cell in cells if cell.homes >= fewest_homes]
    if not shown:
        return None
    north = max(cell.south_e2 for cell in shown)
    west = min(cell.west_e2 for cell in shown)
    rows = (north - min(cell.south_e2 for cell in shown)) // step_e2 + 1
    columns = (max(cell.west_e2 for cell in shown) - west) // step_e2 + 1
    return SoilMap(
        width=LEFT + columns * SIDE + 2,
        height=TOP + rows * SIDE + 20,
        step_degrees=step_e2 / 100,
        squares=tuple(_square(cell, north, west, step_e2) for cell in shown),
        rows=tuple(Label(at=TOP + n * SIDE, degrees=_degrees(north - n * step_e2)) for n in range(rows)),
        columns=tuple(Label(at=LEFT + n * SIDE, degrees=_degrees(-(west + n * step_e2))) for n in range(columns)),
        left_out=sum(cell.lawns for cell in cells) - sum(cell.lawns for cell in shown),
    )


def _square(cell: Cell, north_e2: int, west_e2: int, step_e2: int) -> Square:
    soil_f = fahrenheit(cell.soil_min_dc)
    return Square(
        x=LEFT + (cell.west_e2 - west_e2) // step_e2 * SIDE,
        y=TOP + (north_e2 - cell.south_e2) // step_e2 * SIDE,
        shade=None if soil_f is None else sum(soil_f >= edge for edge in SHADES_FROM_F),
        soil_f=soil_f,
        lawns=cell.lawns,
        south=cell.south_e2 / 100,
        west=-cell.west_e2 / 100,
    )


def _degrees(value_e2: int) -> str:
    return f"{value_e2 / 100:g}"


def fahrenheit(tenths_c: float | None) -> int | None:
    """Tenths of a degree C as whole degrees F."""
    return None if tenths_c is None else round(c_to_f(tenths_c / 10))


def county_rows(counties: Sequence[County], fewest_homes: int) -> tuple[tuple[CountyRow, ...], int]:
    """The counties with enough homes, coldest first, and how many lawns are left out.

    Lawns without a county come last, and are always told: they point at no place.
    """
    shown = [each for each in counties if each.homes >= fewest_homes or not each.county]
    rows = [
        CountyRow(state=each.state, county=each.county, lawns=each.lawns, soil_f=fahrenheit(each.soil_min_dc))
        for each in shown
    ]
    left_out = sum(each.lawns for each in counties) - sum(each.lawns for each in shown)
    return tuple(sorted(rows, key=_coldest_first)), left_out


def _coldest_first(row: CountyRow) -> tuple[bool, int, str, str]:
    warmest = 200
    return not row.county, row.soil_f if row.soil_f is not None else warmest, row.state, row.county
