"""One freeze at one place, hour by hour: the air, the crowns with their doubt, the soil 2 in down, the snow by day."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from rules.errors import NotEnoughData
from rules.facts import soil as facts
from rules.lawn_soil import hourly_air_c
from rules.modelled_cold import Ground
from rules.site_cold import SpotTraits, crown_sd_under_snow_dc, spot_shift_dc
from rules.soil_column import Array
from rules.units import CM_PER_INCH, HOURS_PER_DAY

NORMAL_90 = facts.NORMAL_90.value


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FreezeTrace:
    """The hours of some days at one place. [hour], degC, but `days`, `snow_in` and `snow_is_measured`, which are [day].

    times : local standard time, each hour by its end
    air_c : through the hour, from the day's lowest and highest
    crown_c, crown_low_c, crown_high_c : crowns at the surface of this spot, with their 90 % band
    soil_2in_c, soil_low_c, soil_high_c : soil 2 in down, with the 90 % band of the day's mean
    snow_in : snow lying [in]; `snow_is_measured` where it was, else it was worked out from rain and cold
    """

    times: NDArray[np.datetime64]
    air_c: Array
    crown_c: Array
    crown_low_c: Array
    crown_high_c: Array
    soil_2in_c: Array
    soil_low_c: Array
    soil_high_c: Array
    days: NDArray[np.datetime64]
    snow_in: Array
    snow_is_measured: NDArray[np.bool_]


def freeze_trace(ground: Ground, place: int, first_on: date, last_on: date, traits: SpotTraits) -> FreezeTrace:
    """What air, crowns and soil of one spot went through, hour by hour.

    The same hours that `modelled_site_cold` takes its lowest from. Air between the day's lowest and highest is a
    smooth curve, so the time of day of a low is only about right.

    Parameters
    ----------
    ground : Ground
        The weather and what the model made of it.
    place : int
        Which place of them.
    first_on, last_on : date
        The days to show, both counted; `days_around` gives them for a freeze.
    traits : SpotTraits
        What shifts this spot.

    Returns
    -------
    FreezeTrace
        Hourly temperatures. [degC] Snow by day. [in]

    Raises
    ------
    NotEnoughData
        The weather does not hold these days.

    Source
    ------
    rules/lawn_soil.py, soil_blend.py. Shift of a spot and spread of the crown: expert judgement, rules/facts/cold.py.

    Checked
    -------
    tests/rules/test_trace.py: agrees with `modelled_site_cold`. Not checked for the hours: nobody measured crowns.
    """
    places, run, soil = ground.places, ground.run, ground.soil
    days = _days_between(places.days[:, place], first_on, last_on)
    hours = slice(days.start * HOURS_PER_DAY, days.stop * HOURS_PER_DAY)
    snow_in = run.snow_depth_m[days, place] * 100 / CM_PER_INCH
    crown_c = run.crown_c[hours, place] + spot_shift_dc(traits)
    crown_dc = _each_hour(NORMAL_90 * np.array([crown_sd_under_snow_dc(float(depth)) for depth in snow_in]))
    soil_c = run.soil_2in_c[hours, place]
    soil_dc = _each_hour(
        np.hypot((soil.high_c - soil.low_c)[days, place] / 2, NORMAL_90 * facts.LOWEST_HOUR_SD_DC.value)
    )
    return FreezeTrace(
        times=places.days[days.start, place].astype("datetime64[h]") + np.arange(1, len(crown_c) + 1),
        air_c=hourly_air_c(places.only(slice(place, place + 1)))[hours, 0],
        crown_c=crown_c,
        crown_low_c=crown_c - crown_dc,
        crown_high_c=crown_c + crown_dc,
        soil_2in_c=soil_c,
        soil_low_c=soil_c - soil_dc,
        soil_high_c=soil_c + soil_dc,
        days=places.days[days, place],
        snow_in=snow_in,
        snow_is_measured=np.isfinite(places.snow_depth_m[days, place]),
    )


def days_around(ground: Ground, place: int, freeze_first_on: date, freeze_last_on: date) -> tuple[date, date]:
    """First and last day to show of a freeze: it and two days on either side, as far as the record goes.

    `place` is the index of the place. Ours: long enough to see the ground before and after.
    """
    days = ground.places.days[:, place]
    margin = np.timedelta64(2, "D")
    first = max(np.datetime64(freeze_first_on, "D") - margin, days[0])
    last = min(np.datetime64(freeze_last_on, "D") + margin, days[-1])
    return first.item(), last.item()


def half_die_band_c(lt50_c: float, lt50_sd_dc: float) -> tuple[float, float]:
    """Where half of a grass's growing points die: the edges of the 90 % band, colder and warmer. [degC]

    `lt50_c` and `lt50_sd_dc` as `effective_lt50_c` of rules/survival.py gives them, the spread 0 or more. Source: the
    normal distribution.
    """
    return lt50_c - NORMAL_90 * lt50_sd_dc, lt50_c + NORMAL_90 * lt50_sd_dc


def _each_hour(by_day: Array) -> Array:
    return np.repeat(by_day, HOURS_PER_DAY)


def _days_between(days: NDArray[np.datetime64], first_on: date, last_on: date) -> slice:
    if last_on < first_on:
        raise NotEnoughData(f"the days to show end on {last_on} before they begin on {first_on}")
    if np.datetime64(first_on, "D") < days[0] or np.datetime64(last_on, "D") > days[-1]:
        raise NotEnoughData(
            f"the weather runs from {days[0]} to {days[-1]}, which does not hold {first_on} to {last_on}"
        )
    first = int(np.searchsorted(days, np.datetime64(first_on, "D")))
    return slice(first, first + (last_on - first_on).days + 1)
