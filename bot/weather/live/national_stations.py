"""Stations near a place, and the days of one of them out of what it reported."""

from __future__ import annotations

from collections.abc import AsyncIterator
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from urllib.parse import quote

from bot.weather.live.asking import Asking
from bot.weather.live.hours import Span, days_of, hourly_of
from bot.weather.live.national_bodies import Observations, Reading, StationListed, Stations
from bot.weather.live.national_place import NAME, NETWORK, Place, elevation_m
from bot.weather.live.observations import series_of
from bot.weather.live.port import Fetched, NothingThere
from rules.stations import distance_km
from rules.weather import Station

CREDIT = "Weather measured by stations of the US National Weather Service and its partners"
LINK = "https://www.weather.gov/"
FARTHEST_KM = 60.0
STATIONS_TRIED = 3
# The service's own limit for one answer; a station that reports every 5 minutes has 288 in a day.
_MOST_READINGS = "500"


@dataclass(frozen=True, slots=True, kw_only=True)
class Near:
    """A station and how far it is."""

    station: Station
    distance_km: float


async def stations_near(asking: Asking, place: Place) -> list[Near]:
    """The nearest stations within reach, nearest first. Raises NothingThere when there is none."""
    listed = [each async for page in asking.pages(Stations, place.stations) for each in page.features]
    near = sorted((_near(each, place) for each in listed), key=lambda each: each.distance_km)
    within = [each for each in near if each.distance_km <= FARTHEST_KM]
    if not within:
        nearest = f"; the nearest is {near[0].distance_km:.0f} km away" if near else ""
        what = f"it has no station within {FARTHEST_KM:.0f} km{nearest}"
        raise NothingThere(service=NAME, what=what, do="Use the reanalysis, or a weather file.")
    return within[:STATIONS_TRIED]


def _near(listed: StationListed, place: Place) -> Near:
    longitude, latitude = listed.geometry.coordinates[:2]
    facts = listed.properties
    station = Station(
        code=facts.code,
        name=facts.name,
        latitude=latitude,
        longitude=longitude,
        elevation_m=elevation_m(facts.elevation),
        network=NETWORK,
    )
    return Near(station=station, distance_km=distance_km(place.latitude, place.longitude, station))


async def days_of_station(asking: Asking, near: Near, span: Span, now: datetime) -> Fetched:
    """The days of one station. Raises WeatherServiceError."""
    readings = [each async for each in _readings(asking, near.station.code, span, now)]
    hours = span.hours()
    series, impossible = series_of(NAME, readings, hours)
    hourly, doubts = hourly_of(near.station, hours, span.utc_offset_hours, series)
    return Fetched(
        daily=days_of(NAME, hourly),
        hourly=hourly,
        source=asking.source(CREDIT, LINK, is_measured=True),
        distance_km=near.distance_km,
        doubts=replace(doubts, impossible=doubts.impossible + impossible),
        is_kept_copy=asking.is_kept_copy,
    )


async def _readings(asking: Asking, code: str, span: Span, now: datetime) -> AsyncIterator[Reading]:
    """Day by day, so that days gone by have the same address tomorrow and come from the cache."""
    begin, last = span.begin_at, min(span.end_at, now.replace(minute=0, second=0, microsecond=0))
    while begin < last:
        end = min(begin + timedelta(days=1), last)
        params = {"start": _written(begin), "end": _written(end), "limit": _MOST_READINGS}
        async for page in asking.pages(Observations, f"/stations/{quote(code, safe='')}/observations", params):
            for each in page.features:
                yield each.properties
        begin = end


def _written(at: datetime) -> str:
    return f"{at.astimezone(UTC):%Y-%m-%dT%H:%M:%SZ}"
