"""GHCN-Daily (NOAA NCEI): the comma-separated file of one station, one element of one day a line.

`ID,YYYYMMDD,ELEMENT,VALUE,MFLAG,QFLAG,SFLAG,OBSTIME`, with or without a header. Temperatures are in tenths of a degree
Celsius, rain in tenths of a mm, snow depth in mm. Soil: SX and SN are highest and lowest, then 5 for sod, then 1 for
5 cm (2 in) or 2 for 10 cm (4 in); the day's soil is the mean of both. A row with a QFLAG failed a check and is dropped.
A missing reading has no row. The place is not in the file: the caller gives it, or `ghcnd-stations.txt` of the archive.
Many observers read in the morning: the lowest they write is of that night, the highest of the afternoon before. So a
highest read before noon (OBSTIME) goes to the day before, and the last day of such a file has none yet. A lowest stays
with its day, since it falls near sunrise. Rain of such an observer fell mostly the day before and is left as written.
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
_NOON = 1200
_WHOLE = re.compile(r"[+-]?\d+", re.ASCII)
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
    """What one day has so far, and the line of its last row. `next_morning_max` was written down a day later."""

    spot: Spot
    found: dict[str, float] = field(default_factory=dict)
    next_morning_max: float | None = None

    def keep(self, column: str, value: float, is_next_morning: bool) -> float:
        """The value that stands after this one came, which is the first."""
        if not is_next_morning:
            return self.found.setdefault(column, value)
        self.next_morning_max = value if self.next_morning_max is None else self.next_morning_max
        return self.next_morning_max

    def values(self) -> list[float]:
        """In the order of the day's series."""
        get = self.found.get
        low_high = [get("TMIN", math.nan), self._highest(), get("TAVG", math.nan)]
        water = [get("PRCP", math.nan), get("SNWD", math.nan), math.nan, math.nan]
        return [*low_high, *water, self._soil("SN51", "SX51"), self._soil("SN52", "SX52")]

    def _highest(self) -> float:
        """What was read on the day itself goes before what was read after it, and that has to fit the lowest."""
        if "TMAX" in self.found or self.next_morning_max is None:
            return self.found.get("TMAX", math.nan)
        fits = self.next_morning_max >= self.found.get("TMIN", -math.inf)
        return self.next_morning_max if fits else math.nan

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
    for day in _whole_days(days):
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
    if not _WHOLE.fullmatch(parts[3]):
        what = f"{cell.column} is {shown(parts[3])}"
        raise spot.fault(what, "The archive writes tenths without a point: -74 is -7.4.")
    is_of_day_before = cell.column == "TMAX" and 0 < int(parts[7] or 0) < _NOON
    held = days.setdefault(day - is_of_day_before, _Day(spot))
    if held.keep(cell.column, value, is_of_day_before) != value:
        raise spot.fault(f"{cell.column} of {parts[1]} comes again with another value", "Keep the right one.")
    held.spot = spot


def _whole_days(days: dict[int, _Day]) -> list[int]:
    """The days in order, without those before the first that the observer wrote down as such."""
    first = min((day for day in days if days[day].found), default=None)
    return sorted(day for day in days if first is not None and day >= first)


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
