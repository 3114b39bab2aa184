"""The forecast of a region: asked for at each of its spots, and the coldest of them speaks for it.

Where a spot is out of any forecast the others speak. Where the service is in trouble the region is better asked about
again a little later, since the spot that is missing may be the coldest; only then does what answered have to do.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import AbstractAsyncContextManager
from dataclasses import dataclass
from datetime import timedelta

from bot.clock import Clock
from bot.errors import AfterfrostError
from bot.ops.alerts.own_cold import ColdAhead, cold_ahead
from bot.ops.alerts.spots import Spot
from bot.settings import Settings
from bot.weather.fetching import services
from bot.weather.live.national import NationalService
from bot.weather.live.port import NothingThere, TryLater, WeatherServiceError
from bot.weather.live.reanalysis import OffsetHours
from bot.weather.live.services import LiveWeather
from rules.errors import NotEnoughData
from rules.weather import HourlyWeather

MOST_TROUBLES = 2
"""After so many spots without an answer the service is left alone for now."""

Open = Callable[[], AbstractAsyncContextManager[LiveWeather]]


class NoForecast(AfterfrostError):
    """No service that is switched on has forecasts."""

    def __init__(self) -> None:
        super().__init__(
            "No forecast is fetched: only the national weather service has one. Set AFTERFROST_WEATHER=national (or "
            "both), and AFTERFROST_WEATHER_CONTACT to an e-mail address or web page of yours."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Outlook:
    """What the spots of a region say.

    spot, forecast : of the coldest spot; of any where none freezes
    ahead : the cold there; None where no spot freezes
    spots, answered : how many were asked about, and how many a forecast was had for
    """

    spot: Spot
    forecast: HourlyWeather
    ahead: ColdAhead | None
    spots: int
    answered: int


def has_forecasts(settings: Settings) -> bool:
    """Whether forecasts are fetched: a service that has them is switched on, and time is not moved."""
    return settings.weather in ("national", "both") and settings.clock_shift_file is None


def forecasts(settings: Settings, clock: Clock, offset_hours: OffsetHours) -> Open:
    """The way to the forecasts."""
    return lambda: services(settings, clock, offset_hours)


async def outlook(live: LiveWeather, spots: Sequence[Spot], clock: Clock, *, may_lack: bool = False) -> Outlook:
    """Ask for the forecast of each spot, one after the other; at least one is given.

    Parameters
    ----------
    may_lack : bool
        Whether spots may be missing because the service is in trouble.

    Raises
    ------
    WeatherServiceError
        No spot has a forecast, or some may have one later.
    NoForecast
        No service with forecasts is switched on.
    """
    if live.national is None:
        raise NoForecast
    found: list[Outlook] = []
    troubles: list[WeatherServiceError] = []
    fault: WeatherServiceError | None = None
    for spot in spots:
        try:
            found.append(await _at(live.national, spot, clock))
        except TryLater as error:
            troubles.append(error)
            if len(troubles) >= MOST_TROUBLES:
                break
        except WeatherServiceError as error:
            fault = error
        except NotEnoughData as error:
            what = f"its forecast is too short ({error})"
            fault = NothingThere(service=live.national.name, what=what, do="Look at the place on its own page.")
    if troubles and not (may_lack and found):
        raise troubles[0]
    if not found:
        raise fault or ValueError("no spot was given")
    coldest = min(found, key=lambda each: each.ahead.air_min_c if each.ahead else float("inf"))
    return Outlook(
        spot=coldest.spot,
        forecast=coldest.forecast,
        ahead=coldest.ahead,
        spots=len(spots),
        answered=len(found),
    )


async def _at(service: NationalService, spot: Spot, clock: Clock) -> Outlook:
    forecast = (await service.forecast(spot.latitude, spot.longitude)).hourly
    today = (clock.now() + timedelta(hours=forecast.utc_offset_hours)).date()
    return Outlook(spot=spot, forecast=forecast, ahead=cold_ahead(forecast, today), spots=1, answered=1)
