"""How cold one spot got, from measured weather: the `SiteCold` that `told_site_cold` makes from what people say."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from rules.errors import NotEnoughData
from rules.facts import cold as facts
from rules.facts import soil as soil_facts
from rules.lawn_setting import AS_FITTED, LawnSetting
from rules.lawn_soil import DailyPlaces, SoilRun, Surface, lawn_temperatures
from rules.site_cold import (
    Basis,
    Layer,
    SiteCold,
    SpotTraits,
    crown_sd_under_snow_dc,
    hardened_fraction_on,
    spot_shift_dc,
)
from rules.soil_blend import Soil2in, in_settings, soil_2in
from rules.units import CM_PER_INCH, HOURS_PER_DAY

NORMAL_90 = soil_facts.NORMAL_90.value


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Ground:
    """The weather of some places, the hours of the ground under it, and the daily means 2 in down with their width."""

    places: DailyPlaces
    run: SoilRun
    soil: Soil2in


def ground_under(places: DailyPlaces, settings: Sequence[LawnSetting] | None = None) -> Ground:
    """Work out the ground under lawns from their weather. [degC] Raises and sources as `lawn_temperatures`.

    `settings`: one for each place. A spot that is shaded or wet here must not be so once more in its `SpotTraits`.
    """
    run = lawn_temperatures(places, Surface())
    soil = soil_2in(places, run)
    if settings is None or all(each == AS_FITTED for each in settings):
        return Ground(places=places, run=run, soil=soil)
    there = lawn_temperatures(places, Surface(), settings)
    return Ground(places=places, run=there, soil=in_settings(soil, run, there, settings))


def modelled_site_cold(
    ground: Ground,
    place: int,
    freeze_first_on: date,
    freeze_last_on: date,
    traits: SpotTraits,
) -> SiteCold:
    """Crown and soil minima of one spot in one freeze, from the model's hours.

    Parameters
    ----------
    ground : Ground
        The weather and what the model made of it.
    place : int
        Which place of them.
    freeze_first_on, freeze_last_on : date
        The days of the freeze, both counted.
    traits : SpotTraits
        What shifts this spot.

    Returns
    -------
    SiteCold
        Basis MODELLED. [degC, in, h]

    Raises
    ------
    NotEnoughData
        The weather does not hold the days of the freeze.

    Source
    ------
    rules/lawn_soil.py. Shifts of a spot, spread of the crown and hardening: expert judgement, rules/facts/cold.py.

    Checked
    -------
    tests/rules/test_modelled_cold.py: published outcomes.
    """
    places, run, soil = ground.places, ground.run, ground.soil
    days = _days_of(places, place, freeze_first_on, freeze_last_on)
    hours = slice(days.start * HOURS_PER_DAY, days.stop * HOURS_PER_DAY)
    crown = run.crown_c[hours, place]
    shift = spot_shift_dc(traits)
    coldest = days.start + int(places.air_min_c[days, place].argmin())
    snow_in = float(run.snow_depth_m[coldest, place]) * 100 / CM_PER_INCH
    crown_c, crown_sd = float(crown.min()) + shift, crown_sd_under_snow_dc(snow_in)
    of_mean_dc = float((soil.high_c - soil.low_c)[days, place].max()) / 2 / NORMAL_90
    soil_sd = float(np.hypot(of_mean_dc, soil_facts.LOWEST_HOUR_SD_DC.value))
    return SiteCold(
        air_min_c=float(places.air_min_c[days, place].min()),
        crown=Layer(depth_in=0.0, share_fraction=1.0, min_c=crown_c, sd_dc=crown_sd),
        rhizomes=_rhizomes(run, hours, place, crown_c, crown_sd, soil_sd),
        soil_2in_min_c=float(run.soil_2in_c[hours, place].min()),
        soil_2in_sd_dc=soil_sd,
        hours_near_min=float(((crown <= crown.min() + 1) & (crown < 0)).sum()),
        hardened_fraction=hardened_by_weather_fraction(places, place, freeze_first_on),
        snow_in=snow_in,
        basis=Basis.MODELLED,
        is_beyond_measured=bool(soil.is_beyond_measured[days, place].any()),
    )


def hardened_by_weather_fraction(places: DailyPlaces, place: int, freeze_first_on: date) -> float:
    """How far grass is hardened as a freeze begins, 0 to 1: by the time of year, less what warm days before undid.

    `place` is the index of the place. Source: expert judgement (rules/facts/cold.py); St. Augustine and centipede lose
    hardening within days of warmth (Reeves and McBee 1972, Johnston and Dickens 1976).
    """
    first = _index_of(places, place, freeze_first_on)
    before = places.air_max_c[max(0, first - int(facts.SOFTENING_WINDOW_DAYS.value)) : first, place]
    warm = float((before >= facts.SOFTENING_AIR_MAX_C.value).sum())
    undone = facts.SOFTENED_MOST_FRACTION.value * min(1.0, warm / facts.SOFTENING_FULL_DAYS.value)
    return hardened_fraction_on(freeze_first_on) * (1 - undone)


def _rhizomes(
    run: SoilRun, hours: slice, place: int, crown_c: float, crown_sd: float, soil_sd: float
) -> tuple[Layer, ...]:
    """Rhizomes at 0.5, 1 and 2 in with the lowest the soil had there; doubt fades from the crown's to the soil's."""
    middle = facts.RHIZOME_MIDDLE_FRACTION.value
    thatch, inch = float(run.thatch_c[hours, place].min()), float(run.soil_1in_c[hours, place].min())
    rows = (
        (facts.RHIZOME_SHALLOW_IN.value, (1 - middle) / 2, (thatch + inch) / 2, facts.PULL_AT_SHALLOW_FRACTION.value),
        (facts.RHIZOME_MIDDLE_IN.value, middle, inch, facts.PULL_AT_MIDDLE_FRACTION.value),
        (facts.RHIZOME_DEEP_IN.value, (1 - middle) / 2, float(run.soil_2in_c[hours, place].min()), 0.0),
    )
    return tuple(
        Layer(depth_in=depth, share_fraction=share, min_c=low, sd_dc=soil_sd + pull * (crown_sd - soil_sd))
        for depth, share, low, pull in rows
    )


def _days_of(places: DailyPlaces, place: int, first_on: date, last_on: date) -> slice:
    first, last = _index_of(places, place, first_on), _index_of(places, place, last_on)
    if last < first:
        raise NotEnoughData(f"the freeze ends on {last_on} before it begins on {first_on}")
    return slice(first, last + 1)


def _index_of(places: DailyPlaces, place: int, on: date) -> int:
    found = np.flatnonzero(places.days[:, place] == np.datetime64(on, "D"))
    if len(found) == 0:
        first = places.days[0, place].astype(object)
        last = first + timedelta(days=len(places.days) - 1)
        raise NotEnoughData(f"the weather runs from {first} to {last} and does not hold {on}")
    return int(found[0])
