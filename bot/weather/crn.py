"""US Climate Reference Network (NOAA NCEI, public domain): hourly02 and daily01 as they are downloaded.

Blank-separated columns without a header: 38 in hourly02, 28 in daily01; years may be joined in one file. Degrees
Celsius, mm, W/m2 or MJ/m2, m3/m3; depths 5 and 10 cm are 2 and 4 in. A missing reading is the lowest number its column
can hold. An hour is named by its end.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from bot.weather.cells import Cell, day_of, number_of, reading_of, require_count
from bot.weather.faults import Spot, shown
from bot.weather.lines import Line
from bot.weather.rows import Rows, daily_from, hourly_from
from bot.weather.wanted import OneStation, Wanted
from rules.facts.weather import DAY_LIMITS, HOUR_LIMITS
from rules.weather import DAY_SERIES, HOUR_SERIES, DailyWeather, HourlyWeather, Station

NETWORK = "USCRN"
DAILY_FIELDS, HOURLY_FIELDS = 28, 38
MISSING = frozenset({-9999.0})
MISSING_SOLAR = frozenset({-9999.0, -99999.0})
MISSING_MOISTURE = frozenset({-99.0, -9999.0})
DAILY_CELLS: Mapping[int, Cell] = {
    5: Cell(column="T_DAILY_MAX", field="air_max_c", missing=MISSING),
    6: Cell(column="T_DAILY_MIN", field="air_min_c", missing=MISSING),
    8: Cell(column="T_DAILY_AVG", field="air_mean_c", missing=MISSING),
    9: Cell(column="P_DAILY_CALC", field="rain_mm", missing=MISSING),
    10: Cell(column="SOLARAD_DAILY", field="solar_mj_per_m2", missing=MISSING_SOLAR),
    18: Cell(column="SOIL_MOISTURE_5_DAILY", field="soil_moisture_2in_fraction", missing=MISSING_MOISTURE),
    23: Cell(column="SOIL_TEMP_5_DAILY", field="soil_2in_c", missing=MISSING),
    24: Cell(column="SOIL_TEMP_10_DAILY", field="soil_4in_c", missing=MISSING),
}
_HOURLY_CELLS: Mapping[int, Cell] = {
    9: Cell(column="T_HR_AVG", field="air_c", missing=MISSING),
    12: Cell(column="P_CALC", field="rain_mm", missing=MISSING),
    13: Cell(column="SOLARAD", field="solar_w_per_m2", missing=MISSING_SOLAR),
    28: Cell(column="SOIL_MOISTURE_5", field="soil_moisture_2in_fraction", missing=MISSING_MOISTURE),
    33: Cell(column="SOIL_TEMP_5", field="soil_2in_c", missing=MISSING),
    34: Cell(column="SOIL_TEMP_10", field="soil_4in_c", missing=MISSING),
}
_SOLAR, _SOLAR_FLAG, _GOOD = 13, 14, "0"
_FILE_NAME = re.compile(r"CRN[DH]\d{4}-\d{4}-([A-Z]{2}_\w+)\.txt")
_TIME = re.compile(r"([01]\d|2[0-3])(\d\d)", re.ASCII)
_MOVED_DEGREES = 0.05  # a station keeps its place; a step further is another station


@dataclass(slots=True)
class _Reading:
    """What is known of the file so far: its station, its place, its rows, its fixed width."""

    file: str
    wanted: Wanted
    rows: Rows
    one: OneStation
    code: str = ""
    place: tuple[float, float] | None = None
    width: int = 0
    offsets: list[float] = field(default_factory=list)

    def parts(self, line: Line, count: int) -> list[str]:
        """The fields of a line. Lines are of one width, so a shorter last one without an end was cut off."""
        parts = line.text.split()
        require_count(parts, count, line)
        if not line.has_end and len(line.text.rstrip()) < self.width:
            raise line.spot.fault("the last line is shorter than the others", "The file was cut off: get it again.")
        self.width = len(line.text.rstrip())
        return parts

    def takes(self, spot: Spot, code: str, longitude: str, latitude: str) -> bool:
        """Whether the row is of our station, which has to stay where it is."""
        name = _name_from(self.file)
        if not self.one.takes(spot, code, (name,) if name else ()):
            return False
        here = (number_of(latitude, "LATITUDE", spot), number_of(longitude, "LONGITUDE", spot))
        self.code, first = code, self.place or here
        if max(abs(here[0] - first[0]), abs(here[1] - first[1])) > _MOVED_DEGREES:
            raise spot.fault(f"the station is at {here} here and at {first} above", "Do not mix stations in one file.")
        self.place = first
        return True

    def station(self) -> Station:
        """The station of the rows taken."""
        if self.place is None:
            raise self.one.missing(self.file)
        latitude, longitude = self.wanted.place(*self.place) or self.place
        return Station(
            code=self.code,
            name=_name_from(self.file),
            latitude=latitude,
            longitude=longitude,
            elevation_m=None,
            network=NETWORK,
        )


def read_daily(lines: Iterable[Line], file: str, wanted: Wanted) -> DailyWeather:
    """A daily01 file. Raises WeatherFileError."""
    reading = _Reading(file, wanted, Rows(file, "day"), OneStation(wanted.station))
    for line in lines:
        parts = reading.parts(line, DAILY_FIELDS)
        if reading.takes(line.spot, parts[0], parts[3], parts[4]):
            day = day_of(parts[1], "LST_DATE", line.spot, compact=True)
            found = {cell.field: reading_of(parts[at], cell, DAY_LIMITS, line.spot) for at, cell in DAILY_CELLS.items()}
            reading.rows.add(line.spot, day, in_order(found, DAY_SERIES))
    return daily_from(reading.rows, reading.station())


def read_hourly(lines: Iterable[Line], file: str, wanted: Wanted) -> HourlyWeather:
    """An hourly02 file. Raises WeatherFileError."""
    reading = _Reading(file, wanted, Rows(file, "hour"), OneStation(wanted.station))
    for line in lines:
        parts = reading.parts(line, HOURLY_FIELDS)
        if reading.takes(line.spot, parts[0], parts[6], parts[7]):
            hour = _hour_of(parts[1], parts[2], "UTC", line.spot)
            _note_offset(reading, _hour_of(parts[3], parts[4], "LST", line.spot) - hour, line.spot)
            reading.rows.add(line.spot, hour, in_order(_hourly_readings(parts, line.spot), HOUR_SERIES))
    station = reading.station()
    return hourly_from(reading.rows, station, reading.offsets[0])


def _hourly_readings(parts: list[str], spot: Spot) -> dict[str, float]:
    found = {cell.field: reading_of(parts[at], cell, HOUR_LIMITS, spot) for at, cell in _HOURLY_CELLS.items()}
    if parts[_SOLAR_FLAG] != _GOOD:
        found[_HOURLY_CELLS[_SOLAR].field] = math.nan
    return found


def _hour_of(day: str, time: str, zone: str, spot: Spot) -> int:
    """Hours since 1970-01-01 of a day and HHMM."""
    found = _TIME.fullmatch(time)
    if not found or found[2] != "00":
        raise spot.fault(f"{zone}_TIME is {shown(time)}, not a whole hour as HH00", "Correct the time.")
    return day_of(day, f"{zone}_DATE", spot, compact=True) * 24 + int(found[1])


def _note_offset(reading: _Reading, offset_hours: int, spot: Spot) -> None:
    """Standard time does not change through the year; where it does, the file holds summer time."""
    if not -12 <= offset_hours <= 14:
        raise spot.fault(f"local and UTC time are {offset_hours} hours apart", "Correct the dates of the row.")
    if not reading.offsets:
        reading.offsets.append(offset_hours)
    if reading.offsets[0] != offset_hours:
        raise spot.fault(
            f"local time is {offset_hours} hours from UTC here and {reading.offsets[0]} above",
            "LST is standard time all year, without summer time: correct the rows.",
        )


def in_order(found: Mapping[str, float], names: Sequence[str]) -> list[float]:
    """Readings in the order of the series, not-a-number for those that a format does not have."""
    return [found.get(name, math.nan) for name in names]


def _name_from(file: str) -> str:
    found = _FILE_NAME.search(file)
    return found[1] if found else ""
