"""The weather of past days worked out for a grid cell: ERA5 and ERA5-Land, through Open-Meteo's archive.

It reaches back for decades and lags about five days. It is no thermometer: a cell is 9 to 25 km wide, and a valley that
gathers cold on a still night is not in it. The data are under CC BY 4.0: the credit with its link must stand wherever
they are shown. Free use is for non-commercial purposes only, with at most 10,000 questions a day; a firm needs a key of
its own, or its own copy of the archive (open-meteo.com/en/license and /en/terms).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date, datetime, timedelta

import numpy as np

from bot.weather.live.answers import not_understood
from bot.weather.live.asking import Asking
from bot.weather.live.hours import Span, Times, days_of, hourly_of, limited_hourly_of
from bot.weather.live.http import Web
from bot.weather.live.near import sent
from bot.weather.live.port import Fetched, Refused
from bot.weather.live.reanalysis_body import Archive, Values
from bot.weather.live.units_told import TO_C, TO_CM, TO_MM, TO_W_PER_M2, Convert, converter, likely_elevation_m
from rules.facts.weather import SOIL_C
from rules.stations import distance_km
from rules.weather import Array, HourlyWeather, Station, between, daily_of
from rules.weather_checks import without_impossible

NAME = "Open-Meteo archive"
REANALYSIS_URL = "https://archive-api.open-meteo.com"
CUSTOMER_URL = "https://customer-archive-api.open-meteo.com"
# The wording that open-meteo.com/en/license asks for, and the Copernicus licence behind it (from memory).
LINK = "https://open-meteo.com/"
CREDIT = f"Weather data by {LINK} (CC BY 4.0). Contains modified Copernicus Climate Change Service information."
NETWORK = "ERA5"
MODEL = "era5_seamless"  # ERA5-Land where it has a value, else ERA5; their own default mixes in forecasts
LAG_DAYS = 5
MOST_DAYS = 1100
_HOURLY = "temperature_2m,precipitation,snow_depth,shortwave_radiation,soil_temperature_0_to_7cm"
OffsetHours = Callable[[float, float], float]


def solar_offset_hours(latitude: float, longitude: float) -> float:
    """Standard time minus UTC by the sun alone: within an hour or so of the zone's, good enough to cut days apart."""
    return float(round(longitude / 15))


class Reanalysis:
    """The archive as a `WeatherService`.

    `offset_hours` tells the standard time of a place; days are cut by it. With a `key` and no address of its own the
    address for customers is used.
    """

    name = NAME

    def __init__(
        self,
        web: Web,
        base_url: str = REANALYSIS_URL,
        key: str = "",
        offset_hours: OffsetHours = solar_offset_hours,
    ) -> None:
        self._web = web
        self.base_url = CUSTOMER_URL if key and base_url == REANALYSIS_URL else base_url
        self._secret = {"apikey": key} if key else None
        self._offset_hours = offset_hours

    @property
    def is_free_of_charge(self) -> bool:
        """Whether the public address is used without a key, which is allowed for non-commercial use only."""
        return self.base_url == REANALYSIS_URL and self._secret is None

    async def daily(self, latitude: float, longitude: float, first_on: date, last_on: date) -> Fetched:
        """The days of the grid cell that holds the place. Raises WeatherServiceError."""
        span = self._asked(latitude, longitude, first_on, last_on)
        asking = Asking(self._web, NAME, self.base_url)
        params = _params(latitude, longitude, span, self._web.clock.now().date())
        archive = await asking.ask(Archive, "/v1/archive", params, self._secret)
        station, series = _cell(archive), _series(archive, span.hours())
        soil_top_c = series.pop("soil_top")
        hourly, doubts = hourly_of(station, span.hours(), span.utc_offset_hours, series)
        daily = days_of(NAME, hourly)
        return Fetched(
            daily=daily,
            hourly=hourly,
            source=asking.source(CREDIT, LINK, is_measured=False),
            distance_km=distance_km(latitude, longitude, station),
            doubts=doubts,
            soil_top_mean_c=_means(hourly, soil_top_c, daily.days[0].item(), daily.days[-1].item()),
            is_kept_copy=asking.is_kept_copy,
        )

    def _asked(self, latitude: float, longitude: float, first_on: date, last_on: date) -> Span:
        """The days asked for up to today: the service refuses days to come."""
        offset_hours = self._offset_hours(latitude, longitude)
        today = (self._web.clock.now() + timedelta(hours=offset_hours)).date()
        days = (min(last_on, today) - first_on).days + 1
        if not 1 <= days <= MOST_DAYS:
            what = f"{first_on} to {last_on} is no span of past days it can be asked for"
            raise Refused(service=NAME, what=what, do=f"Ask for at most {MOST_DAYS} days, none of them to come.")
        return Span(first_on=first_on, last_on=min(last_on, today), utc_offset_hours=offset_hours)


def _params(latitude: float, longitude: float, span: Span, today_utc: date) -> Mapping[str, str]:
    """A local day of the west ends on the next day in UTC, which the service refuses while it is to come."""
    first_on, last_on = (each.astype("datetime64[D]").item() for each in span.hours()[[0, -1]])
    return {
        "latitude": sent(latitude),
        "longitude": sent(longitude),
        "start_date": str(first_on),
        "end_date": str(min(last_on, today_utc)),
        "hourly": _HOURLY,
        "models": MODEL,
        "timezone": "GMT",
    }


def _cell(archive: Archive) -> Station:
    return Station(
        code=f"{archive.latitude:g},{archive.longitude:g}",
        name="",
        latitude=archive.latitude,
        longitude=archive.longitude,
        elevation_m=likely_elevation_m(archive.elevation),
        network=NETWORK,
    )


def _series(archive: Archive, hours: Times) -> dict[str, Array]:
    """Each reading at the wanted hours. Rain and sun are of the hour before their time, the others of its end."""
    if archive.utc_offset_seconds != 0:
        raise not_understood(NAME, "its times are not in UTC")
    told, units = archive.hourly, archive.hourly_units
    times = _times(told.time, units.time)
    wanted: tuple[tuple[str, str, Values, str, Mapping[str, Convert]], ...] = (
        ("air_c", "temperature_2m", told.air, units.air, TO_C),
        ("rain_mm", "precipitation", told.rain, units.rain, TO_MM),
        ("snow_depth_cm", "snow_depth", told.snow_depth, units.snow_depth, TO_CM),
        ("solar_w_per_m2", "shortwave_radiation", told.solar, units.solar, TO_W_PER_M2),
        ("soil_top", "soil_temperature_0_to_7cm", told.soil_top, units.soil_top, TO_C),
    )
    place = (hours - times[0]).astype(np.int64)
    inside = (place >= 0) & (place < len(times))
    result = {}
    for name, theirs, values, unit, known in wanted:
        if len(values) != len(times):
            raise not_understood(NAME, f"{theirs} has {len(values)} values for {len(times)} hours")
        ours = _converted(values, converter(NAME, theirs, unit, known))
        result[name] = np.where(inside, ours[np.clip(place, 0, len(times) - 1)], np.nan)
    return result


def _converted(values: Values, convert: Convert) -> Array:
    return np.array([np.nan if each is None else convert(each) for each in values], dtype=np.float64)


def _times(written: tuple[str, ...], unit: str) -> Times:
    if unit != "iso8601" or not written:
        raise not_understood(NAME, "its times are missing, or not written as dates")
    try:
        instants = [datetime.fromisoformat(each) for each in written]
    except ValueError as error:
        raise not_understood(NAME, "one of its times is no date") from error
    times = np.array(instants, dtype="datetime64[m]")
    hours = times.astype("datetime64[h]")
    if (hours != times).any() or (np.diff(hours) != np.timedelta64(1, "h")).any():
        raise not_understood(NAME, "its hours do not follow one another")
    return hours


def _means(hourly: HourlyWeather, soil_top_c: Array, first_on: date, last_on: date) -> Array:
    """Of each day. The rule for a day's mean is the same for any temperature, so the air's is used."""
    soil_top_c, _ = without_impossible(soil_top_c, SOIL_C)
    stand_in = limited_hourly_of(hourly.station, hourly.hours, hourly.utc_offset_hours, {"air_c": soil_top_c})
    return between(daily_of(stand_in), first_on, last_on).air_mean_c
