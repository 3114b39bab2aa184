"""What a weather service is to us, and how it can fail: later it may work, or it will not."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Protocol

from bot.errors import AfterfrostError
from bot.weather.source import Source
from rules.weather import Array, DailyWeather, HourlyWeather
from rules.weather_checks import Doubts


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Fetched:
    """Weather from one service for one place.

    daily : local standard days, and the station or grid cell they are of
    hourly : what the days were made of, after the checks
    source : what must be told with it
    distance_km : from the place asked for to the station or the middle of the cell
    doubts : hourly values taken out or bridged by the checks
    soil_top_mean_c : daily mean of the top 7 cm of soil, one value for each of the days, where a reanalysis gives it.
        It is kept apart from `daily.soil_2in_c` because it is no temperature at 2 in: it is a layer's mean in a model's
        own soil under a model's own plants, far from any lawn, and nobody measured it. Shown as a 2-in reading it would
        look like a thermometer's and be trusted like one.
    is_kept_copy : the service could not be reached, and at least a part is a copy from an earlier time
    """

    daily: DailyWeather
    hourly: HourlyWeather
    source: Source
    distance_km: float
    doubts: Doubts
    soil_top_mean_c: Array | None = None
    is_kept_copy: bool = False


class WeatherService(Protocol):
    """Gives the weather of past days at a place."""

    @property
    def name(self) -> str: ...

    async def daily(self, latitude: float, longitude: float, first_on: date, last_on: date) -> Fetched:
        """The days from `first_on` to `last_on` as far as the service has them. Raises WeatherServiceError."""
        ...


class WeatherServiceError(AfterfrostError):
    """A weather service did not give what was asked. `service` names it; the message says what to do."""

    def __init__(self, *, service: str, what: str, do: str) -> None:
        super().__init__(f"{service}: {what}. {do}")
        self.service = service
        self.what = what
        self.do = do


class TryLater(WeatherServiceError):
    """The same question may be answered later; `after_seconds` is what the service itself said, if it did."""

    def __init__(self, *, service: str, what: str, do: str, after_seconds: float | None = None) -> None:
        super().__init__(service=service, what=what, do=do)
        self.after_seconds = after_seconds


class ServiceUnreachable(TryLater):
    """No answer: no net, no such host, too slow, or the connection broke."""


class ServiceBroken(TryLater):
    """The service answers that it is out of order."""


class TooManyRequests(TryLater):
    """The service wants to be asked less often."""


class WillNotWork(WeatherServiceError):
    """Asking the same again gives the same error; something must be changed first."""


class Refused(WillNotWork):
    """The service does not take the question, the contact or the key."""


class NothingThere(WillNotWork):
    """The service has nothing for these days or this address."""


class OutsideArea(WillNotWork):
    """The place lies where the service gives no weather."""


class NotUnderstood(WillNotWork):
    """The answer is not in the form the service documents, or in a unit we do not know."""
