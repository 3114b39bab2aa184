"""Weather kept for the service: one table a station in the data folder, each in our own plain format.

1. A file is whole or not there: it is written beside its name, forced to disk, then put in its place. So weather can be
   added while the service runs.
2. Nothing is lost by adding: a day keeps what was known of it where the new readings say nothing, and takes the new
   reading where they say something. On the first and last day of the new readings, which may be cut short, the wider of
   old and new stays.
3. A table somebody broke by hand is left out and named, and stops nobody else's.
4. A table we wrote is read as it is: whether readings look like another unit was judged when they were taken in.
"""

from __future__ import annotations

import contextlib
import fcntl
import hashlib
import os
import re
import zlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from io import StringIO
from itertools import islice
from pathlib import Path
from typing import Any, BinaryIO

import numpy as np

from bot.durable import write_durably
from bot.weather.faults import Spot, WeatherFileError, shown
from bot.weather.files import read_weather, unpacked
from bot.weather.folder import FOLDER
from bot.weather.source import Source
from rules.errors import NotEnoughData
from rules.weather import DAY_SERIES, DailyWeather, Station, daily_of, laid_on

Mark = tuple[int, int]
"""Size and time of a file: what changes with it."""

_COLUMNS = {"air_mean_c": "air_c"}
_SAFE = re.compile(r"[^A-Za-z0-9]+")
_REMARK = re.compile(r"#\s*(station|name|network|source|credit|link|measured|fetched|note)\s*:\s*(.*)")
_HEADER_LINES = 20
_LONGEST_LINE_BYTES = 10_000
_LONGEST_TEXT = 1000
_SOUTHMOST, _NORTHMOST = 18.0, 50.0  # degrees north: where warm-season lawns are, and where the model's sun is right
_SAME_PLACE_DEGREES = 0.05  # some 5 km: a corrected coordinate, not another place


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
        self._seen: dict[Path, tuple[Mark, Kept]] = {}

    def add(self, daily: DailyWeather, source: Source) -> Kept:
        """Keep a station's days beside what is kept of it already. Returns all that is kept now.

        Raises `WeatherFileError` when what is there cannot be read or is of another place (it is not overwritten),
        `OSError` when the folder cannot be written.
        """
        self.folder.mkdir(parents=True, exist_ok=True)
        daily = replace(daily, station=_clean(daily.station))
        file = self.file_of(daily.station)
        with self._alone():
            if file.exists():
                old = _read(file).daily
                _require_same_place(old.station, daily.station, file)
                daily = merged(old, daily)
            kept = Kept(daily=daily, source=source)
            write_durably(file, _table(kept).encode())
        return kept

    def file_of(self, station: Station) -> Path:
        """Where a station's table is, or would be: its code made safe, and a digest that keeps like codes apart."""
        return self.folder / _file_name(station.network, station.code)

    def all(self) -> tuple[tuple[Kept, ...], tuple[Broken, ...]]:
        """Every station that can be read, and the tables that cannot. What did not change is not read again."""
        seen, broken = {}, []
        for file in sorted(self.folder.glob("*.csv")):
            try:
                seen[file] = self._read_once(file)
            except WeatherFileError as error:
                broken.append(Broken(file=file, why=str(error)))
        self._seen = seen
        return tuple(kept for _, kept in seen.values()), tuple(broken)

    def _read_once(self, file: Path) -> tuple[Mark, Kept]:
        mark = _mark(file)
        before = self._seen.get(file)
        return before if before is not None and before[0] == mark else (mark, _read(file))

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
    """A weather file of any kind as it would be kept; `where` as `read_weather` takes it. Raises `WeatherFileError`.

    A copy of a table from a shelf keeps what that says of its source.
    """
    told = _remarks(file)
    weather = read_weather(file, **where, is_ours=_is_ours(told, file))
    try:
        daily = weather if isinstance(weather, DailyWeather) else daily_of(weather)
    except NotEnoughData as error:
        raise WeatherFileError(file=file.name, line=None, what=str(error), do="Give a file of some days.") from error
    _require_south(daily.station, file)
    if "source" in told:
        return _with_remarks(daily, told, file)
    source = Source(
        name=daily.station.network, credit="", link="", is_measured=True, fetched_at=None, note=f"from {file.name}"
    )
    return Kept(daily=daily, source=source)


def _require_south(station: Station, file: Path) -> None:
    if not _SOUTHMOST <= station.latitude <= _NORTHMOST:
        raise WeatherFileError(
            file=file.name,
            line=None,
            what=f"it was measured at {station.latitude:g} degrees north; "
            f"only weather from {_SOUTHMOST:g} to {_NORTHMOST:g} degrees north is kept",
            do="Check its latitude, or give --latitude and --longitude.",
        )


def _require_same_place(old: Station, new: Station, file: Path) -> None:
    apart = max(abs(old.latitude - new.latitude), abs(old.longitude - new.longitude))
    if apart > _SAME_PLACE_DEGREES:
        raise WeatherFileError(
            file=file.name,
            line=None,
            what=f"station {shown(new.code)} is kept at {old.latitude:.2f},{old.longitude:.2f}, "
            f"and the new days are of {new.latitude:.2f},{new.longitude:.2f}",
            do='Give the other place a code of its own ("# station: ..."), or take the kept file away.',
        )


def merged(old: DailyWeather, new: DailyWeather) -> DailyWeather:
    """Old and new days of one station in one record; the new reading wins where there is one.

    The first and the last day of the new readings may have been cut short (a service that keeps a week, a day not over
    yet): there the lower low, the higher high and the greater rain of old and new stay.
    """
    first, last = min(old.days[0], new.days[0]), max(old.days[-1], new.days[-1])
    days = np.arange(first, last + np.timedelta64(1, "D"))
    may_be_cut = (days == new.days[0]) | (days == new.days[-1])
    series = {}
    for name in DAY_SERIES:
        before, after = (laid_on(each.days, getattr(each, name), days) for each in (old, new))
        series[name] = np.where(np.isfinite(after), after, before)
        if name in _WIDER:
            series[name] = np.where(may_be_cut, _WIDER[name](before, after), series[name])
    low, high = series["air_min_c"], series["air_max_c"]
    crossed = low > high  # halves of a day from two sources that contradict each other: neither can be trusted
    series["air_min_c"], series["air_max_c"] = np.where(crossed, np.nan, low), np.where(crossed, np.nan, high)
    return DailyWeather(station=new.station, days=days, **series)


_WIDER = {"air_min_c": np.fmin, "air_max_c": np.fmax, "rain_mm": np.fmax}


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
        if value or name in _ALWAYS_TOLD:
            out.write(f"# {name}: {_one_line(value)}".rstrip() + "\n")
    names = [name for name in DAY_SERIES if name in ("air_min_c", "air_max_c") or _is_told(kept.daily, name)]
    out.write(",".join(["date", *(_COLUMNS.get(name, name) for name in names)]) + "\n")
    columns = [getattr(kept.daily, name) for name in names]
    ends = (0, len(kept.daily.days) - 1)
    for at, day in enumerate(kept.daily.days):
        cells = [_cell(float(column[at])) for column in columns]
        if any(cells) or at in ends:
            out.write(f"{day},{','.join(cells)}\n")
    return out.getvalue()


def _is_told(daily: DailyWeather, name: str) -> bool:
    return bool(np.isfinite(getattr(daily, name)).any())


def _cell(value: float) -> str:
    return "" if value != value else f"{value:.3f}".rstrip("0").rstrip(".")


_ALWAYS_TOLD = frozenset({"station", "source"})
"""By these a table of ours is known."""


def _one_line(value: str) -> str:
    """A text as a remark can hold it."""
    return " ".join("".join(each if each.isprintable() else " " for each in value).split())[:_LONGEST_TEXT].strip()


def _clean(station: Station) -> Station:
    return replace(
        station, code=_one_line(station.code), name=_one_line(station.name), network=_one_line(station.network)
    )


def _file_name(network: str, code: str) -> str:
    mark = hashlib.sha256(f"{network}\n{code}".encode()).hexdigest()[:8]
    readable = _SAFE.sub("-", code).strip("-").lower()[:40] or "station"
    return f"{readable}-{mark}.csv"


def _mark(file: Path) -> Mark:
    try:
        seen = file.stat()
    except OSError as error:
        raise _cannot_be_read(file, error) from error
    return seen.st_size, seen.st_mtime_ns


def _cannot_be_read(file: Path, error: Exception) -> WeatherFileError:
    why = getattr(error, "strerror", None) or error
    return Spot(file.name).fault(f"it cannot be read ({why})", "Check the name and the rights, or get it again.")


def _read(file: Path) -> Kept:
    told = _remarks(file)
    weather = read_weather(file, is_ours=_is_ours(told, file))
    if not isinstance(weather, DailyWeather):
        raise WeatherFileError(file=file.name, line=None, what="it is a table of hours", do="Take it off the shelf.")
    return _with_remarks(weather, told, file)


def _is_ours(told: Mapping[str, str], file: Path) -> bool:
    """Whether a table was written by us: it has our remarks and the name we give."""
    return _ALWAYS_TOLD <= told.keys() and file.name == _file_name(told.get("network", ""), told["station"])


def _with_remarks(daily: DailyWeather, told: Mapping[str, str], file: Path) -> Kept:
    is_ours = _is_ours(told, file)
    station = replace(
        daily.station,
        name=told.get("name", "" if is_ours else daily.station.name),
        network=told.get("network", "" if is_ours else daily.station.network),
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
    return Kept(daily=replace(daily, station=station), source=source)


def _instant(written: str, file: Path) -> datetime:
    try:
        at = datetime.fromisoformat(written)
    except ValueError:
        at = None
    if at is None or at.tzinfo is None:
        raise Spot(file.name).fault(f"fetched is {shown(written)}, no instant with its zone", "Take the line out.")
    return at


def _remarks(file: Path) -> dict[str, str]:
    """What the first lines tell, plain or packed. Raises `WeatherFileError` when they are no text."""
    try:
        with file.open("rb") as stream:
            lines = _first_lines(unpacked(stream, Spot(file.name)))
    except (OSError, EOFError, zlib.error) as error:
        raise _cannot_be_read(file, error) from error
    told = {}
    for number, line in enumerate(lines, start=1):
        try:
            found = _REMARK.fullmatch(line.decode("utf-8-sig").strip())
        except UnicodeDecodeError as error:
            raise Spot(file.name, number).fault(
                "the line is not UTF-8 text", "Save the file as plain text in UTF-8."
            ) from error
        if found:
            told[found[1]] = found[2]
    return told


def _first_lines(stream: BinaryIO) -> list[bytes]:
    return list(islice(iter(lambda: stream.readline(_LONGEST_LINE_BYTES), b""), _HEADER_LINES))


def last_day(kept: Kept) -> date:
    """The last day that has its lowest air."""
    known = np.flatnonzero(np.isfinite(kept.daily.air_min_c))
    at = int(known[-1]) if len(known) else 0
    day: date = kept.daily.days[at].item()
    return day
