"""The US National Weather Service (api.weather.gov): what stations measured in the last week, the forecast, warnings.

No key and no charge, for any purpose; it asks that a program says who runs it. Observations are kept for 7 days
(github.com/weather-gov/api/issues/63).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

import numpy as np

from bot.weather.live import forecast_grid as grid
from bot.weather.live.asking import Asking
from bot.weather.live.hours import Span, limited_hourly_of
from bot.weather.live.http import KEEP_COPIES, Web, require_contact
from bot.weather.live.national_bodies import ActiveAlerts, Grid
from bot.weather.live.national_place import NAME, Place, elevation_m, find_place
from bot.weather.live.national_stations import LINK, days_of_station, stations_near
from bot.weather.live.near import sent
from bot.weather.live.port import Fetched, NothingThere, OutsideArea, TryLater, WeatherServiceError
from bot.weather.live.units_told import TO_C, TO_MM
from bot.weather.source import Source
from rules.weather import DailyWeather, HourlyWeather

NATIONAL_URL = "https://api.weather.gov"
CREDIT = "US National Weather Service"
KEPT_DAYS = 7
ENOUGH_SHARE = 0.8  # of the days asked for; with fewer the next station is looked at
_FORECAST_COPY = timedelta(hours=12)
_ALERTS_COPY = timedelta(hours=1)  # a warning may have come since


@dataclass(frozen=True, slots=True, kw_only=True)
class Warnings:
    """The warnings in force somewhere, as the service writes them; `bot/ops/alerts/national.py` reads them."""

    features: tuple[dict[str, object], ...]
    source: Source


@dataclass(frozen=True, slots=True, kw_only=True)
class Forecast:
    """What the service expects at a place, hour by hour; `issued_at` is when its forecasters last changed it."""

    hourly: HourlyWeather
    source: Source
    issued_at: datetime | None
    is_kept_copy: bool


class NationalService:
    """The service as a `WeatherService`, with its forecasts and warnings. Raises SettingsError without a contact."""

    name = NAME

    def __init__(self, web: Web, base_url: str = NATIONAL_URL) -> None:
        require_contact(web.contact)
        self._web = web
        self._base_url = base_url

    async def daily(self, latitude: float, longitude: float, first_on: date, last_on: date) -> Fetched:
        """The days of the nearest station that has most of them, of the last week only. Raises WeatherServiceError."""
        place = await find_place(self._asking(), latitude, longitude, last_on)
        span = self._kept(place, first_on, last_on)
        best: Fetched | None = None
        fault: WeatherServiceError | None = None
        for near in await stations_near(self._asking(), place):
            try:
                found = await days_of_station(self._asking(), near, span, self._web.clock.now())
            except (NothingThere, TryLater) as error:
                fault = fault or error
                continue
            if best is None or _known(found.daily) > _known(best.daily):
                best = found
            if _known(best.daily) >= ENOUGH_SHARE * ((span.last_on - span.first_on).days + 1):
                break
        if best is not None:
            return best
        raise fault or AssertionError("there is a station")

    async def forecast(self, latitude: float, longitude: float) -> Forecast:
        """The next days hour by hour. Raises WeatherServiceError."""
        place = await find_place(self._asking(), latitude, longitude, self._web.clock.now().date())
        if not place.grid:
            raise OutsideArea(service=NAME, what="it gives no forecast for this place", do="Check the place.")
        asking = self._asking(_FORECAST_COPY)
        facts = (await asking.ask(Grid, place.grid)).properties
        air = grid.held_values(NAME, "temperature", facts.temperature, TO_C)
        rain = grid.held_values(NAME, "quantitativePrecipitation", facts.rain, TO_MM)
        if not air:
            raise NothingThere(service=NAME, what="it has no forecast for there now", do="Try again in an hour.")
        hours = grid.hours_covered(NAME, air)
        series = {"air_c": grid.means_over(air, hours), "rain_mm": grid.sums_over(rain, hours)}
        cell = place.cell_station(elevation_m(facts.elevation))
        return Forecast(
            hourly=limited_hourly_of(cell, hours, place.utc_offset_hours, series),
            source=asking.source(CREDIT, LINK, is_measured=False),
            issued_at=facts.issued_at,
            is_kept_copy=asking.is_kept_copy,
        )

    async def alerts_at(self, latitude: float, longitude: float) -> Warnings:
        """The warnings in force at a place. Raises WeatherServiceError."""
        return await self._alerts({"point": f"{sent(latitude)},{sent(longitude)}"})

    async def alerts_in(self, zones: Sequence[str]) -> Warnings:
        """The warnings in force in forecast zones or counties, by UGC code (`GAZ123`, `GAC001`)."""
        return await self._alerts({"zone": ",".join(zones)})

    async def _alerts(self, params: dict[str, str]) -> Warnings:
        asking = self._asking(_ALERTS_COPY)
        features = [
            each async for page in asking.pages(ActiveAlerts, "/alerts/active", params) for each in page.features
        ]
        return Warnings(features=tuple(features), source=asking.source(CREDIT, LINK, is_measured=False))

    def _asking(self, oldest_copy: timedelta = KEEP_COPIES) -> Asking:
        return Asking(self._web, NAME, self._base_url, oldest_copy)

    def _kept(self, place: Place, first_on: date, last_on: date) -> Span:
        """What the service still has of the days asked for."""
        today = (self._web.clock.now() + timedelta(hours=place.utc_offset_hours)).date()
        first, last = max(first_on, today - timedelta(days=KEPT_DAYS)), min(last_on, today)
        if first > last:
            what = f"it keeps the last {KEPT_DAYS} days only, and has none from {first_on} to {last_on}"
            raise NothingThere(service=NAME, what=what, do="Ask the reanalysis, or use a weather file.")
        return Span(first_on=first, last_on=last, utc_offset_hours=place.utc_offset_hours)


def _known(daily: DailyWeather) -> int:
    """Days with both their lowest and highest."""
    return int((np.isfinite(daily.air_min_c) & np.isfinite(daily.air_max_c)).sum())
