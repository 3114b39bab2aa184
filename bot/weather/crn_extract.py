"""A comma-separated extract of daily01 of the US Climate Reference Network: a header with NOAA's own column names.

Needed: T_DAILY_MIN, T_DAILY_MAX, LATITUDE, LONGITUDE, `station` or WBANNO, `date` (YYYY-MM-DD) or LST_DATE (YYYYMMDD).
Read where present: T_DAILY_AVG, P_DAILY_CALC, SOLARAD_DAILY, SOIL_MOISTURE_5_DAILY, SOIL_TEMP_5_DAILY,
SOIL_TEMP_10_DAILY. Other columns are passed over. A missing reading is an empty cell or NOAA's code.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from bot.weather.cells import Cell, comma_parts, day_of, number_of, reading_of, require_count
from bot.weather.crn import DAILY_CELLS, NETWORK, in_order
from bot.weather.faults import Spot
from bot.weather.lines import Line
from bot.weather.rows import Rows, daily_from
from bot.weather.wanted import OneStation, Wanted
from rules.facts.weather import DAY_LIMITS
from rules.weather import DAY_SERIES, DailyWeather, Station

MARK = "T_DAILY_MIN"
_CELLS = {cell.column: cell for cell in DAILY_CELLS.values()}
_NEEDED = (("T_DAILY_MIN",), ("T_DAILY_MAX",), ("LATITUDE",), ("LONGITUDE",), ("WBANNO", "STATION"))
_DATES = ("DATE", "LST_DATE")


def read_extract(lines: Iterator[Line], file: str, wanted: Wanted) -> DailyWeather:
    """One station of an extract. Raises WeatherFileError."""
    header = next(lines)
    names = _names(header)
    rows, one, station = Rows(file, "day"), OneStation(wanted.station), None
    for line in lines:
        parts = comma_parts(line)
        require_count(parts, len(names), line)
        row = dict(zip(names, parts, strict=True))
        code = row.get("WBANNO") or row.get("STATION", "")
        if one.takes(line.spot, code, (row.get("STATION", ""),)):
            station = station or _station(row, code, wanted, line.spot)
            rows.add(line.spot, _day(row, line.spot), in_order(_readings(row, line.spot), DAY_SERIES))
    if station is None:
        raise one.missing(file) if one.seen else Spot(file).fault("there is only a header", "Give a file with rows.")
    return daily_from(rows, station)


def _names(header: Line) -> list[str]:
    names = [each.upper() for each in comma_parts(header)]
    if len(set(names)) != len(names):
        raise header.spot.fault("a column name stands twice in the header", "Leave one of them out.")
    for choices in (*_NEEDED, _DATES):
        if not set(choices) & set(names):
            raise header.spot.fault(f"the header lacks {' or '.join(choices)}", "Add the column.")
    return names


def _station(row: dict[str, str], code: str, wanted: Wanted, spot: Spot) -> Station:
    latitude, longitude = (number_of(row[name], name, spot) for name in ("LATITUDE", "LONGITUDE"))
    place = wanted.place(latitude, longitude) or (latitude, longitude)
    return Station(
        code=code,
        name=row.get("STATION", ""),
        latitude=place[0],
        longitude=place[1],
        elevation_m=None,
        network=NETWORK,
    )


def _day(row: dict[str, str], spot: Spot) -> int:
    name = next(each for each in _DATES if each in row)
    return day_of(row[name], name, spot, compact="-" not in row[name])


def _readings(row: dict[str, str], spot: Spot) -> dict[str, float]:
    return {cell.field: _reading(row[name], cell, spot) for name, cell in _CELLS.items() if name in row}


def _reading(raw: str, cell: Cell, spot: Spot) -> float:
    return reading_of(raw, cell, DAY_LIMITS, spot) if raw else math.nan
