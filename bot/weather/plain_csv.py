"""Our own weather table, for readings kept by hand or taken from any other source. Every unit stands in a column name.

    # station: back garden
    # latitude: 31.2
    # longitude: -81.5
    date,air_min_f,air_max_f,rain_in
    2027-01-15,27.1,44.0,0
    2027-01-16,17.4,,

By day: `date` (YYYY-MM-DD, local standard time), `air_min_c|_f`, `air_max_c|_f`; further as wanted `air_c|_f` (mean of
the day), `rain_mm|_in`, `snow_depth_cm|_in`, `solar_mj_per_m2`, `soil_moisture_2in_fraction`, `soil_2in_c|_f`,
`soil_4in_c|_f`. By hour: `time_utc` (2027-01-16T12:00, the END of the hour) and `air_c|_f`, with `solar_w_per_m2` in
place of the day's; and the line `# utc_offset_hours: -5` (standard time). Without the line `# station:` the file's name
and its place stand for one. An empty cell is a missing reading; no number
stands for one. Other lines with # are remarks. A last line without its end is taken as it stands: a file cut off inside
its very last number cannot be told from one written by hand.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import PurePath

from bot.weather.cells import Cell, as_is, comma_parts, day_of, number_of, reading_of, require_count
from bot.weather.faults import Spot, shown
from bot.weather.lines import Line
from bot.weather.rows import SERIES, Rows, Unit, daily_from, hourly_from
from bot.weather.wanted import Wanted
from rules.facts.fact import FactRange
from rules.facts.weather import DAY_LIMITS, HOUR_LIMITS
from rules.units import CM_PER_INCH, f_to_c, in_to_mm
from rules.weather import DailyWeather, HourlyWeather, Station

NETWORK = "own file"
TIME_COLUMNS: Mapping[str, Unit] = {"date": "day", "time_utc": "hour"}
_LIMITS: Mapping[Unit, Mapping[str, FactRange]] = {"day": DAY_LIMITS, "hour": HOUR_LIMITS}
_NEEDED: Mapping[Unit, tuple[str, ...]] = {"day": ("air_min_c", "air_max_c"), "hour": ("air_c",)}
_TIME = re.compile(r"(\d{4}-\d\d-\d\d)[T ]([01]\d|2[0-3]):(\d\d)(?::(\d\d))?(Z|[+-]\d\d:?\d\d)?", re.ASCII)
_UTC = (None, "Z", "+00:00", "+0000")
_COMMENT = re.compile(r"#\s*(station|latitude|longitude|elevation_m|utc_offset_hours)\s*:\s*(.*)", re.IGNORECASE)


def _in_to_cm(length_in: float) -> float:
    return length_in * CM_PER_INCH


# Our series by the column's name without its unit, and the units it may have.
_UNITS: Mapping[str, tuple[tuple[str, Callable[[float], float]], ...]] = {
    "c": (("c", as_is), ("f", f_to_c)),
    "mm": (("mm", as_is), ("in", in_to_mm)),
    "cm": (("cm", as_is), ("in", _in_to_cm)),
}


def _cells(unit: Unit) -> dict[str, Cell]:
    """Every column a table of days or of hours may have."""
    cells = {}
    for series in SERIES[unit]:
        stem, _, ours = series.replace("air_mean_c", "air_c").rpartition("_")
        for written, convert in _UNITS.get(ours, ((ours, as_is),)):
            cells[f"{stem}_{written}"] = Cell(column=f"{stem}_{written}", field=series, convert=convert)
    return cells


CELLS: Mapping[Unit, Mapping[str, Cell]] = {"day": _cells("day"), "hour": _cells("hour")}


@dataclass(frozen=True, slots=True, kw_only=True)
class _Table:
    """The header understood: the cell of each column, None for the column of the time."""

    unit: Unit
    columns: tuple[Cell | None, ...]


def read_plain(lines: Iterator[Line], file: str, wanted: Wanted) -> DailyWeather | HourlyWeather:
    """A table with our header. Raises WeatherFileError."""
    told: dict[str, tuple[Spot, str]] = {}
    table: _Table | None = None
    rows = Rows(file, "day")
    for line in lines:
        if line.text.lstrip().startswith("#"):
            _note_comment(told, line)
        elif table is None:
            table = _table(line)
            rows = Rows(file, table.unit)
        else:
            _take(rows, table, line, wanted)
    if table is None:
        raise Spot(file).fault("there is no header", f"Begin with one of {', '.join(TIME_COLUMNS)}.")
    station = _station(told, file, wanted)
    if table.unit == "day":
        return daily_from(rows, station, is_ours=wanted.is_ours)
    return hourly_from(rows, station, _utc_offset_hours(told, file))


def _note_comment(told: dict[str, tuple[Spot, str]], line: Line) -> None:
    found = _COMMENT.fullmatch(line.text.strip())
    if not found:
        return
    name, value = found[1].lower(), found[2].strip()
    if name in told and told[name][1] != value:
        raise line.spot.fault(
            f"{name} is told again as {shown(value)}; above it is {shown(told[name][1])}",
            "Do not mix stations in one file.",
        )
    told[name] = (line.spot, value)


def _table(header: Line) -> _Table:
    names = [each.lower() for each in comma_parts(header)]
    units = [TIME_COLUMNS[each] for each in names if each in TIME_COLUMNS]
    if len(units) != 1:
        raise header.spot.fault("the header needs one of date and time_utc", "Name the column of the day or hour.")
    cells = CELLS[units[0]]
    for name in names:
        if name not in TIME_COLUMNS and name not in cells:
            raise header.spot.fault(
                f"no column can be called {shown(name)} in a table by {units[0]}", f"Known are {', '.join(cells)}."
            )
    columns = tuple(cells.get(name) for name in names)
    _check_columns(header, units[0], [cell.field for cell in columns if cell is not None])
    return _Table(unit=units[0], columns=columns)


def _check_columns(header: Line, unit: Unit, fields: list[str]) -> None:
    twice = next((each for each in fields if fields.count(each) > 1), None)
    if twice is not None:
        raise header.spot.fault(f"two columns give {twice}", "Keep one of them.")
    lacking = [each for each in _NEEDED[unit] if each not in fields]
    if lacking:
        raise header.spot.fault(
            f"the header lacks {' and '.join(lacking)}", "Add the column, its name ending in _c or _f for the unit."
        )


def _take(rows: Rows, table: _Table, line: Line, wanted: Wanted) -> None:
    parts = comma_parts(line)
    require_count(parts, len(table.columns), line)
    found: dict[str, float] = {}
    key = 0
    for raw, cell in zip(parts, table.columns, strict=True):
        if cell is None:
            key = _hour_of(raw, line.spot) if table.unit == "hour" else day_of(raw, "date", line.spot, compact=False)
        elif raw:
            limits = _LIMITS[table.unit]
            found[cell.field] = reading_of(raw, cell, limits, line.spot, may_be_code=not wanted.is_ours)
    rows.add(line.spot, key, [found.get(name, math.nan) for name in SERIES[table.unit]])


def _hour_of(raw: str, spot: Spot) -> int:
    """Hours since 1970-01-01 in UTC."""
    found = _TIME.fullmatch(raw)
    if not found:
        raise spot.fault(f"time_utc is {shown(raw)}, not a time", "Write hours as 2027-01-16T12:00, in UTC.")
    if found[5] not in _UTC:
        raise spot.fault(f"time_utc is {shown(raw)}, which is not UTC", "Write hours in UTC, ending in Z or nothing.")
    if found[3] != "00" or found[4] not in (None, "00"):
        raise spot.fault(f"time_utc is {shown(raw)}, not a whole hour", "Give one row an hour, at its end.")
    return day_of(found[1], "time_utc", spot, compact=False) * 24 + int(found[2])


def _station(told: Mapping[str, tuple[Spot, str]], file: str, wanted: Wanted) -> Station:
    place = wanted.place(_told_number(told, "latitude"), _told_number(told, "longitude"))
    if place is None:
        raise Spot(file).fault(
            "it does not say where it was measured",
            'Add the lines "# latitude: 31.2" and "# longitude: -81.5", or give --latitude and --longitude.',
        )
    name = told["station"][1] if "station" in told else PurePath(file).stem
    # Many files are called weather.csv: without a code of its own a place is told apart by where it lies.
    code = name if "station" in told else f"{name} at {place[0]:.2f},{place[1]:.2f}"
    _check_wanted((code, name), file, wanted)
    return Station(
        code=code,
        name=name,
        latitude=place[0],
        longitude=place[1],
        elevation_m=_told_number(told, "elevation_m"),
        network=NETWORK,
    )


def _check_wanted(called: tuple[str, str], file: str, wanted: Wanted) -> None:
    if wanted.station is not None and wanted.station not in called:
        name = shown(called[1])
        raise Spot(file).fault(f"it is of station {name}", f"Leave out --station, or say {name}.")


def _utc_offset_hours(told: Mapping[str, tuple[Spot, str]], file: str) -> float:
    offset_hours = _told_number(told, "utc_offset_hours")
    if offset_hours is None:
        raise Spot(file).fault(
            "it does not say how far local standard time is from UTC",
            'Add a line like "# utc_offset_hours: -6" (Eastern -5, Central -6, Mountain -7, Pacific -8).',
        )
    if not -12 <= offset_hours <= 14:
        raise told["utc_offset_hours"][0].fault("utc_offset_hours lies outside -12 to 14", "Correct the line.")
    return offset_hours


def _told_number(told: Mapping[str, tuple[Spot, str]], name: str) -> float | None:
    if name not in told:
        return None
    spot, raw = told[name]
    return number_of(raw, name, spot)
