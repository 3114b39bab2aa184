"""GHCN-Daily (NOAA NCEI): the comma-separated file of one station, one element of one day a line.

`ID,YYYYMMDD,ELEMENT,VALUE,MFLAG,QFLAG,SFLAG,OBSTIME`, with or without a header. Temperatures are in tenths of a degree
Celsius, rain in tenths of a mm, snow depth in mm. Soil: SX and SN are highest and lowest, then 5 for sod, then 1 for
5 cm (2 in) or 2 for 10 cm (4 in); the day's soil is the mean of both. A row with a QFLAG failed a check and is dropped.
A missing reading has no row. The place is not in the file: the caller gives it, or `ghcnd-stations.txt` of the archive.
An observer who reads at 7 in the morning writes the night's lowest to that day, and mostly yesterday's highest with it.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path

from bot.weather.cells import Cell, comma_parts, day_of, number_of, reading_of, require_count
from bot.weather.faults import Spot, shown
from bot.weather.lines import Line, numbered_lines
from bot.weather.rows import Rows, daily_from
from bot.weather.wanted import OneStation, Wanted
from rules.facts.weather import DAY_LIMITS
from rules.weather import DailyWeather, Station

NETWORK = "GHCN-Daily"
STATIONS_FILE = "ghcnd-stations.txt"
FIRST_LINE = re.compile(r"(?:[A-Z]{2}[A-Z0-9_-]{9},\d{8},[A-Z0-9]{4},|ID,(?:DATE|YEAR/MONTH/DAY),ELEMENT)", re.ASCII)
_FIELDS = 8
_OBSTIME = re.compile(r"(\d{4})?", re.ASCII)
_NO_ELEVATION = -999.0


def _tenths(value: float) -> float:
    return value / 10


_CELLS = {
    name: Cell(column=name, field=field_, convert=_tenths)
    for name, field_ in (
        ("TMIN", "air_min_c"),
        ("TMAX", "air_max_c"),
        ("TAVG", "air_mean_c"),
        ("PRCP", "rain_mm"),
        ("SNWD", "snow_depth_cm"),
        ("SX51", "soil_2in_c"),
        ("SN51", "soil_2in_c"),
        ("SX52", "soil_4in_c"),
        ("SN52", "soil_4in_c"),
    )
}


@dataclass(slots=True)
class _Day:
    """What one day has so far, and the line of its last row."""

    spot: Spot
    found: dict[str, float] = field(default_factory=dict)

    def values(self) -> list[float]:
        """In the order of the day's series."""
        get = self.found.get
        low_high = [get("TMIN", math.nan), get("TMAX", math.nan), get("TAVG", math.nan)]
        water = [get("PRCP", math.nan), get("SNWD", math.nan), math.nan, math.nan]
        return [*low_high, *water, self._soil("SN51", "SX51"), self._soil("SN52", "SX52")]

    def _soil(self, low: str, high: str) -> float:
        return (self.found.get(low, math.nan) + self.found.get(high, math.nan)) / 2


def read_ghcn(lines: Iterable[Line], file: str, wanted: Wanted, stations: Path | None = None) -> DailyWeather:
    """One station's days; `stations` is the archive's list of places. Raises WeatherFileError."""
    days, one, code = dict[int, _Day](), OneStation(wanted.station), ""
    for number, line in enumerate(lines):
        if number == 0 and line.text.startswith("ID,"):
            continue
        parts = comma_parts(line)
        require_count(parts, _FIELDS, line)
        if one.takes(line.spot, parts[0]):
            code = parts[0]
            _take(days, parts, line.spot)
    if not code:
        raise one.missing(file) if one.seen else Spot(file).fault("there is only a header", "Give a file with rows.")
    rows = Rows(file, "day")
    for day in sorted(days):
        rows.add(days[day].spot, day, days[day].values())
    return daily_from(rows, _station(code, file, wanted, stations))


def _take(days: dict[int, _Day], parts: list[str], spot: Spot) -> None:
    """One row into its day."""
    day = day_of(parts[1], "the date", spot, compact=True)
    if not _OBSTIME.fullmatch(parts[7]):
        raise spot.fault(f"the time of observation is {shown(parts[7])}, not HHMM", "Is the line cut off? Correct it.")
    cell, is_doubted = _CELLS.get(parts[2]), bool(parts[5])
    if cell is None or is_doubted:
        return
    value = reading_of(parts[3], cell, DAY_LIMITS, spot)
    held = days.setdefault(day, _Day(spot))
    if held.found.setdefault(cell.column, value) != value:
        raise spot.fault(f"{cell.column} of {parts[1]} comes again with another value", "Keep the right one.")
    held.spot = spot


def _station(code: str, file: str, wanted: Wanted, stations: Path | None) -> Station:
    listed = _listed(code, stations) if stations is not None else None
    place = wanted.place(listed.latitude, listed.longitude) if listed else wanted.place(None, None)
    if place is None:
        raise Spot(file).fault(
            f"the file does not say where station {shown(code)} is",
            f"Give --latitude and --longitude, or put {STATIONS_FILE} of the archive beside the file.",
        )
    return Station(
        code=code,
        name=listed.name if listed else "",
        latitude=place[0],
        longitude=place[1],
        elevation_m=listed.elevation_m if listed else None,
        network=NETWORK,
    )


def _listed(code: str, stations: Path) -> Station | None:
    """The station's line in the archive's list, columns of fixed width."""
    try:
        with stations.open("rb") as stream:
            line = next((each for each in numbered_lines(stream, stations.name) if each.text.startswith(code)), None)
    except OSError as error:
        raise Spot(stations.name).fault(f"it cannot be read ({error.strerror})", "Check the file.") from error
    if line is None:
        return None
    latitude, longitude, elevation_m = (
        number_of(line.text[begin:end], name, line.spot)
        for name, begin, end in (("latitude", 12, 20), ("longitude", 21, 30), ("elevation", 31, 37))
    )
    return Station(
        code=code,
        name=line.text[41:71].strip(),
        latitude=latitude,
        longitude=longitude,
        elevation_m=None if elevation_m <= _NO_ELEVATION else elevation_m,
        network=NETWORK,
    )
