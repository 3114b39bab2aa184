"""Reads a weather file of any kind we know, which it recognises by its first line. Plain or packed with gzip."""

from __future__ import annotations

import gzip
import re
from collections.abc import Iterator
from itertools import chain
from pathlib import Path
from typing import BinaryIO, cast

from bot.weather import crn, crn_extract, ghcn, plain_csv
from bot.weather.cells import comma_parts
from bot.weather.faults import Spot, WeatherFileError
from bot.weather.lines import LIMITS, Limits, Line, numbered_lines, too_much
from bot.weather.wanted import Wanted
from rules.errors import NotEnoughData, OutOfRange
from rules.weather import DailyWeather, HourlyWeather

_GZIP = b"\x1f\x8b"
_ZIP = b"PK\x03\x04"
_FIXED_GHCN_ROW = re.compile(r"[A-Z]{2}[A-Z0-9_-]{9}\d{6}[A-Z0-9]{4}", re.ASCII)
_NETWORK_ROW = re.compile(r"\s*\d{5}\s+\d{8}\s", re.ASCII)
_KINDS = (
    "Known are: USCRN hourly02 and daily01, a daily01 extract as CSV, GHCN-Daily by station as CSV, and our own CSV "
    "(header with date or time_utc and columns like air_min_f; see afterfrost weather show --help)."
)


def read_weather(
    path: Path | str,
    station: str | None = None,
    latitude: float | None = None,
    longitude: float | None = None,
    *,
    is_ours: bool = False,
) -> DailyWeather | HourlyWeather:
    """The weather in a file, of one station.

    Parameters
    ----------
    path : Path
        The file, at most 200 MB or 5 million lines (unpacked).
    station : str
        Code or name of the station, where a file holds several.
    latitude, longitude : float
        Where it was measured, both or none; wins over what the file says. [degrees north, degrees east]
    is_ours : bool
        A table of our shelf: only its form is checked, not whether its readings look like another unit.

    Returns
    -------
    DailyWeather or HourlyWeather
        Everything that was read, missing readings as not-a-number. [degC, mm, cm, MJ/m2 or W/m2, m3/m3]

    Raises
    ------
    WeatherFileError
        Naming file, line, what is wrong and what to do. Nothing of such a file is used.
    """
    path = Path(path)
    spot = Spot(path.name)
    if (latitude is None) != (longitude is None):
        raise spot.fault("only one of latitude and longitude is given", "Give both or none.")
    wanted = Wanted(station=station, latitude=latitude, longitude=longitude, is_ours=is_ours)
    try:
        with path.open("rb") as stream:
            if path.stat().st_size > LIMITS.most_bytes:
                raise too_much(spot, LIMITS)
            return read_stream(unpacked(stream, spot), path, wanted)
    except OSError as error:
        raise spot.fault(f"it cannot be read ({error.strerror or error})", "Check the name and the rights.") from error


def read_stream(stream: BinaryIO, path: Path, wanted: Wanted, limits: Limits = LIMITS) -> DailyWeather | HourlyWeather:
    """The weather in an open file; `path` names it in errors and says where its neighbours lie."""
    lines = numbered_lines(stream, path.name, limits)
    try:
        return _read(lines, path, wanted)
    except (OutOfRange, NotEnoughData) as error:
        # Every cell was checked at its line; what is left is the place the caller gave.
        raise Spot(path.name).fault(str(error), "Correct the place or the file.") from error


def unpacked(stream: BinaryIO, spot: Spot) -> BinaryIO:
    """What a file holds, out of gzip where it is packed so. Raises WeatherFileError for a zip archive."""
    begins = stream.read(len(_ZIP))
    stream.seek(0)
    if begins == _ZIP:
        raise spot.fault("this is a zip archive or a spreadsheet", "Unpack it, or save the sheet as CSV (UTF-8).")
    return cast(BinaryIO, gzip.GzipFile(fileobj=stream)) if begins.startswith(_GZIP) else stream


def _read(lines: Iterator[Line], path: Path, wanted: Wanted) -> DailyWeather | HourlyWeather:
    first = next(lines, None)
    if first is None:
        raise Spot(path.name).fault("the file is empty", "Get it again, or check its name.")
    again = chain([first], lines)
    if ghcn.FIRST_LINE.match(first.text):
        beside = path.with_name(ghcn.STATIONS_FILE)
        return ghcn.read_ghcn(again, path.name, wanted, beside if beside.is_file() else None)
    if _FIXED_GHCN_ROW.match(first.text):
        raise first.spot.fault(
            "this is a .dly file of GHCN-Daily, a month a line",
            "Get the station's file as CSV (ID,date,element,value).",
        )
    if _NETWORK_ROW.match(first.text):
        return _read_network(first, again, path, wanted)
    return _read_header(first, again, path, wanted)


def _read_network(first: Line, lines: Iterator[Line], path: Path, wanted: Wanted) -> DailyWeather | HourlyWeather:
    count = len(first.text.split())
    if count == crn.HOURLY_FIELDS:
        return crn.read_hourly(lines, path.name, wanted)
    if count == crn.DAILY_FIELDS:
        return crn.read_daily(lines, path.name, wanted)
    raise first.spot.fault(
        f"the line has {count} fields; USCRN daily01 has {crn.DAILY_FIELDS}, hourly02 has {crn.HOURLY_FIELDS}",
        "Get one of these two, or get the file again if it was cut off.",
    )


def _read_header(first: Line, lines: Iterator[Line], path: Path, wanted: Wanted) -> DailyWeather | HourlyWeather:
    is_remark = first.text.lstrip().startswith("#")
    names = {each.lower() for each in comma_parts(first)} if not is_remark else set()
    if crn_extract.MARK.lower() in names:
        return crn_extract.read_extract(lines, path.name, wanted)
    if {"station", "date"} <= names and names & {"tmin", "tmax", "prcp"}:
        raise first.spot.fault(
            "this is the wide table of the archive's access service, which does not say its units",
            "Get the station's file of GHCN-Daily by station (ID,date,element,value).",
        )
    if is_remark or names & set(plain_csv.TIME_COLUMNS):
        return plain_csv.read_plain(lines, path.name, wanted)
    if first.text.lstrip().startswith("<"):
        raise first.spot.fault("this is a web page, not a table", "Download the file itself.")
    raise first.spot.fault("this is no kind of weather file we know", _KINDS)


__all__ = ["WeatherFileError", "read_stream", "read_weather", "unpacked"]
