"""A CSV of cover readings, checked row by row; every error names its line and says what to do."""

from __future__ import annotations

import csv
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from bot.errors import AfterfrostError
from rules.recovery import Reading, Weeds

COLUMNS = ("date", "warm_day", "cover_percent", "upload", "photos", "weeds", "spot")
MOST_ROWS = 5000


class TrendFileError(AfterfrostError):
    """The file of readings cannot be used; the message names the line and what to do."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One line of the file, and where it stands. A day or its warm days, or both (then the warm days count)."""

    at: str
    spot: str
    on: date | None
    warm_day: float | None
    cover_percent: float
    upload: str
    photos: int
    weeds: Weeds | None


def read_rows(file: Path) -> tuple[Row, ...]:
    """All rows of a file, in its order. Raises TrendFileError."""
    try:
        text = file.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        raise TrendFileError(f"{file.name} cannot be read as text ({error}). Save it as CSV in UTF-8.") from error
    try:
        rows = _rows(text, file.name)
    except csv.Error as error:
        raise TrendFileError(f"{file.name} is no CSV file ({error}).") from error
    if not rows:
        raise TrendFileError(f"{file.name} holds no readings: one line a visit below the header.")
    return rows


def _rows(text: str, name: str) -> tuple[Row, ...]:
    lines = csv.reader(text.splitlines(), skipinitialspace=True)
    header: list[str] | None = None
    found: list[Row] = []
    for cells in lines:
        if not any(cell.strip() for cell in cells) or cells[0].startswith("#"):
            continue
        at = f"{name}, line {lines.line_num}"
        if header is None:
            header = _header(cells, at)
            continue
        if len(cells) != len(header):
            raise TrendFileError(f"{at}: it has {len(cells)} values, the header {len(header)} columns.")
        found.append(_row(dict(zip(header, (cell.strip() for cell in cells), strict=True)), at))
        if len(found) > MOST_ROWS:
            raise TrendFileError(f"{at}: more than {MOST_ROWS} readings. Split the file by lawn.")
    return tuple(found)


def _header(cells: list[str], at: str) -> list[str]:
    names = [cell.strip().lower() for cell in cells]
    unknown = [name for name in names if name not in COLUMNS]
    if unknown:
        raise TrendFileError(f'{at}: no column is called "{unknown[0]}". Columns: {", ".join(COLUMNS)}.')
    twice = [name for name in names if names.count(name) > 1]
    if twice:
        raise TrendFileError(f'{at}: the column "{twice[0]}" stands there twice.')
    if "cover_percent" not in names or not {"date", "warm_day"} & set(names):
        raise TrendFileError(f"{at}: the header needs cover_percent, and date or warm_day.")
    return names


def _row(cells: Mapping[str, str], at: str) -> Row:
    on, warm_day = cells.get("date", ""), cells.get("warm_day", "")
    if not on and not warm_day:
        raise TrendFileError(f"{at}: it needs a date or a warm_day.")
    photos, weeds = cells.get("photos", ""), cells.get("weeds", "")
    return Row(
        at=at,
        spot=cells.get("spot", ""),
        on=_day(on, at) if on else None,
        warm_day=_number("warm_day", warm_day, (0, 400), at) if warm_day else None,
        cover_percent=_number("cover_percent", cells["cover_percent"].removesuffix("%"), (0, 100), at),
        upload=cells.get("upload", "").lower(),
        photos=_count(photos, at) if photos else 1,
        weeds=_weeds(weeds, at) if weeds else None,
    )


def _number(name: str, typed: str, limits: tuple[float, float], at: str) -> float:
    low, high = limits
    try:
        value = float(typed)
    except ValueError:
        value = math.nan
    if not low <= value <= high:
        raise TrendFileError(f'{at}: {name} is "{typed}": give a number from {low} to {high}.')
    return value


def _count(typed: str, at: str) -> int:
    value = _number("photos", typed, (1, 50), at)
    if value != int(value):
        raise TrendFileError(f'{at}: photos is "{typed}": give a whole number from 1 to 50.')
    return int(value)


def _day(typed: str, at: str) -> date:
    try:
        return date.fromisoformat(typed)
    except ValueError as error:
        raise TrendFileError(f'{at}: date is "{typed}": give year, month and day, like 2027-05-03.') from error


def _weeds(typed: str, at: str) -> Weeds:
    try:
        return Weeds(typed.lower().replace(" ", "_"))
    except ValueError as error:
        raise TrendFileError(f'{at}: weeds is "{typed}": give {", ".join(Weeds)}.') from error


def visits(rows: tuple[Row, ...], warm_day_of: Callable[[Row], float]) -> dict[str, list[tuple[Reading, Row]]]:
    """The readings of each spot in order of time; rows of one visit are one reading of several photos."""
    together: dict[tuple[str, date | float | None, str, Weeds], list[Row]] = {}
    for row in rows:
        key = (row.spot, row.on if row.on else row.warm_day, row.upload, row.weeds or Weeds.NONE)
        together.setdefault(key, []).append(row)
    found: dict[str, list[tuple[Reading, Row]]] = {}
    for (spot, _, upload, weeds), of_visit in together.items():
        photos = sum(row.photos for row in of_visit)
        cover_percent = sum(row.cover_percent * row.photos for row in of_visit) / photos
        reading = Reading(
            warm_days=warm_day_of(of_visit[0]),
            visit=of_visit[0].on.toordinal() if of_visit[0].on else 0,
            cover_percent=min(100.0, cover_percent),
            upload=upload,
            photos=min(photos, 50),
            weeds=weeds,
        )
        found.setdefault(spot, []).append((reading, of_visit[0]))
    return {spot: sorted(pairs, key=lambda pair: pair[0]) for spot, pairs in found.items()}
