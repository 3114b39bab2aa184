"""The ground under a lawn beside a weather station: its record cut at long gaps, each stretch run through the model."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rules.errors import NotEnoughData
from rules.facts import soil as facts
from rules.facts.weather import LONGEST_GAP_DAYS
from rules.lawn_soil import DailyPlaces
from rules.modelled_cold import Ground, ground_under
from rules.soil_blend import daily_means
from rules.soil_column import Array
from rules.units import HOURS_PER_DAY
from rules.weather import DailyWeather, between, filled, runs_of


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class StationGround:
    """Day by day, [day], degC. Days inside long gaps are not there; nothing is made up for them.

    crown_min_c : lowest of the crown
    soil_2in_mean_c, soil_2in_low_c, soil_2in_high_c : daily mean 2 in down and its 90 % interval
    soil_4in_mean_c : daily mean 4 in down
    is_filled : the air's lowest or highest was missing and filled
    is_settling : too soon after the record began or a gap for the ground to be trusted
    is_beyond_measured : colder 2 in down than was ever measured under grass in the humid South
    """

    days: NDArray[np.datetime64]
    air_min_c: Array
    crown_min_c: Array
    soil_2in_mean_c: Array
    soil_2in_low_c: Array
    soil_2in_high_c: Array
    soil_4in_mean_c: Array
    is_filled: NDArray[np.bool_]
    is_settling: NDArray[np.bool_]
    is_beyond_measured: NDArray[np.bool_]


def station_ground(daily: DailyWeather) -> StationGround:
    """Crown and soil under a lawn beside a station, for every day it can be told.

    Parameters
    ----------
    daily : DailyWeather
        A record of any length; the air's lowest and highest are needed.

    Returns
    -------
    StationGround
        [degC]

    Raises
    ------
    NotEnoughData
        No stretch of the record is longer than the ground needs to settle.

    Source
    ------
    rules/lawn_soil.py and soil_blend.py.

    Checked
    -------
    tests/bench/soil_winters.py judges the same model on many stations at once.
    """
    parts = [_told(stretch) for stretch in stretches(daily)]
    if not parts:
        raise NotEnoughData(
            f"the record has no {facts.SETTLING_DAYS.value:g} days in a row with the air's lowest and highest"
        )
    names = StationGround.__slots__
    return StationGround(**{name: np.concatenate([part[name] for part in parts]) for name in names})


def stretches(daily: DailyWeather) -> list[DailyWeather]:
    """The parts of a record between gaps too long to fill, each long enough for the ground to settle. Counting."""
    is_missing = ~(np.isfinite(daily.air_min_c) & np.isfinite(daily.air_max_c))
    long = np.zeros(len(daily.days), dtype=np.bool_)
    for first, last in runs_of(is_missing):
        at_an_end = first == 0 or last == len(is_missing) - 1
        long[first : last + 1] = at_an_end or last - first + 1 > LONGEST_GAP_DAYS.value
    return [
        between(daily, daily.days[first].item(), daily.days[last].item())
        for first, last in runs_of(~long)
        if last - first + 1 >= facts.SETTLING_DAYS.value
    ]


def places_of(daily: DailyWeather) -> DailyPlaces:
    """One station as a place of the model. The air must have no gaps. [cm -> m] Ours."""
    return DailyPlaces(
        days=daily.days[:, None],
        air_min_c=daily.air_min_c[:, None],
        air_max_c=daily.air_max_c[:, None],
        rain_mm=daily.rain_mm[:, None],
        latitude=np.array([daily.station.latitude]),
        height_m=np.array([daily.station.elevation_m or 0.0]),
        solar_mj_m2=daily.solar_mj_per_m2[:, None],
        snow_depth_m=daily.snow_depth_cm[:, None] / 100,
    )


def _told(stretch: DailyWeather) -> dict[str, np.ndarray]:
    whole, is_filled = filled(stretch)
    ground: Ground = ground_under(places_of(whole))
    crown = ground.run.crown_c[:, 0].reshape(-1, HOURS_PER_DAY).min(axis=1)
    return {
        "days": whole.days,
        "air_min_c": whole.air_min_c,
        "crown_min_c": crown,
        "soil_2in_mean_c": ground.soil.mean_c[:, 0],
        "soil_2in_low_c": ground.soil.low_c[:, 0],
        "soil_2in_high_c": ground.soil.high_c[:, 0],
        "soil_4in_mean_c": daily_means(ground.run.soil_4in_c)[:, 0],
        "is_filled": is_filled,
        "is_settling": np.arange(len(whole.days)) < facts.SETTLING_DAYS.value,
        "is_beyond_measured": ground.soil.is_beyond_measured[:, 0],
    }
