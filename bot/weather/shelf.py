"""Weather kept for the service: one table a station in the data folder, each in our own plain format.

1. A file is whole or not there: it is written beside its name, forced to disk, then put in its place. So weather can be
   added while the service runs.
2. Nothing is lost by adding: a day keeps what was known of it where the new readings say nothing, and takes the new
   reading where they say something.
3. A table somebody broke by hand is left out and named, and stops nobody else's.
"""

from __future__ import annotations

import contextlib
import fcntl
import hashlib
import os
import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from io import StringIO
from pathlib import Path
from typing import Any

import numpy as np

from bot.durable import write_durably
from bot.weather.faults import WeatherFileError, shown
from bot.weather.files import read_weather
from bot.weather.folder import FOLDER
from bot.weather.source import Source
from rules.errors import NotEnoughData
from rules.weather import DAY_SERIES, DailyWeather, Station, daily_of

_COLUMNS = {"air_mean_c": "air_c"}
_SAFE = re.compile(r"[^A-Za-z0-9]+")
_REMARK = re.compile(r"#\s*(name|network|source|credit|link|measured|fetched|note)\s*:\s*(.*)")
_HEADER_LINES = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """One station on the shelf: its days, and where they came from."""

    daily: DailyWeather
    source: Source


@dataclass(frozen=True, slots=True, kw_only=True)
class Broken:
    """A table that cannot be read, and why."""

    file: Path
    why: str


class Shelf:
    """The weather folder of a data folder."""

    def __init__(self, data: Path) -> None:
        self.folder = data / FOLDER

    def add(self, daily: DailyWeather, source: Source) -> Kept:
        """Keep a station's days beside what is kept of it already. Returns all that is kept now.

        Raises `WeatherFileError` when what is there cannot be read (it is not overwritten), `OSError` when the folder
        cannot be written.
        """
        self.folder.mkdir(parents=True, exist_ok=True)
        file = self.file_of(daily.station)
        with self._alone():
            if file.exists():
                daily = merged(_read(file).daily, daily)
            kept = Kept(daily=daily, source=source)
            write_durably(file, _table(kept).encode())
        return kept

    def file_of(self, station: Station) -> Path:
        """Where a station's table is, or would be: its code made safe, and a digest that keeps like codes apart."""
        mark = hashlib.sha256(f"{station.network}\n{station.code}".encode()).hexdigest()[:8]
        readable = _SAFE.sub("-", station.code).strip("-").lower()[:40] or "station"
        return self.folder / f"{readable}-{mark}.csv"

    def all(self) -> tuple[tuple[Kept, ...], tuple[Broken, ...]]:
        """Every station that can be read, and the tables that cannot."""
        kept, broken = [], []
        for file in sorted(self.folder.glob("*.csv")):
            try:
                kept.append(_read(file))
            except WeatherFileError as error:
                broken.append(Broken(file=file, why=str(error)))
        return tuple(kept), tuple(broken)

    @contextlib.contextmanager
    def _alone(self) -> Iterator[None]:
        """Two commands that add to one station wait for each other."""
        handle = os.open(self.folder / "adding.lock", os.O_RDWR | os.O_CREAT, 0o600)
        try:
            fcntl.flock(handle, fcntl.LOCK_EX)
            yield
        finally:
            os.close(handle)


def kept_of(file: Path, **where: Any) -> Kept:
    """A weather file of any kind as it would be kept; `where` as `read_weather` takes it. Raises `WeatherFileError`."""
    weather = read_weather(file, **where)
    try:
        daily = weather if isinstance(weather, DailyWeather) else daily_of(weather)
    except NotEnoughData as error:
        raise WeatherFileError(file=file.name, line=None, what=str(error), do="Give a file of some days.") from error
    source = Source(
        name=daily.station.network, credit="", link="", is_measured=True, fetched_at=None, note=f"from {file.name}"
    )
    return Kept(daily=daily, source=source)


def merged(old: DailyWeather, new: DailyWeather) -> DailyWeather:
    """Old and new days of one station in one record; the new reading wins where there is one."""
    first, last = min(old.days[0], new.days[0]), max(old.days[-1], new.days[-1])
    days = np.arange(first, last + np.timedelta64(1, "D"))
    series = {}
    for name in DAY_SERIES:
        values = np.full(len(days), np.nan)
        for each in (old, new):
            readings = getattr(each, name)
            is_read = np.isfinite(readings)
            values[(each.days - first).astype(np.int64)[is_read]] = readings[is_read]
        series[name] = values
    low, high = series["air_min_c"], series["air_max_c"]
    crossed = low > high  # halves of a day from two sources that contradict each other: neither can be trusted
    series["air_min_c"], series["air_max_c"] = np.where(crossed, np.nan, low), np.where(crossed, np.nan, high)
    return DailyWeather(station=new.station, days=days, **series)


# --- the table -------------------------------------------------------------------------------------------------------


def _table(kept: Kept) -> str:
    station, source, out = kept.daily.station, kept.source, StringIO()
    told = {
        "station": station.code,
        "name": station.name,
        "network": station.network,
        "latitude": f"{station.latitude:.5f}",
        "longitude": f"{station.longitude:.5f}",
        "elevation_m": "" if station.elevation_m is None else f"{station.elevation_m:.1f}",
        "source": source.name,
        "credit": source.credit,
        "link": source.link,
        "measured": "yes" if source.is_measured else "no",
        "fetched": source.fetched_at.astimezone(UTC).isoformat(timespec="seconds") if source.fetched_at else "",
        "note": source.note,
    }
    for name, value in told.items():
        if value:
            out.write(f"# {name}: {' '.join(value.split())}\n")
    names = [name for name in DAY_SERIES if name in ("air_min_c", "air_max_c") or _is_told(kept.daily, name)]
    out.write(",".join(["date", *(_COLUMNS.get(name, name) for name in names)]) + "\n")
    columns = [getattr(kept.daily, name) for name in names]
    for at, day in enumerate(kept.daily.days):
        cells = [_cell(float(column[at])) for column in columns]
        if any(cells):
            out.write(f"{day},{','.join(cells)}\n")
    return out.getvalue()


def _is_told(daily: DailyWeather, name: str) -> bool:
    return bool(np.isfinite(getattr(daily, name)).any())


def _cell(value: float) -> str:
    return "" if value != value else f"{value:.3f}".rstrip("0").rstrip(".")


def _read(file: Path) -> Kept:
    weather = read_weather(file)
    if not isinstance(weather, DailyWeather):
        raise WeatherFileError(file=file.name, line=None, what="it is a table of hours", do="Take it off the shelf.")
    told = _remarks(file)
    station = replace(
        weather.station,
        name=told.get("name", weather.station.name),
        network=told.get("network", weather.station.network),
    )
    fetched = told.get("fetched", "")
    source = Source(
        name=told.get("source", ""),
        credit=told.get("credit", ""),
        link=told.get("link", ""),
        is_measured=told.get("measured", "yes") == "yes",
        fetched_at=_instant(fetched, file) if fetched else None,
        note=told.get("note", ""),
    )
    return Kept(daily=replace(weather, station=station), source=source)


def _instant(written: str, file: Path) -> datetime:
    try:
        return datetime.fromisoformat(written)
    except ValueError as error:
        raise WeatherFileError(
            file=file.name, line=None, what=f"fetched is {shown(written)}, no instant", do="Take the line out."
        ) from error


def _remarks(file: Path) -> dict[str, str]:
    with file.open(encoding="utf-8") as handle:
        lines = [line.strip() for line, _ in zip(handle, range(_HEADER_LINES), strict=False)]
    return {found[1]: found[2] for line in lines if (found := _REMARK.fullmatch(line))}


def last_day(kept: Kept) -> date:
    """The last day that has its lowest air."""
    known = np.flatnonzero(np.isfinite(kept.daily.air_min_c))
    at = int(known[-1]) if len(known) else 0
    day: date = kept.daily.days[at].item()
    return day
