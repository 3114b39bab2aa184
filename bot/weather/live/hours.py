"""The hours that make up local standard days, and readings of any instant gathered into them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import numpy as np
from numpy.typing import NDArray

from bot.weather.live.answers import not_understood, told
from bot.weather.live.port import NothingThere
from rules.facts.weather import HOUR_LIMITS
from rules.weather import HOUR_SERIES, Array, DailyWeather, HourlyWeather, Station, between, daily_of
from rules.weather_checks import Doubts, checked, without_impossible

Times = NDArray[np.datetime64]
_HOUR_S = 3600


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """Local standard days from `first_on` to `last_on`, both included. `utc_offset_hours` is negative in America."""

    first_on: date
    last_on: date
    utc_offset_hours: float

    @property
    def begin_at(self) -> datetime:
        """The midnight the first day begins with."""
        return self._midnight(self.first_on)

    @property
    def end_at(self) -> datetime:
        """The midnight the last day ends with."""
        return self._midnight(self.last_on + timedelta(days=1))

    def hours(self) -> Times:
        """Every hour of the days by its END in UTC. An hour belongs to the day in which its middle lies."""
        first, after = (_hour_with_middle_from(at) for at in (self.begin_at, self.end_at))
        return np.arange(first, after)

    def _midnight(self, on: date) -> datetime:
        return datetime(on.year, on.month, on.day, tzinfo=UTC) - timedelta(hours=self.utc_offset_hours)


def _hour_with_middle_from(at: datetime) -> np.datetime64:
    """The first full hour whose hour before it has its middle at `at` or later."""
    after = (at + timedelta(minutes=30 + 59)).replace(minute=0, second=0, microsecond=0, tzinfo=None)
    return np.datetime64(after, "h")


def instants(times: list[datetime]) -> Times:
    """Aware instants as UTC seconds."""
    return np.array([at.astimezone(UTC).replace(tzinfo=None) for at in times], dtype="datetime64[s]")


def in_hours(times: Times, hours: Times) -> tuple[NDArray[np.int64], NDArray[np.bool_]]:
    """For each instant the place of its hour among `hours`, and whether it has one. The full hour ends its hour."""
    since_s = (times - (hours[0] - np.timedelta64(1, "h"))).astype(np.int64)
    place = -(-since_s // _HOUR_S) - 1
    return place, (place >= 0) & (place < len(hours))


def standard_offset_hours(service: str, zone: str, on: date) -> float:
    """Standard time minus UTC in a zone on a day, whatever the clocks show then. Raises NotUnderstood."""
    try:
        noon = datetime(on.year, on.month, on.day, 12, tzinfo=ZoneInfo(zone))
    except (ZoneInfoNotFoundError, ValueError, OSError) as error:  # a name too long, or of a folder
        raise not_understood(service, f"there is no time zone {told(zone)!r}") from error
    offset, saving = noon.utcoffset() or timedelta(0), noon.dst() or timedelta(0)
    return (offset - saving) / timedelta(hours=1)


def hourly_of(
    station: Station, hours: Times, utc_offset_hours: float, series: Mapping[str, Array]
) -> tuple[HourlyWeather, Doubts]:
    """Readings as hourly weather after the checks; what a service does not give is missing."""
    kept, doubts = checked(series)
    return limited_hourly_of(station, hours, utc_offset_hours, kept), doubts


def limited_hourly_of(
    station: Station, hours: Times, utc_offset_hours: float, series: Mapping[str, Array]
) -> HourlyWeather:
    """The same without a check for what stands still or leaps, which a forecast may do; what cannot be is missing."""
    missing = np.full(len(hours), np.nan)
    kept = {name: without_impossible(series.get(name, missing), HOUR_LIMITS[name])[0] for name in HOUR_SERIES}
    return HourlyWeather(station=station, hours=hours, utc_offset_hours=utc_offset_hours, **kept)


def days_of(service: str, hourly: HourlyWeather) -> DailyWeather:
    """The days of some hours from the first to the last with both its lowest and highest air. Raises NothingThere."""
    daily = daily_of(hourly)
    known = daily.days[np.isfinite(daily.air_min_c) & np.isfinite(daily.air_max_c)]
    if not len(known):
        what = f"it has no full day of air temperature from {daily.days[0]} to {daily.days[-1]} near there"
        raise NothingThere(service=service, what=what, do="Ask for other days, or use a weather file.")
    return between(daily, known[0].item(), known[-1].item())
