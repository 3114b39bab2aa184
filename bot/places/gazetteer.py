"""The table of ZIP codes, read once from the `zipcodes` package and indexed by code, town, county and grid cell.

The package is asked state by state: asked for everything at once it keeps 43,000 dictionaries (100 MB) for ever.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from math import cos, hypot, radians
from statistics import median
from sys import intern
from typing import Any
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from bot.places.spelling import STATE_NAMES, town_key

CELL_DEGREES = 0.5
KM_PER_DEGREE = 111.2  # along a meridian
COUNTY_BORROW_KM = 40.0  # a code without a county takes that of the nearest one that has it, within this
ZONE_BORROW_KM = 400.0  # a zone covers far more ground

# How a code carries a name: the post office's own, an accepted one, or one it knows but does not like
OWN_NAME, OTHER_NAME, OLD_NAME = 0, 1, 2


@dataclass(frozen=True, slots=True)
class ZipArea:
    """One ZIP code. `standard` codes cover ground; the others are boxes and single large receivers."""

    zip_code: str
    town: str
    county: str
    state: str
    zone: str
    latitude: float
    longitude: float
    standard: bool
    active: bool
    other_names: tuple[str, ...] = ()
    old_names: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class NameUse:
    """That a ZIP code goes by a name: how (own, other, old), and how the name is written."""

    rank: int
    area: ZipArea
    written: str


@dataclass(frozen=True, slots=True)
class Gazetteer:
    """All ZIP codes with their indexes. Names are keyed by `town_key`, counties by (state, `town_key`)."""

    by_zip: Mapping[str, ZipArea]
    names: Mapping[str, tuple[NameUse, ...]]
    good_names: tuple[str, ...]  # sorted; without the old ones
    spellings: Mapping[str, tuple[str, ...]]  # name without spaces -> names ("lagrange" -> "lagrange", "la grange")
    names_of_state: Mapping[str, tuple[str, ...]]
    counties: Mapping[tuple[str, str], tuple[ZipArea, ...]]
    cells: Mapping[tuple[int, int], tuple[ZipArea, ...]] = field(repr=False)

    def near(self, latitude: float, longitude: float, within_km: float) -> list[tuple[float, ZipArea]]:
        """Standard active ZIP areas around a point with their distance in km, nearest first."""
        found = list(_near(self.cells, latitude, longitude, within_km))
        return sorted(found, key=lambda pair: (pair[0], pair[1].zip_code))


def km_between(latitude: float, longitude: float, other: ZipArea) -> float:
    """Distance over flat ground, good to half a percent over the few dozen kilometres asked for here. [km]"""
    east = (other.longitude - longitude) * cos(radians((latitude + other.latitude) / 2))
    return KM_PER_DEGREE * hypot(other.latitude - latitude, east)


def centre_of(areas: list[ZipArea]) -> tuple[float, float]:
    """Median latitude and longitude: one far-off box does not drag the centre along."""
    return median(area.latitude for area in areas), median(area.longitude for area in areas)


def load_gazetteer() -> Gazetteer:
    """Read and index the table; about half a second, so done at first use and kept."""
    areas = _mended(list(_read_areas()))
    names = _index_names(areas)
    of_state: defaultdict[str, set[str]] = defaultdict(set)
    for key, uses in names.items():
        for use in uses:
            if use.rank != OLD_NAME:
                of_state[use.area.state].add(key)
    return Gazetteer(
        by_zip={area.zip_code: area for area in areas},
        names=names,
        good_names=tuple(sorted(set().union(*of_state.values()))),
        spellings=_index_spellings(names),
        names_of_state={state: tuple(sorted(keys)) for state, keys in of_state.items()},
        counties=_index_counties(areas),
        cells=_index_cells(area for area in areas if area.standard and area.active),
    )


def _read_areas() -> Iterator[ZipArea]:
    import zipcodes  # here, so that importing this module costs nothing

    for state in STATE_NAMES:
        for row in zipcodes.filter_by_state(state):  # type: ignore[no-untyped-call]  # ships no annotations
            latitude, longitude = float(row["lat"] or 0), float(row["long"] or 0)
            if latitude == 0 or longitude == 0:  # army and embassy boxes, filed under a state
                continue
            yield _area_from(row, latitude, longitude)


def _area_from(row: Mapping[str, Any], latitude: float, longitude: float) -> ZipArea:
    standard = row["zip_code_type"] == "STANDARD"
    return ZipArea(
        zip_code=row["zip_code"],
        town=intern(row["city"]),
        county=intern(row["county"]),
        state=intern(row["state"]),
        zone=intern(row["timezone"]),
        latitude=latitude,
        longitude=longitude,
        standard=standard,
        active=bool(row["active"]),
        other_names=tuple(row["acceptable_cities"]),
        old_names=tuple(row["unacceptable_cities"]) if standard else (),
    )


def _mended(areas: list[ZipArea]) -> list[ZipArea]:
    """The same areas, with missing counties and impossible zones taken from the nearest sound neighbour."""
    sound_zones = {zone for zone in {area.zone for area in areas} if _is_zone(zone)}
    cells = _index_cells(area for area in areas if area.county and area.zone in sound_zones)
    return [_mend(area, cells, sound_zones) for area in areas]


def _mend(area: ZipArea, cells: Mapping[tuple[int, int], tuple[ZipArea, ...]], sound_zones: set[str]) -> ZipArea:
    if area.county and area.zone in sound_zones:
        return area
    within_km = COUNTY_BORROW_KM if area.zone in sound_zones else ZONE_BORROW_KM
    around = _near(cells, area.latitude, area.longitude, within_km)
    same_state = [pair for pair in around if pair[1].state == area.state]
    if not same_state:
        return area
    donor = min(same_state, key=lambda pair: pair[0])[1]
    return replace(
        area,
        county=area.county or donor.county,
        zone=area.zone if area.zone in sound_zones else donor.zone,
    )


def _is_zone(name: str) -> bool:
    try:
        ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError):
        return False
    return True


def _index_names(areas: list[ZipArea]) -> dict[str, tuple[NameUse, ...]]:
    names: defaultdict[str, list[NameUse]] = defaultdict(list)
    keys: dict[str, str] = {}
    for area in areas:
        taken: set[str] = set()
        for rank, written in _names_of(area):
            key = keys.get(written) or keys.setdefault(written, town_key(written))
            if key and key not in taken:
                taken.add(key)
                names[key].append(NameUse(rank, area, written))
    return {key: tuple(uses) for key, uses in names.items()}


def _index_spellings(names: Mapping[str, tuple[NameUse, ...]]) -> dict[str, tuple[str, ...]]:
    spellings: defaultdict[str, list[str]] = defaultdict(list)
    for key in names:
        spellings[key.replace(" ", "")].append(key)
    return {joined: tuple(keys) for joined, keys in spellings.items()}


def _names_of(area: ZipArea) -> Iterator[tuple[int, str]]:
    yield OWN_NAME, area.town
    for written in area.other_names:
        yield OTHER_NAME, written
    for written in area.old_names:
        yield OLD_NAME, written


def _index_counties(areas: list[ZipArea]) -> dict[tuple[str, str], tuple[ZipArea, ...]]:
    counties: defaultdict[tuple[str, str], list[ZipArea]] = defaultdict(list)
    keys = {county: town_key(county) for county in {area.county for area in areas}}
    for area in areas:
        if area.county and area.active:
            counties[area.state, keys[area.county]].append(area)
    return {key: tuple(found) for key, found in counties.items()}


def _index_cells(areas: Iterable[ZipArea]) -> dict[tuple[int, int], tuple[ZipArea, ...]]:
    cells: defaultdict[tuple[int, int], list[ZipArea]] = defaultdict(list)
    for area in areas:
        cells[_cell(area.latitude), _cell(area.longitude)].append(area)
    return {cell: tuple(found) for cell, found in cells.items()}


def _cell(degrees: float) -> int:
    return int(degrees // CELL_DEGREES)


def _near(
    cells: Mapping[tuple[int, int], tuple[ZipArea, ...]], latitude: float, longitude: float, within_km: float
) -> Iterator[tuple[float, ZipArea]]:
    for cell in _cells_around(latitude, longitude, within_km):
        for area in cells.get(cell, ()):
            km = km_between(latitude, longitude, area)
            if km <= within_km:
                yield km, area


def _cells_around(latitude: float, longitude: float, within_km: float) -> Iterator[tuple[int, int]]:
    reach_north = within_km / KM_PER_DEGREE
    reach_east = reach_north / max(cos(radians(latitude)), 0.1)
    for row in range(_cell(latitude - reach_north), _cell(latitude + reach_north) + 1):
        for column in range(_cell(longitude - reach_east), _cell(longitude + reach_east) + 1):
            yield row, column
