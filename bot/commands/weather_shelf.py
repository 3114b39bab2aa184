"""`afterfrost weather import` and `near`: weather kept for the service, and which of it speaks for a place."""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator, Sequence
from datetime import date
from pathlib import Path

import click
from pydantic import BaseModel

from bot.errors import AfterfrostError
from bot.talk.case import Place
from bot.talk.messages import DistanceMiles, Number, Text, Value, Verbatim, text
from bot.weather.faults import WeatherFileError
from bot.weather.shelf import Kept, Shelf, kept_of, last_day
from bot.words import Words
from rules.facts.soil import NORMAL_90
from rules.freezes import freezes
from rules.stations import Reach, height_near, within_reach
from rules.units import FEET_PER_METRE, KM_PER_MILE, dc_to_df

_COORDINATES = re.compile(r"\s*(-?\d{1,2}(?:\.\d+)?)\s*[, ]\s*(-?\d{1,3}(?:\.\d+)?)\s*", re.ASCII)


class PlaceNotClear(AfterfrostError):
    """A place on the command line is not known, or there are several of its name."""


class StationNear(BaseModel):
    """A kept station as seen from a place. Heights in metres above the sea.

    air_doubt_c : half the width of the range in which the place's lowest air lies nine times in ten, around its own
    """

    code: str
    name: str
    network: str
    distance_miles: float | None
    elevation_m: float | None
    is_thermometer: bool
    first_on: date
    last_on: date
    freezes: int
    air_doubt_c: float | None
    credit: str


class Near(BaseModel):
    """Everything `afterfrost weather near --json` prints: those in reach of the place, the best first."""

    place: str = ""
    county: str = ""
    latitude: float | None = None
    longitude: float | None = None
    elevation_m: float | None = None
    stations: list[StationNear]
    unreadable: list[str]


def import_files(
    data: Path, files: Sequence[Path], *, station: str | None, latitude: float | None, longitude: float | None
) -> str:
    """Keep weather files for the service. All of them are read before any is kept; one that is wrong keeps all out.

    Raises WeatherFileError naming file, line and what to do.
    """
    where = {"station": station, "latitude": latitude, "longitude": longitude}
    read = [kept_of(file, **where) for file in _with_progress(files, "import-reading")]
    shelf = Shelf(data)
    try:
        kept = [shelf.add(each.daily, each.source) for each in read]
    except OSError as error:
        raise WeatherFileError(
            file=str(shelf.folder),
            line=None,
            what=f"it cannot be written ({error.strerror})",
            do="Make room or rights.",
        ) from error
    words = Words()
    return "\n".join(words.text(_kept_line(each)) for each in kept)


def _kept_line(kept: Kept) -> Text:
    daily = kept.daily
    return text(
        "import-kept",
        name=Verbatim(daily.station.name or daily.station.code),
        first=Verbatim(str(daily.days[0])),
        last=Verbatim(str(daily.days[-1])),
        count=Number(len(daily.days)),
        freezes=Number(len(freezes(daily))),
    )


def _with_progress(files: Sequence[Path], label: str) -> Iterator[Path]:
    """A bar on standard error while many files are read and a person looks on."""
    if len(files) < 2 or not sys.stderr.isatty():
        yield from files
        return
    with click.progressbar(files, label=Words().text(text(label)), file=sys.stderr) as bar:
        yield from bar


def near_command(data: Path, place: str | None, *, as_json: bool, metric: bool) -> str:
    """What the command prints. Raises PlaceNotClear."""
    found = near(data, place)
    if as_json:
        return found.model_dump_json(indent=2)
    words = Words()
    return "\n".join(words.text(line, metric=metric) for line in _near_lines(found, metric=metric))


def near(data: Path, place: str | None) -> Near:
    """The kept stations, those in reach of a place in the order in which they are chosen."""
    kept, broken = Shelf(data).all()
    unreadable = [each.why for each in broken]
    if place is None:
        rows = [_row(each, None) for each in kept]
        return Near(stations=rows, unreadable=unreadable)
    where = where_is(place)
    by_station = {(each.daily.station.network, each.daily.station.code): each for each in kept}
    stations = [(each.daily.station, each.source.is_measured) for each in kept]
    height_m = height_near(stations, where.latitude, where.longitude)
    reached = within_reach(stations, where.latitude, where.longitude, height_m)
    return Near(
        place=where.name or place,
        latitude=where.latitude,
        longitude=where.longitude,
        county=where.county,
        elevation_m=height_m,
        stations=[_row(by_station[each.station.network, each.station.code], each) for each in reached],
        unreadable=unreadable,
    )


def where_is(said: str) -> Place:
    """A place by coordinates, ZIP code or name."""
    from bot.conversation import GAZETTEER

    found = _COORDINATES.fullmatch(said)
    if found and abs(float(found[1])) <= 90 and abs(float(found[2])) <= 180:
        return Place(name="", county="", state="", zone="UTC", latitude=float(found[1]), longitude=float(found[2]))
    places = GAZETTEER.find(said)
    if len(places) == 1:
        return places[0]
    if not places:
        raise PlaceNotClear(f'No place {said!r} is known. Give a ZIP code, a town and state, or "31.2,-81.5".')
    named = "; ".join(f"{place.name}, {place.county}, {place.state}" for place in places[:6])
    raise PlaceNotClear(f"There are several places {said!r}: {named}. Give a ZIP code.")


def _row(kept: Kept, reach: Reach | None) -> StationNear:
    daily, station = kept.daily, kept.daily.station
    return StationNear(
        code=station.code,
        name=station.name or station.code,
        network=station.network,
        distance_miles=None if reach is None else round(reach.distance_km / KM_PER_MILE, 1),
        elevation_m=station.elevation_m,
        is_thermometer=kept.source.is_measured,
        first_on=daily.days[0].item(),
        last_on=last_day(kept),
        freezes=len(freezes(daily)),
        air_doubt_c=None if reach is None else round(NORMAL_90.value * reach.air_sd_dc, 2),
        credit=kept.source.credit_line,
    )


def _near_lines(found: Near, *, metric: bool) -> Iterator[Text]:
    for why in found.unreadable:
        yield text("near-unreadable", why=Verbatim(why))
    if not found.stations:
        yield text("near-none" if found.place else "near-empty", place=Verbatim(found.place))
        return
    yield text("near-head" if found.place else "near-all", place=Verbatim(found.place))
    for row in found.stations:
        yield _near_line(row, metric=metric)
    yield from (text("weather-credit", credit=Verbatim(each)) for each in _credits(found))


def _near_line(row: StationNear, *, metric: bool) -> Text:
    height = row.elevation_m
    shown = "?" if height is None else f"{height:.0f} m" if metric else f"{height * FEET_PER_METRE:.0f} ft"
    values: dict[str, Value] = {
        "name": Verbatim(row.name),
        "network": Verbatim(row.network),
        "height": Verbatim(shown),
        "first": Verbatim(row.first_on.isoformat()),
        "last": Verbatim(row.last_on.isoformat()),
        "freezes": Number(row.freezes),
    }
    if row.distance_miles is None or row.air_doubt_c is None:
        return text("near-station", **values)
    return text(
        "near-reach",
        distance=DistanceMiles(row.distance_miles),
        doubt=Verbatim(f"{row.air_doubt_c:.1f} °C" if metric else f"{dc_to_df(row.air_doubt_c):.0f} °F"),
        **values,
    )


def _credits(found: Near) -> list[str]:
    return sorted({row.credit for row in found.stations if row.credit})
