"""The daily mean at 2 in: physics and a regression on smoothed air, put together as measured winters weigh them.

A regression on the air alone does as well as physics on ordinary days and badly in deep cold; physics knows snow,
cover and freezing and errs a little each day. Least squares over measured station-winters gives both their weight. The
width told with it is what was left over on winters and stations the fit had not seen. It was fitted on November to
March; on other days the physics stands alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from rules.facts import soil as facts
from rules.lawn_setting import LawnSetting, setting_sd_dc, stated_snow_sd_dc
from rules.lawn_soil import DailyPlaces, SoilRun
from rules.soil_column import Array
from rules.sun import day_of_year
from rules.units import HOURS_PER_DAY


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Soil2in:
    """Daily mean soil temperature 2 in down under grass, with its 90 % interval. [day, place], degC.

    regression_c : what the air alone would have said, kept as a guard; NaN outside November to March
    is_beyond_measured : where the estimate is colder than was ever measured under grass in the humid South
    """

    mean_c: Array
    low_c: Array
    high_c: Array
    regression_c: Array
    is_beyond_measured: np.ndarray


def daily_means(hourly_c: Array) -> Array:
    """Means of whole days from hourly values. [hour, place] -> [day, place], degC. Ours."""
    return np.asarray(hourly_c.reshape(-1, HOURS_PER_DAY, hourly_c.shape[1]).mean(axis=1))


def air_terms(places: DailyPlaces) -> Array:
    """Ten terms on the air: means smoothed over six lengths, the day's swing, the season, one. [day, place, 10]"""
    mean_c = (places.air_min_c + places.air_max_c) / 2
    season = _since_autumn_days(places.days) / facts.WINTER_DAYS.value
    terms = [_smoothed(mean_c, fact.value) for fact in facts.SMOOTHING_DAYS]
    swing = _smoothed(places.air_max_c - places.air_min_c, facts.SWING_SMOOTHING_DAYS.value)
    return np.stack([*terms, swing, season, season**2, np.ones_like(mean_c)], axis=-1)


def blend_terms(places: DailyPlaces, physics_c: Array) -> Array:
    """The terms on the air, the physics, and the physics where the ground is cold. [day, place, 12]"""
    cold_c = np.minimum(physics_c, facts.COLD_GROUND_C.value)
    return np.concatenate([air_terms(places), np.stack([physics_c, cold_c], axis=-1)], axis=-1)


def soil_2in(places: DailyPlaces, run: SoilRun) -> Soil2in:
    """The best estimate of the daily mean 2 in down, and how wide it is.

    Parameters
    ----------
    places : DailyPlaces
        The weather, a month or more before the days of interest.
    run : SoilRun
        What `lawn_temperatures` made of it.

    Returns
    -------
    Soil2in
        Means and 90 % intervals. [degC]

    Source
    ------
    Fitted to NOAA US Climate Reference Network winters: rules/facts/soil.py.

    Checked
    -------
    tests/bench/soil_winters.py: winters and stations the fit had not seen, beside the regression alone.
    """
    physics_c = daily_means(run.soil_2in_c)
    blended_c = with_cold_shift(blend_terms(places, physics_c) @ np.array([fact.value for fact in facts.BLEND]))
    is_fitted = is_winter(places.days)
    mean_c = np.where(is_fitted, blended_c, physics_c)
    regression_c = np.where(is_fitted, air_terms(places) @ np.array([fact.value for fact in facts.REGRESSION]), np.nan)
    low_c, high_c = stated_edges(mean_c)
    return Soil2in(
        mean_c=mean_c,
        low_c=low_c,
        high_c=high_c,
        regression_c=regression_c,
        is_beyond_measured=mean_c < facts.COLDEST_MEASURED_2IN_C.value,
    )


def in_settings(soil: Soil2in, as_fitted: SoilRun, run: SoilRun, settings: Sequence[LawnSetting]) -> Soil2in:
    """The estimate moved to other settings: by as much as they move the physics, and wider for each departure.

    Parameters
    ----------
    soil : Soil2in
        The estimate as fitted.
    as_fitted, run : SoilRun
        What `lawn_temperatures` made of the same weather without settings, and with them.
    settings : sequence of LawnSetting
        One for each place.

    Returns
    -------
    Soil2in
        [degC]

    Source
    ------
    Ours. How much wider: expert judgement, rules/facts/soil_kinds.py; no station was sorted by its setting.

    Checked
    -------
    tests/rules/test_lawn_setting.py: directions only; nothing measured tells how far.
    """
    by_dc = daily_means(run.soil_2in_c) - daily_means(as_fitted.soil_2in_c)
    snow_sd = np.array([stated_snow_sd_dc(each) for each in settings]) * (run.snow_depth_m > 0)
    wider_dc = facts.NORMAL_90.value * np.hypot(snow_sd, [setting_sd_dc(each) for each in settings])
    low_dc = np.hypot(soil.mean_c - soil.low_c, wider_dc)
    high_dc = np.hypot(soil.high_c - soil.mean_c, wider_dc)
    return moved(soil, by_dc, low_dc, high_dc)


def moved(soil: Soil2in, by_dc: Array, low_dc: Array, high_dc: Array) -> Soil2in:
    """The estimate moved, with other distances from the mean to the edges of its interval. [degC, each] Ours."""
    mean_c = soil.mean_c + by_dc
    return replace(
        soil,
        mean_c=mean_c,
        low_c=mean_c - low_dc,
        high_c=mean_c + high_dc,
        is_beyond_measured=mean_c < facts.COLDEST_MEASURED_2IN_C.value,
    )


def stated_edges(mean_c: Array) -> tuple[Array, Array]:
    """The edges of the 90 % interval around daily means 2 in down. [degC] Source: what was left over, see the facts."""
    is_cold = mean_c < facts.COLD_GROUND_C.value
    low_c = mean_c + np.where(is_cold, facts.COLD_LOW_DC.value, facts.MILD_LOW_DC.value)
    high_c = mean_c + np.where(is_cold, facts.COLD_HIGH_DC.value, facts.MILD_HIGH_DC.value)
    return np.asarray(low_c), np.asarray(high_c)


def with_cold_shift(mean_c: Array) -> Array:
    """Cold days a little colder, fading out toward mild ones. [degC] Ours: see the fact."""
    edge_c = facts.COLD_GROUND_C.value
    return np.asarray(mean_c + facts.COLD_SHIFT_DC.value * np.clip(edge_c - mean_c, 0.0, 1.0))


def is_winter(days: NDArray[np.datetime64]) -> NDArray[np.bool_]:
    """Whether days lie in November to March, which the fit saw. Counting."""
    return np.asarray(_since_autumn_days(days) <= facts.WINTER_DAYS.value)


def _since_autumn_days(days: NDArray[np.datetime64]) -> Array:
    return np.asarray((day_of_year(days) - facts.SEASON_FROM_DAY.value) % facts.DAYS_A_YEAR.value)


def _smoothed(values: Array, days: float) -> Array:
    """A running mean that forgets by a share of its length a day."""
    out, keep = np.empty_like(values), np.exp(-1 / days)
    held = values[: int(facts.SMOOTHING_START_DAYS.value)].mean(axis=0)
    for day, row in enumerate(values):
        held = keep * held + (1 - keep) * row
        out[day] = held
    return out
