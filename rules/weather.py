"""Measured weather of one station, day by day or hour by hour: pure data, missing values as not-a-number.

Whoever makes one of these has it checked: nothing impossible, nothing out of order, no holes in the calendar.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date

import numpy as np
from numpy.typing import NDArray

from rules.errors import NotEnoughData, OutOfRange, require_range
from rules.facts import weather as facts
from rules.facts.fact import FactRange
from rules.units import HOURS_PER_DAY, JOULES_PER_MJ, SECONDS_PER_HOUR

Array = NDArray[np.float64]
Days = NDArray[np.datetime64]

DAY_SERIES: tuple[str, ...] = (
    "air_min_c",
    "air_max_c",
    "air_mean_c",
    "rain_mm",
    "snow_depth_cm",
    "solar_mj_per_m2",
    "soil_moisture_2in_fraction",
    "soil_2in_c",
    "soil_4in_c",
)
HOUR_SERIES: tuple[str, ...] = (
    "air_c",
    "rain_mm",
    "snow_depth_cm",
    "solar_w_per_m2",
    "soil_moisture_2in_fraction",
    "soil_2in_c",
    "soil_4in_c",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """Where the readings come from. Latitude degrees north, longitude degrees east, elevation above the sea [m].

    code, name, network : as the network writes them; empty where it gives none
    """

    code: str
    name: str
    latitude: float
    longitude: float
    elevation_m: float | None
    network: str

    def __post_init__(self) -> None:
        require_range("latitude", self.latitude, -90.0, 90.0, "degrees north")
        require_range("longitude", self.longitude, -180.0, 180.0, "degrees east")
        if self.elevation_m is not None:
            require_range("elevation_m", self.elevation_m, -500.0, 9000.0, "m")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DailyWeather:
    """Readings of consecutive local standard days. Every array has one value a day; not-a-number is missing.

    days : datetime64[D], one after the other, no holes
    air_min_c, air_max_c, air_mean_c : of the day [degC]
    rain_mm : rain and melted snow of the day [mm]
    snow_depth_cm : snow lying [cm]
    solar_mj_per_m2 : energy of the sun on level ground [MJ/m2]
    soil_moisture_2in_fraction : water at 2 in [m3/m3, 0..1]
    soil_2in_c, soil_4in_c : mean of the day at 2 and 4 in (5 and 10 cm) [degC]
    """

    station: Station
    days: Days
    air_min_c: Array
    air_max_c: Array
    air_mean_c: Array
    rain_mm: Array
    snow_depth_cm: Array
    solar_mj_per_m2: Array
    soil_moisture_2in_fraction: Array
    soil_2in_c: Array
    soil_4in_c: Array

    def __post_init__(self) -> None:
        _check_calendar(self.days, "D")
        _check_values({name: getattr(self, name) for name in DAY_SERIES}, self.days, facts.DAY_LIMITS)
        upside_down = np.flatnonzero(self.air_min_c > self.air_max_c)
        if len(upside_down):
            at = upside_down[0]
            low, high = float(self.air_min_c[at]), float(self.air_max_c[at])
            raise OutOfRange(f"air_min_c on {self.days[at]}", low, facts.AIR_C.low, high, "degC")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class HourlyWeather:
    """Readings of consecutive hours. Every array has one value an hour; not-a-number is missing.

    hours : datetime64[h] in UTC, the hour ENDING then, one after the other, no holes
    utc_offset_hours : local standard time minus UTC [h], negative in America
    air_c : mean of the hour [degC]
    rain_mm : rain and melted snow of the hour [mm]
    snow_depth_cm : snow lying [cm]
    solar_w_per_m2 : sun on level ground, mean of the hour [W/m2]
    soil_moisture_2in_fraction : water at 2 in [m3/m3, 0..1]
    soil_2in_c, soil_4in_c : at 2 and 4 in (5 and 10 cm) [degC]
    """

    station: Station
    hours: NDArray[np.datetime64]
    utc_offset_hours: float
    air_c: Array
    rain_mm: Array
    snow_depth_cm: Array
    solar_w_per_m2: Array
    soil_moisture_2in_fraction: Array
    soil_2in_c: Array
    soil_4in_c: Array

    def __post_init__(self) -> None:
        require_range("utc_offset_hours", self.utc_offset_hours, -12.0, 14.0, "h")
        _check_calendar(self.hours, "h")
        _check_values({name: getattr(self, name) for name in HOUR_SERIES}, self.hours, facts.HOUR_LIMITS)


def _check_calendar(times: NDArray[np.datetime64], unit: str) -> None:
    if times.dtype != np.dtype(f"datetime64[{unit}]") or times.ndim != 1 or not len(times):
        raise NotEnoughData(f"weather needs a row of datetime64[{unit}] with at least one in it, not {times.dtype}")
    holes = np.flatnonzero(np.diff(times) != np.timedelta64(1, unit))  # type: ignore[call-overload]
    if len(holes) or np.isnat(times).any():
        after = times[holes[0]] if len(holes) else "NaT"
        raise NotEnoughData(f"{after} is not followed by the next one: put missing readings in as not-a-number")


def _check_values(series: Mapping[str, Array], times: NDArray[np.datetime64], limits: Mapping[str, FactRange]) -> None:
    for name, values in series.items():
        if values.shape != times.shape or values.dtype != np.float64:
            raise NotEnoughData(f"{name} has {values.shape} values of {values.dtype}, the calendar {times.shape}")
        limit = limits[name]
        bad = np.flatnonzero((values < limit.low) | (values > limit.high))
        if len(bad):
            raise OutOfRange(f"{name} on {times[bad[0]]}", float(values[bad[0]]), limit.low, limit.high, limit.unit)


def between(daily: DailyWeather, first_on: date, last_on: date) -> DailyWeather:
    """The days from `first_on` to `last_on`, both included. Raises NotEnoughData when there are none. Calendar."""
    chosen = (daily.days >= np.datetime64(first_on, "D")) & (daily.days <= np.datetime64(last_on, "D"))
    if not chosen.any():
        raise NotEnoughData(f"no day from {first_on} to {last_on}: there are {daily.days[0]} to {daily.days[-1]}")
    return replace(daily, days=daily.days[chosen], **{name: getattr(daily, name)[chosen] for name in DAY_SERIES})


def laid_on(own_days: Days, values: Array, days: Days) -> Array:
    """Values of consecutive days laid on other days; not-a-number where they have none. Calendar, any unit."""
    at = (days - own_days[0]).astype(np.int64)
    is_inside = (at >= 0) & (at < len(own_days))
    return np.where(is_inside, values[np.where(is_inside, at, 0)], np.nan)


def daily_of(hourly: HourlyWeather) -> DailyWeather:
    """The local standard days of hourly readings.

    An hour belongs to the day in which its middle lies, so the hour ending at midnight ends its day. Of a day with
    fewer than 18 of its 24 hours nothing is told (not-a-number), each kind of reading counted by itself; at either end
    of the series such days are left off. Rain is the sum of the hours there are. The day's sun needs all 24 hours,
    since an hour left out would look like cloud. Lowest and highest are of hourly means, so some tenths of a degree
    milder than a thermometer that keeps its extremes.

    Parameters
    ----------
    hourly : HourlyWeather
        Hours in UTC with the offset of local standard time.

    Returns
    -------
    DailyWeather
        One value a day. [degC, mm, cm, MJ/m2, m3/m3]

    Raises
    ------
    NotEnoughData
        No day has 18 hours.

    Source
    ------
    facts.LEAST_HOURS (expert judgement).

    Checked
    -------
    tests/rules/test_weather.py: by hand, and against sums over plain lists.
    """
    days, grids = _hours_by_day(hourly)
    air, to_mj = grids["air_c"], HOURS_PER_DAY * SECONDS_PER_HOUR / JOULES_PER_MJ
    sun = _told(grids["solar_w_per_m2"], _mean(grids["solar_w_per_m2"]) * to_mj, HOURS_PER_DAY)
    means = ("snow_depth_cm", "soil_moisture_2in_fraction", "soil_2in_c", "soil_4in_c")
    return DailyWeather(
        station=hourly.station,
        days=days,
        air_min_c=_told(air, np.where(np.isfinite(air), air, np.inf).min(axis=1)),
        air_max_c=_told(air, np.where(np.isfinite(air), air, -np.inf).max(axis=1)),
        air_mean_c=_told(air, _mean(air)),
        rain_mm=_told(grids["rain_mm"], np.nansum(grids["rain_mm"], axis=1)),
        solar_mj_per_m2=sun,
        **{name: _told(grids[name], _mean(grids[name])) for name in means},
    )


def _hours_by_day(hourly: HourlyWeather) -> tuple[Days, dict[str, Array]]:
    """The days that have enough hours, from the first to the last such, and each reading as [day, hour]."""
    to_middle = np.timedelta64(round((hourly.utc_offset_hours - 0.5) * SECONDS_PER_HOUR), "s")
    middles = hourly.hours.astype("datetime64[s]") + to_middle
    days = middles.astype("datetime64[D]")
    row = (days - days[0]).astype(np.int64)
    column = (middles - days).astype("timedelta64[h]").astype(np.int64)
    enough = np.flatnonzero(np.bincount(row) >= facts.LEAST_HOURS.value)
    if not len(enough):
        raise NotEnoughData(f"no day has {facts.LEAST_HOURS.value:g} of its hours")
    kept = slice(int(enough[0]), int(enough[-1]) + 1)
    grids = {}
    for name in HOUR_SERIES:
        grid = np.full((int(row[-1]) + 1, HOURS_PER_DAY), np.nan)
        grid[row, column] = getattr(hourly, name)
        grids[name] = grid[kept]
    return np.arange(days[0], days[-1] + np.timedelta64(1, "D"))[kept], grids


def _mean(grid: Array) -> Array:
    return np.asarray(np.nansum(grid, axis=1) / np.maximum(np.isfinite(grid).sum(axis=1), 1))


def _told(grid: Array, of_day: Array, least_hours: float = facts.LEAST_HOURS.value) -> Array:
    return np.where(np.isfinite(grid).sum(axis=1) >= least_hours, of_day, np.nan)


def filled(daily: DailyWeather) -> tuple[DailyWeather, NDArray[np.bool_]]:
    """The same days without gaps in the air's lowest and highest, and which days were filled.

    Gaps of up to 3 days get a straight line between the days around them; where only one of the two is missing it is
    kept on its side of the measured one. Nothing else is filled (the mean, rain, snow, sun and soil stay as they are).

    Parameters
    ----------
    daily : DailyWeather
        Readings with gaps. [degC]

    Returns
    -------
    tuple
        The filled days, and for each day whether its lowest or highest is not measured but filled.

    Raises
    ------
    NotEnoughData
        A longer gap, or one at either end, where there is nothing to draw a line to; the days are named.

    Source
    ------
    facts.LONGEST_GAP_DAYS (expert judgement).

    Checked
    -------
    tests/rules/test_weather.py, by hand.
    """
    low_gap, high_gap = ~np.isfinite(daily.air_min_c), ~np.isfinite(daily.air_max_c)
    faults = [
        f"{name} is missing {span}"
        for name, gap in (("air_min_c", low_gap), ("air_max_c", high_gap))
        for span in _too_long(daily.days, gap)
    ]
    if faults:
        longest = f"{facts.LONGEST_GAP_DAYS.value:g}"
        raise NotEnoughData(f"{'; '.join(faults)}: at most {longest} days in a row between measured ones can be filled")
    low, high = _across(daily.air_min_c), _across(daily.air_max_c)
    low = np.where(low_gap, np.minimum(low, high), low)
    high = np.where(high_gap, np.maximum(low, high), high)
    return replace(daily, air_min_c=low, air_max_c=high), low_gap | high_gap


def _too_long(days: Days, gap: NDArray[np.bool_]) -> list[str]:
    return [
        f"from {days[first]} to {days[last]}"
        for first, last in runs_of(gap)
        if last - first + 1 > facts.LONGEST_GAP_DAYS.value or first == 0 or last == len(days) - 1
    ]


def _across(values: Array) -> Array:
    known = np.flatnonzero(np.isfinite(values))
    return np.asarray(np.interp(np.arange(len(values)), known, values[known]))


def runs_of(holds: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """First and last place of every unbroken run in which something holds. Plain counting."""
    steps = np.diff(np.concatenate(([0], holds.astype(np.int64), [0])))
    first, after = np.flatnonzero(steps == 1), np.flatnonzero(steps == -1)
    return [(int(begin), int(end) - 1) for begin, end in zip(first, after, strict=True)]
