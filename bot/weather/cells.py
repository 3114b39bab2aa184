"""One cell of a weather table to one number in our units, or an error that names the line and the likely mistake."""

from __future__ import annotations

import csv
import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date

from bot.weather.faults import Spot, shown
from bot.weather.lines import Line
from rules.facts.fact import FactRange

# Stricter than float(), which would also take "nan", "1_000" and digits of other scripts.
_NUMBER = re.compile(r"[+-]?(\d{1,12}(\.\d{0,12})?|\.\d{1,12})", re.ASCII)
_DAY = re.compile(r"(\d{4})(-?)(\d\d)\2(\d\d)", re.ASCII)
# What formats write for "no reading"; a number of weather only by mistake.
MISSING_CODES = frozenset({-99.0, -99.9, -999.0, -999.9, -9999.0, -9999.9, -99999.0, 999.0, 999.9, 9999.0, 99999.0})
# Numbers that can be rain or snow lying, and are written for "no reading" far more often.
_CODES_WITHIN_RANGE = frozenset({999.0, 999.9})
FIRST_YEAR, LAST_YEAR = 1850, 2100
_HOTTEST_IN_F = 130  # the air has hardly been warmer anywhere: a figure above is no Fahrenheit either
_EPOCH_DAY = date(1970, 1, 1).toordinal()


def as_is(value: float) -> float:
    """For columns that are in our unit already."""
    return value


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """How a column of some format becomes one of our series.

    column : its name there, for errors
    field : the series it becomes
    missing : the numbers this very column uses for "no reading"
    convert : its unit to ours
    """

    column: str
    field: str
    missing: frozenset[float] = frozenset()
    convert: Callable[[float], float] = as_is


def reading_of(raw: str, cell: Cell, limits: Mapping[str, FactRange], spot: Spot, *, may_be_code: bool = True) -> float:
    """The value of a cell in our unit; not-a-number for its own code of a missing reading.

    `may_be_code` False: the file uses no number for a missing reading, so 999 is 999.
    """
    value = number_of(raw, cell.column, spot)
    if value in cell.missing:
        return math.nan
    limit, ours = limits[cell.field], cell.convert(value)
    if limit.low <= ours <= limit.high and not (may_be_code and _is_code(value, cell)):
        return ours
    what = f"{cell.column} is {shown(raw)}, which no {cell.field.rpartition('_')[0]} can be"
    allowed = f"allowed is {limit.low:g} to {limit.high:g} {limit.unit}"
    raise spot.fault(f"{what}; {allowed}", _likely_mistake(value, cell))


def _is_code(value: float, cell: Cell) -> bool:
    """A code where the column is read as it is; in tenths the same digits are an ordinary reading."""
    return value in _CODES_WITHIN_RANGE and cell.convert is as_is and cell.field in ("rain_mm", "snow_depth_cm")


def _likely_mistake(value: float, cell: Cell) -> str:
    if value in MISSING_CODES:
        return "It looks like a code for a missing reading, which this column does not use: leave it out or correct it."
    if not cell.field.endswith("_c"):
        return "Check the unit and the column, or take the row out."
    if 0 < value <= _HOTTEST_IN_F:
        return "It looks like Fahrenheit: name the column ..._f, or convert it to Celsius."
    return "It looks like tenths of a degree, or a broken reading: divide by 10, or take the row out."


def number_of(raw: str, column: str, spot: Spot) -> float:
    """A plain decimal number."""
    if not _NUMBER.fullmatch(raw.strip()):
        what = "empty" if not raw.strip() else shown(raw)
        raise spot.fault(f"{column} is {what}, not a number", "Correct the cell or take the row out.")
    return float(raw)


def day_of(raw: str, column: str, spot: Spot, *, compact: bool) -> int:
    """Days since 1970-01-01 of YYYYMMDD (compact) or YYYY-MM-DD."""
    written = "YYYYMMDD" if compact else "YYYY-MM-DD"
    found = _DAY.fullmatch(raw.strip())
    if not found or bool(found[2]) == compact:
        raise spot.fault(f"{column} is {shown(raw)}, not a day as {written}", f"Write days as {written}.")
    try:
        day = date(int(found[1]), int(found[3]), int(found[4]))
    except ValueError as error:
        raise spot.fault(f"{column} is {shown(raw)}, a day no calendar has", "Correct the day.") from error
    if not FIRST_YEAR <= day.year <= LAST_YEAR:
        raise spot.fault(
            f"{column} is {shown(raw)}, a year outside {FIRST_YEAR} to {LAST_YEAR}", "Correct the day or the column."
        )
    return day.toordinal() - _EPOCH_DAY


def comma_parts(line: Line) -> list[str]:
    """The cells of a comma-separated line, quotes taken off."""
    try:
        rows = list(csv.reader([line.text], strict=True))
    except csv.Error as error:
        raise line.spot.fault("a quotation mark is opened and not closed", "Correct the line.") from error
    return [each.strip() for each in rows[0]] if rows else []


def require_count(parts: list[str], wanted: int, line: Line) -> None:
    """As many cells as the format has, and none cut short where the file ends."""
    if not line.has_end and parts and parts[-1].endswith((".", "-", "+", ":")):
        raise line.spot.fault(f"the last cell is {shown(parts[-1])}", "The file seems cut off here: get it again.")
    if len(parts) != wanted:
        cut = not line.has_end and len(parts) < wanted
        do = "The file seems cut off here: get it again." if cut else "Get the file again or correct the line."
        raise line.spot.fault(f"the line has {len(parts)} fields where {wanted} belong", do)
