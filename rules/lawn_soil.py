"""How cold crown and soil of a lawn got, hour by hour, from the days' weather.

The surface is drawn to the air's temperature, warmed by what the sun brings and cooled by what goes to the sky, through
the air, the grass and thatch on it, and snow. Three numbers of that are fitted to measured winters (cover, sun, sky);
everything else is taken from tables. Arrays run [day, place] and [hour, place].
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from rules.errors import NotEnoughData
from rules.facts import soil as facts
from rules.lawn_setting import MOIST_LOAM, LawnSetting, Settings, SoilProperties, side_by_side
from rules.soil_column import Array, Column, Drive, run_column
from rules.sun import above_the_air_mj_m2, day_length_hours, day_of_year
from rules.units import CM_PER_INCH, HOURS_PER_DAY, JOULES_PER_MJ, METRES_PER_KM, SECONDS_PER_HOUR

_SOIL_CELLS = 17
KELVIN_AT_0_C = facts.KELVIN_AT_0_C.value


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DailyPlaces:
    """The weather of many places, day by day. All [day, place] but latitude and height, which are [place].

    days : local standard days, the same number for each place
    air_min_c, air_max_c : [degC], without holes
    rain_mm : [mm], melted snow counted; holes count as none
    solar_mj_m2 : measured energy of the sun [MJ/m2]; holes are worked out from the air's swing
    snow_depth_m : measured depth of snow [m]; holes are worked out from rain and cold
    """

    days: NDArray[np.datetime64]
    air_min_c: Array
    air_max_c: Array
    rain_mm: Array
    latitude: Array
    height_m: Array
    solar_mj_m2: Array
    snow_depth_m: Array

    def __post_init__(self) -> None:
        if not np.isfinite(self.air_min_c).all() or not np.isfinite(self.air_max_c).all():
            raise NotEnoughData("the air's lowest and highest temperatures have holes: fill them first")
        shapes = {each.shape for each in (self.days, self.air_min_c, self.air_max_c, self.rain_mm, self.solar_mj_m2)}
        if len(shapes) != 1 or self.snow_depth_m.shape != self.days.shape:
            raise NotEnoughData("the weather of many places needs [day, place] arrays of one shape")

    def only(self, which: slice | NDArray[np.bool_] | NDArray[np.int64]) -> DailyPlaces:
        """Some of the places."""
        return DailyPlaces(
            days=self.days[:, which],
            air_min_c=self.air_min_c[:, which],
            air_max_c=self.air_max_c[:, which],
            rain_mm=self.rain_mm[:, which],
            latitude=self.latitude[which],
            height_m=self.height_m[which],
            solar_mj_m2=self.solar_mj_m2[:, which],
            snow_depth_m=self.snow_depth_m[:, which],
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Surface:
    """The three fitted numbers: resistance of grass and thatch, warming by the sun, cooling by the sky.

    One for all places, or [place] where settings differ.
    """

    cover_m2k_w: float | Array = field(default=facts.COVER_M2K_W.value)
    sun_dc_per_w_m2: float | Array = field(default=facts.SUN_PER_W_M2_DC.value)
    sky_dc_per_w_m2: float | Array = field(default=facts.SKY_PER_W_M2_DC.value)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SoilRun:
    """Temperatures at the end of each hour, [hour, place], degC: crown, thatch on the ground, and soil under it.

    The crown stands out of the thatch toward the canopy by a share that is calibrated: nobody has measured crowns.
    """

    crown_c: Array
    thatch_c: Array
    soil_1in_c: Array
    soil_2in_c: Array
    soil_4in_c: Array
    snow_depth_m: Array  # [day, place]


def lawn_temperatures(places: DailyPlaces, surface: Surface, settings: Sequence[LawnSetting] | None = None) -> SoilRun:
    """Crown and soil temperatures under a lawn for every hour of the given days.

    Parameters
    ----------
    places : DailyPlaces
        The weather. Begin a month or more before the freeze: the ground remembers.
    surface : Surface
        The fitted numbers, or others to see what they do.
    settings : sequence of LawnSetting
        One for each place; None: all as the model was fitted, moist loam under an open lawn.

    Returns
    -------
    SoilRun
        Hourly temperatures. [degC]

    Raises
    ------
    NotEnoughData
        Holes in the air's temperatures, or shapes that do not fit.

    Source
    ------
    rules/facts/soil.py; the surface as a driving temperature: common practice in engineering ("sol-air").

    Checked
    -------
    tests/bench/soil_winters.py against measured winters; tests/rules/test_lawn_soil.py for directions.
    """
    count = places.air_min_c.shape[1]
    if settings is not None and len(settings) != count:
        raise NotEnoughData("each place needs its setting: give as many settings as places")
    snow_m = snow_depths_m(places, None if settings is None else side_by_side(settings).snow_m)
    blocks = [slice(first, min(first + _BLOCK, count)) for first in range(0, count, _BLOCK)]
    runs = [
        _run_block(
            places.only(block),
            snow_m[:, block],
            surface,
            None if settings is None else side_by_side(settings[block]),
        )
        for block in blocks
    ]
    crown, thatch, one, two, four = (np.concatenate(parts, axis=1) for parts in zip(*runs, strict=True))
    return SoilRun(crown_c=crown, thatch_c=thatch, soil_1in_c=one, soil_2in_c=two, soil_4in_c=four, snow_depth_m=snow_m)


def _run_block(places: DailyPlaces, snow_m: Array, surface: Surface, settings: Settings | None) -> tuple[Array, ...]:
    """Crown, thatch, 1, 2 and 4 in of as many places as fit the processor's cache."""
    if settings is not None:
        surface = _in_settings(surface, settings)
    column = lawn_column(places.air_min_c.shape[1], MOIST_LOAM if settings is None else settings.soil)
    depth_m = column.depth_m[:, 0] - facts.THATCH_M.value
    wanted_m = [inches * CM_PER_INCH / 100 for inches in (1, 2, 2 * 2)]
    below = [int(np.searchsorted(depth_m, each)) for each in wanted_m]
    nodes = tuple(sorted({0, *below, *(each - 1 for each in below)}))
    drive = hourly_drive(places, snow_m, surface)
    kept = run_column(column, drive, _start_c(places, column), nodes)
    soil = [_at_depth(kept, depth_m[list(nodes)], each) for each in wanted_m]
    return (_crown_c(kept[:, 0], drive, surface), kept[:, 0], *soil)


def _in_settings(surface: Surface, settings: Settings) -> Surface:
    """The fitted surface under other cover and other sun, [place]."""
    return replace(
        surface,
        cover_m2k_w=surface.cover_m2k_w * settings.cover_times,
        sun_dc_per_w_m2=surface.sun_dc_per_w_m2 * settings.sun_times,
    )


def _crown_c(thatch_c: Array, drive: Drive, surface: Surface) -> Array:
    """Crowns stand partly in the canopy, which lies between the thatch and what draws the surface."""
    inside = facts.THATCH_M.value / 2 / facts.THATCH_W_MK.value
    cover = surface.cover_m2k_w + inside
    outward = facts.CROWN_EXPOSED_FRACTION.value * cover / (1 / drive.top_w_m2k + inside)
    return np.asarray(thatch_c + outward * (drive.top_c - thatch_c))


_BLOCK = 1024


def lawn_column(places: int, soil: SoilProperties = MOIST_LOAM) -> Column:
    """Thatch with the crowns in it over soil, finest at the top, to about two metres. Facts: `rules/facts/soil.py`."""
    down = np.arange(_SOIL_CELLS, dtype=np.float64)[:, None]
    cells_m = facts.SOIL_TOP_CELL_M.value * facts.SOIL_CELL_GROWTH.value**down
    latent = facts.WATER_DENSITY_KG_M3.value * facts.LATENT_J_KG.value

    def layered(thatch: float, under: float | Array) -> Array:
        """`under` is one for all, [place], or [cell, 1]."""
        return np.concatenate([np.full((1, places), thatch), np.broadcast_to(under, (_SOIL_CELLS, places))])

    return Column(
        thickness_m=layered(facts.THATCH_M.value, cells_m),
        k_unfrozen_w_mk=layered(facts.THATCH_W_MK.value, soil.k_unfrozen_w_mk),
        k_frozen_w_mk=layered(facts.THATCH_W_MK.value, soil.k_frozen_w_mk),
        heat_capacity_j_m3k=layered(facts.THATCH_J_M3K.value, soil.heat_capacity_j_m3k),
        latent_j_m3=latent * layered(facts.THATCH_WATER_FRACTION.value, soil.water_fraction),
    )


def snow_depths_m(places: DailyPlaces, stated_m: Array | None = None) -> Array:
    """Depth of snow on the grass each day: stated, else measured where it was, else kept as a store of water. [m]

    `stated_m` [place] lies on days with a mean at or below 0 degC and on no others; NaN: nothing was stated. Rain of a
    cold day counts as snow; it melts by the degrees of warm days. Source: rules/facts/soil.py.
    """
    mean_c = (places.air_min_c + places.air_max_c) / 2
    is_snow = mean_c <= facts.SNOW_BELOW_MEAN_C.value
    rain_mm = np.nan_to_num(places.rain_mm)
    melt_mm = facts.MELT_MM_PER_DEGREE_DAY.value * np.maximum(mean_c, 0)
    store_mm = np.zeros_like(mean_c)
    held = np.zeros(mean_c.shape[1])
    for day in range(len(mean_c)):
        held = np.maximum(held + np.where(is_snow[day], rain_mm[day], 0.0) - melt_mm[day], 0.0)
        store_mm[day] = held
    guessed_m = store_mm / facts.SNOW_KG_M3.value
    depth_m = np.where(np.isfinite(places.snow_depth_m), places.snow_depth_m, guessed_m)
    if stated_m is None:
        return depth_m
    return np.where(np.isfinite(stated_m), np.where(mean_c <= 0, stated_m, 0.0), depth_m)


def hourly_drive(places: DailyPlaces, snow_m: Array, surface: Surface) -> Drive:
    """What acts on the surface each hour: the air's daily swing, sun and sky, through cover and snow.

    `snow_m` [day, place] is the depth of snow [m], 0 or more. Source: FAO-56 for sun and sky, rules/facts/soil.py.
    """
    above = above_the_air_mj_m2(places.days, places.latitude)
    swing = np.maximum(places.air_max_c - places.air_min_c, 0)
    guessed = np.minimum(facts.HARGREAVES.value * np.sqrt(swing), facts.CLEAR_SKY_FRACTION.value) * above
    sun_mj = np.where(np.isfinite(places.solar_mj_m2), places.solar_mj_m2, guessed)
    sky_mj = _to_the_sky_mj_m2(places, sun_mj, facts.CLEAR_SKY_FRACTION.value * above)
    to_w = JOULES_PER_MJ / (HOURS_PER_DAY * SECONDS_PER_HOUR)
    has_snow = np.repeat(snow_m > 0, HOURS_PER_DAY, axis=0)
    sun_w = to_w * _through_the_day(sun_mj, day_length_hours(places.days, places.latitude))
    sun_w = np.where(has_snow, facts.SNOW_SUN_KEPT_FRACTION.value * sun_w, sun_w)
    top_c = (
        hourly_air_c(places)
        + surface.sun_dc_per_w_m2 * sun_w
        - surface.sky_dc_per_w_m2 * to_w * np.repeat(sky_mj, HOURS_PER_DAY, axis=0)
    )
    top_c = np.where(has_snow, np.minimum(top_c, 0.0), top_c)
    resistance = 1 / facts.AIR_W_M2K.value + surface.cover_m2k_w + snow_m / facts.SNOW_W_MK.value
    return Drive(
        top_c=top_c,
        top_w_m2k=np.repeat(1 / resistance, HOURS_PER_DAY, axis=0),
        under_snow_w_m2k=np.where(has_snow, 1 / surface.cover_m2k_w, 0.0),
        step_seconds=SECONDS_PER_HOUR,
    )


def _to_the_sky_mj_m2(places: DailyPlaces, sun_mj: Array, clear_mj: Array) -> Array:
    """Heat the ground loses to the sky in a day, FAO-56 eq. 39, with the night's lowest taken for the dew point."""
    kelvin = [(each + KELVIN_AT_0_C) ** (2 * 2) for each in (places.air_min_c, places.air_max_c)]
    vapour_kpa = facts.VAPOUR_KPA.value * np.exp(
        facts.VAPOUR_SLOPE.value * places.air_min_c / (places.air_min_c + facts.VAPOUR_OFFSET_C.value)
    )
    clearness = np.clip(sun_mj / clear_mj, facts.LEAST_CLEARNESS.value, 1.0)
    dry = facts.SKY_DRY.value - facts.SKY_PER_ROOT_KPA.value * np.sqrt(vapour_kpa)
    cloud = facts.SKY_CLOUD_SLOPE.value * clearness - facts.SKY_CLOUD_OFFSET.value
    return np.asarray(facts.STEFAN_BOLTZMANN_MJ_DAY.value * (kelvin[0] + kelvin[1]) / 2 * dry * cloud)


def _through_the_day(of_day: Array, length_hours: Array) -> Array:
    """A day's sum spread as a half sine from sunrise to sunset, as the mean of each hour in units of the day's mean."""
    edges = np.arange(HOURS_PER_DAY + 1) - HOURS_PER_DAY / 2  # hours from noon
    half = length_hours / 2
    angle = np.clip(edges[None, :, None], -half[:, None, :], half[:, None, :]) / half[:, None, :] * np.pi / 2
    share = np.diff(np.sin(angle), axis=1) / 2  # of the day's energy in each hour
    return np.asarray((share * HOURS_PER_DAY * of_day[:, None, :]).reshape(-1, of_day.shape[1]))


def hourly_air_c(places: DailyPlaces) -> Array:
    """The air's temperature through each hour: lowest at sunrise, highest in the afternoon, cosines between.

    [hour, place], degC. Source: common practice; the hour of the highest is in rules/facts/soil.py.
    """
    sunrise = HOURS_PER_DAY / 2 - day_length_hours(places.days, places.latitude) / 2
    warmest = facts.WARMEST_HOUR.value
    hours = np.arange(HOURS_PER_DAY) + 0.5
    at = hours[None, :, None]
    low, high = places.air_min_c[:, None, :], places.air_max_c[:, None, :]
    last_high = np.concatenate((places.air_max_c[:1], places.air_max_c[:-1]))[:, None, :]
    next_low = np.concatenate((places.air_min_c[1:], places.air_min_c[-1:]))[:, None, :]
    rise = sunrise[:, None, :]
    before = _between(last_high, low, (at + HOURS_PER_DAY - warmest) / (rise + HOURS_PER_DAY - warmest))
    climbing = _between(low, high, (at - rise) / (warmest - rise))
    after = _between(high, next_low, (at - warmest) / (rise + HOURS_PER_DAY - warmest))
    air = np.where(at < rise, before, np.where(at < warmest, climbing, after))
    return np.asarray(air.reshape(-1, places.air_min_c.shape[1]))


def _between(first: Array, second: Array, part: Array) -> Array:
    return np.asarray(first + (second - first) * (1 - np.cos(np.pi * np.clip(part, 0.0, 1.0))) / 2)


def _start_c(places: DailyPlaces, column: Column) -> Array:
    """The ground on the first day: the year's wave going down, as a place of its latitude and height has it."""
    north = places.latitude - facts.WAVE_LATITUDE.value
    mean_c = (
        facts.MEAN_AIR_AT_26N_C.value
        - facts.MEAN_AIR_PER_DEGREE_DC.value * north
        - facts.MEAN_AIR_PER_KM_DC.value * places.height_m / METRES_PER_KM
        + facts.DEEP_OVER_AIR_DC.value
    )
    swing_dc = facts.WAVE_AT_26N_DC.value + facts.WAVE_PER_DEGREE_DC.value * north
    down = column.depth_m / facts.WAVE_DAMPING_M.value
    phase = 2 * np.pi * (day_of_year(places.days[0]) - facts.WAVE_PEAK_DAY.value) / facts.DAYS_A_YEAR.value - down
    return np.asarray(mean_c + swing_dc * np.exp(-down) * np.cos(phase))


def _at_depth(kept: Array, depth_m: Array, wanted_m: float) -> Array:
    """Between the nodes above and below a depth, in a straight line."""
    below = int(np.searchsorted(depth_m, wanted_m))
    part = (wanted_m - depth_m[below - 1]) / (depth_m[below] - depth_m[below - 1])
    return np.asarray(kept[:, below - 1] + part * (kept[:, below] - kept[:, below - 1]))
