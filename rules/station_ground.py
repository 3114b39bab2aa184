"""The ground under a lawn beside a weather station: its record cut at long gaps, each stretch run through the model."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rules.errors import NotEnoughData
from rules.facts import soil as facts
from rules.facts.cold import SNOW_UNKNOWN_EXTRA_SD_DC
from rules.facts.weather import LONGEST_GAP_DAYS
from rules.lawn_setting import AS_FITTED, LawnSetting, setting_sd_dc, stated_snow_sd_dc
from rules.lawn_soil import DailyPlaces
from rules.modelled_cold import ground_under
from rules.site_cold import crown_sd_under_snow_dc
from rules.soil_blend import daily_means, is_winter
from rules.soil_column import Array
from rules.soil_learning import Taught, with_readings
from rules.units import CM_PER_INCH, HOURS_PER_DAY
from rules.weather import DailyWeather, between, filled, runs_of


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class StationGround:
    """Day by day, [day], degC. Days inside long gaps are not there; nothing is made up for them.

    crown_min_c, crown_low_c, crown_high_c : lowest of the crown and its 90 % band
    soil_1in_min_c, soil_2in_min_c : lowest 1 and 2 in down
    soil_2in_mean_c, soil_2in_low_c, soil_2in_high_c : daily mean 2 in down and its 90 % interval
    soil_4in_mean_c : daily mean 4 in down
    snow_depth_in : snow lying on the grass, stated, measured or worked out [in]
    is_filled : the air's lowest or highest was missing and filled
    is_settling : too soon after the record began or a gap for the ground to be trusted
    is_beyond_measured : colder 2 in down than was ever measured under grass in the humid South
    """

    days: NDArray[np.datetime64]
    air_min_c: Array
    crown_min_c: Array
    crown_low_c: Array
    crown_high_c: Array
    soil_1in_min_c: Array
    soil_2in_min_c: Array
    soil_2in_mean_c: Array
    soil_2in_low_c: Array
    soil_2in_high_c: Array
    soil_4in_mean_c: Array
    snow_depth_in: Array
    is_filled: NDArray[np.bool_]
    is_settling: NDArray[np.bool_]
    is_beyond_measured: NDArray[np.bool_]


def station_ground(
    daily: DailyWeather, setting: LawnSetting = AS_FITTED, taught: Taught | None = None
) -> StationGround:
    """Crown and soil under a lawn beside a station, for every day it can be told.

    Parameters
    ----------
    daily : DailyWeather
        A record of any length; the air's lowest and highest are needed.
    setting : LawnSetting
        What the lawn stands on and in.
    taught : Taught or None
        Readings of a thermometer at this place beside what the model said in the same setting.

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
    rules/lawn_soil.py, soil_blend.py and soil_learning.py. Band of the crown: expert judgement, rules/facts/cold.py.

    Checked
    -------
    tests/bench/soil_winters.py judges the same model on many stations at once.
    """
    parts = [_told(stretch, setting, taught) for stretch in stretches(daily)]
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


def readings_beside(ground: StationGround, days: NDArray[np.datetime64], measured_c: Array, sd_dc: float) -> Taught:
    """Readings 2 in down beside what the model said of those days; none for days it cannot tell. [degC]

    `sd_dc` is how far one reading may be off the day's mean. Days outside November to March and days on which the
    ground was settling teach nothing. Source: as `with_offset`.
    """
    is_usable = ~ground.is_settling & is_winter(ground.days)
    modelled_c = dict(zip(ground.days[is_usable], ground.soil_2in_mean_c[is_usable], strict=True))
    return Taught(
        days=days,
        modelled_c=np.array([modelled_c.get(day, np.nan) for day in days]),
        measured_c=measured_c,
        reading_sd_dc=np.full(len(days), sd_dc),
    )


def _told(stretch: DailyWeather, setting: LawnSetting, taught: Taught | None) -> dict[str, np.ndarray]:
    whole, is_filled = filled(stretch)
    ground = ground_under(places_of(whole), [setting])
    run, soil = ground.run, ground.soil
    if taught is not None:
        soil = with_readings(soil, whole.days, taught, prior_sd_dc=_spread_dc(setting))
    snow_in = run.snow_depth_m[:, 0] * 100 / CM_PER_INCH
    crown_c, crown_half_dc = _lowest(run.crown_c), facts.NORMAL_90.value * _crown_sd_dc(snow_in, setting, whole)
    # Grass under lying snow is hardly warmer than melting snow, however wide the doubt.
    crown_c = np.where(snow_in > 0, np.minimum(crown_c, 1), crown_c)
    crown_high_c = np.where(snow_in > 0, np.minimum(crown_c + crown_half_dc, 1), crown_c + crown_half_dc)
    # The physics alone knows the hours; what readings and winters say of the day's mean moves all of the day.
    correction_dc = (soil.mean_c - daily_means(run.soil_2in_c))[:, 0]
    return {
        "days": whole.days,
        "air_min_c": whole.air_min_c,
        "crown_min_c": crown_c,
        "crown_low_c": crown_c - crown_half_dc,
        "crown_high_c": crown_high_c,
        "soil_1in_min_c": _lowest(run.soil_1in_c) + correction_dc,
        "soil_2in_min_c": _lowest(run.soil_2in_c) + correction_dc,
        "soil_2in_mean_c": soil.mean_c[:, 0],
        "soil_2in_low_c": soil.low_c[:, 0],
        "soil_2in_high_c": soil.high_c[:, 0],
        "soil_4in_mean_c": daily_means(run.soil_4in_c)[:, 0] + correction_dc,
        "snow_depth_in": snow_in,
        "is_filled": is_filled,
        "is_settling": np.arange(len(whole.days)) < facts.SETTLING_DAYS.value,
        "is_beyond_measured": soil.is_beyond_measured[:, 0],
    }


def _lowest(hourly_c: Array) -> Array:
    """Of each day of the only place."""
    return np.asarray(hourly_c[:, 0].reshape(-1, HOURS_PER_DAY).min(axis=1))


def _spread_dc(setting: LawnSetting) -> float:
    """How far places of one setting lie apart before anything was read."""
    return float(np.hypot(facts.STATION_SD_DC.value, setting_sd_dc(setting)))


def _crown_sd_dc(snow_in: Array, setting: LawnSetting, whole: DailyWeather) -> Array:
    """Doubt of the crown each day: less under snow, more where that snow was worked out, and for each departure."""
    is_worked_out = (snow_in > 0) & ~np.isfinite(whole.snow_depth_cm) & (setting.snow_in is None)
    sd_dc = np.array([crown_sd_under_snow_dc(float(each)) for each in snow_in])
    guess_dc = np.where(is_worked_out, SNOW_UNKNOWN_EXTRA_SD_DC.value, 0.0)
    stated_dc = np.where(snow_in > 0, stated_snow_sd_dc(setting), 0.0)
    return np.asarray(np.sqrt(sd_dc**2 + guess_dc**2 + stated_dc**2 + setting_sd_dc(setting) ** 2))
