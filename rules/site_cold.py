"""How cold one spot of a lawn got: the seam between weather and survival.

`SiteCold` is what `survival.py` needs, whoever worked it out. Today `told_site_cold` makes it from what an owner or
operator says about the cold (lowest air temperature, days with frost, snow). A physical model fed by measured weather
makes the same object with narrower widths; nothing downstream changes.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from rules.errors import require_range
from rules.facts import cold as facts
from rules.units import CM_PER_INCH


class Basis(StrEnum):
    """Where a temperature comes from, so that it can be told with the right modesty."""

    TOLD = "told"  # worked out roughly from what a person said
    MODELLED = "modelled"  # worked out from measured weather


@dataclass(frozen=True, slots=True, kw_only=True)
class Layer:
    """The lowest temperature growing points at one depth felt. [in below the soil surface; degC; fraction of them]"""

    depth_in: float
    share_fraction: float
    min_c: float
    sd_dc: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteCold:
    """The cold at one spot: crown at the surface, rhizomes by depth, soil at 2 in, and how long it lasted.

    `sd_dc` values are standard deviations of what we believe, taken as one shared error: if the crown was colder than
    said, so were the layers below.
    """

    air_min_c: float
    crown: Layer
    rhizomes: tuple[Layer, ...]
    soil_2in_min_c: float
    soil_2in_sd_dc: float
    hours_near_min: float
    hardened_fraction: float
    snow_in: float
    basis: Basis
    is_beyond_measured: bool = False  # colder 2 in down than was ever measured under grass in the humid South


@dataclass(frozen=True, slots=True, kw_only=True)
class ColdTold:
    """What somebody says about a freeze. None means they do not know, which widens the result."""

    air_min_c: float | None
    air_sd_dc: float
    days_below_freezing: float | None
    snow_in: float | None
    coldest_on: date


@dataclass(frozen=True, slots=True, kw_only=True)
class SpotTraits:
    """What makes one spot colder or riskier than the lawn around it."""

    is_north_or_shaded: bool = False
    is_windy: bool = False
    is_wet: bool = False
    is_new: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnReading:
    """The lowest air as an owner read it, with its standard deviation. [degC]"""

    air_c: float
    sd_dc: float


@dataclass(frozen=True, slots=True, kw_only=True)
class AirHere:
    """What the lowest air at the lawn was, if more is known than the station's reading.

    shift_dc : how much colder (negative) or warmer it was at the lawn [degC]
    sd_dc : standard deviation of that [degC]
    """

    shift_dc: float
    sd_dc: float


def air_here(station_c: float, station_sd_dc: float, own: OwnReading | None) -> AirHere:
    """A station's reading and an owner's own, each weighed by its doubt.

    Parameters
    ----------
    station_c : float
        Lowest air at the station. [degC]
    station_sd_dc : float
        Its standard deviation as a reading for this lawn. [degC, more than 0]
    own : OwnReading or None
        What the owner read, if they did.

    Returns
    -------
    AirHere
        The shift against the station's reading. [degC]

    Source
    ------
    Weights by inverse variance: common practice.

    Checked
    -------
    tests/rules/test_nearby_cold.py, by hand.
    """
    if own is None:
        return AirHere(shift_dc=0.0, sd_dc=station_sd_dc)
    own_sd_dc = max(own.sd_dc, facts.OWN_THERMOMETER_SD_DC.value)
    weight = station_sd_dc**2 / (station_sd_dc**2 + own_sd_dc**2)
    sd = station_sd_dc * own_sd_dc / math.hypot(station_sd_dc, own_sd_dc)
    apart = abs(own.air_c - station_c)
    if apart > 2 * math.hypot(station_sd_dc, own_sd_dc):  # one of the two is wrong, and nobody knows which
        sd = max(sd, apart / 2)
    return AirHere(shift_dc=weight * (own.air_c - station_c), sd_dc=sd)


def told_site_cold(told: ColdTold, latitude: float, traits: SpotTraits) -> SiteCold:
    """Rough crown and soil minima of one spot from what was said about the freeze.

    A steady picture, not physics: soil at 2 in falls toward the mean of the cold days through cover and snow, the
    crown follows the night's minimum through the same resistances, rhizomes lie between. Snow evens the day out: the
    deeper it lies, the nearer the crown follows the day's mean. Under snow that lies nothing is above freezing.

    Parameters
    ----------
    told : ColdTold
        Air minimum [degC, -50 to 10 or None], its spread [degC], days with frost [0 to 90 or None],
        snow on the grass [in, 0 to 60 or None], the coldest day.
    latitude : float
        [degrees north] Valid 18 to 45.
    traits : SpotTraits
        What shifts this spot.

    Returns
    -------
    SiteCold
        Basis TOLD.

    Raises
    ------
    OutOfRange
        A number outside the ranges above.

    Source
    ------
    rules/facts/cold.py: soil response from US Climate Reference Network winters; the crown's distance from the air is
    calibrated on Busey 2003 (Florida, December 1989), which is therefore no check of it.

    Checked
    -------
    tests/rules/test_site_cold.py: four other published outcomes.
    """
    require_range("latitude", latitude, 18.0, 45.0, "degrees north")
    air_c, air_sd = _air(told)
    days = facts.DAYS_UNKNOWN.value if told.days_below_freezing is None else told.days_below_freezing
    require_range("days_below_freezing", days, 0.0, 90.0, "days")
    snow_in = told.snow_in or 0.0
    require_range("snow_in", snow_in, 0.0, 60.0, "in")

    snow_r = _snow_resistance(snow_in)
    soil_c = _soil_2in_c(air_c, days, snow_r, latitude)
    crown_c = _crown_c(air_c, soil_c, snow_in)
    if snow_in > 0:
        bare_c = _crown_c(air_c, _soil_2in_c(air_c, days, 0.0, latitude), 0.0)
        crown_c = min(crown_c, max(bare_c, 0.0))
    crown_c += spot_shift_dc(traits)
    crown_sd = _crown_sd_dc(_night_pull_of(snow_r), air_sd, snow_in, told.snow_in is None)
    return SiteCold(
        air_min_c=air_c,
        crown=Layer(depth_in=0.0, share_fraction=1.0, min_c=crown_c, sd_dc=crown_sd),
        rhizomes=_rhizome_layers(crown_c, crown_sd, soil_c),
        soil_2in_min_c=soil_c,
        soil_2in_sd_dc=facts.SOIL_2IN_SD_DC.value,
        hours_near_min=_hours_near_min(days),
        hardened_fraction=hardened_fraction_on(told.coldest_on),
        snow_in=snow_in,
        basis=Basis.TOLD,
    )


def hardened_fraction_on(day: date) -> float:
    """How far grass is hardened on a calendar day, 0 (not at all) to 1 (fully). Expert judgement, no weather needed."""
    month_day = (day.month, day.day)
    if month_day >= facts.MIDWINTER_FROM or month_day < facts.MIDWINTER_TO:
        return facts.HARDENED_MIDWINTER_FRACTION.value
    if month_day >= facts.SHOULDER_FROM or month_day < facts.SHOULDER_TO:
        return facts.HARDENED_SHOULDER_FRACTION.value
    return facts.HARDENED_EARLY_LATE_FRACTION.value


def _air(told: ColdTold) -> tuple[float, float]:
    if told.air_min_c is None:
        return facts.AIR_MIN_UNKNOWN_C.value, facts.AIR_MIN_UNKNOWN_SD_DC.value
    return require_range("air_min_c", told.air_min_c, -50.0, 10.0, "degC"), told.air_sd_dc


def _soil_2in_c(air_c: float, days: float, snow_r: float, latitude: float) -> float:
    before_c = max(
        facts.WINTER_SOIL_FLOOR_C.value,
        facts.WINTER_SOIL_AT_31N_C.value
        - facts.WINTER_SOIL_PER_DEGREE_DC.value * (latitude - facts.WINTER_SOIL_LATITUDE.value),
    )
    soil_r = facts.SOIL_RESISTANCE_SLOW_M2K_W.value
    pull = soil_r / (soil_r + facts.COVER_RESISTANCE_M2K_W.value + snow_r)
    toward_c = before_c + pull * (air_c + facts.HALF_DAY_RANGE_DC.value - before_c)
    reached = 1 - math.exp(-days / facts.SOIL_RESPONSE_DAYS.value)
    soil_c = min(before_c, before_c + reached * (toward_c - before_c))
    return soil_c if soil_c >= 0 else soil_c * facts.FREEZING_CURTAIN_FRACTION.value


def _snow_resistance(snow_in: float) -> float:
    """[m2 K/W]"""
    return snow_in * CM_PER_INCH / 100 / facts.SNOW_CONDUCTIVITY_W_MK.value


def _evened_out_fraction(snow_in: float) -> float:
    """How far snow lets the crown follow the day's mean instead of the night's minimum: 0 bare, toward 1 when deep."""
    return 1 - math.exp(-snow_in / facts.SNOW_EVENS_OUT_IN.value)


def _crown_c(air_c: float, soil_c: float, snow_in: float) -> float:
    felt_c = air_c + _evened_out_fraction(snow_in) * facts.HALF_DAY_RANGE_DC.value
    return min(soil_c, soil_c + _night_pull_of(_snow_resistance(snow_in)) * (felt_c - soil_c))


def night_pull_fraction(snow_in: float) -> float:
    """The share of a cold night's air that reaches the crown through cover and snow. [in, 0 or more] -> [0..1]

    Source: rules/facts/cold.py, calibrated on Busey 2003.
    """
    return _night_pull_of(_snow_resistance(snow_in))


def _night_pull_of(snow_r: float) -> float:
    soil_r = facts.SOIL_RESISTANCE_NIGHT_M2K_W.value
    return soil_r / (soil_r + facts.COVER_RESISTANCE_M2K_W.value + snow_r)


def spot_shift_dc(traits: SpotTraits) -> float:
    """How much colder a spot's crowns get than the lawn around it. [degC, 0 or less] Source: rules/facts/cold.py."""
    shifts = (
        (traits.is_north_or_shaded, facts.NORTH_OR_SHADE_DC),
        (traits.is_windy, facts.WINDY_OPEN_DC),
        (traits.is_wet, facts.WET_LOW_DC),
        (traits.is_new, facts.NEW_TURF_DC),
    )
    return sum(fact.value for applies, fact in shifts if applies)


def crown_sd_under_snow_dc(snow_in: float) -> float:
    """Spread of a crown's temperature where the air is known: wide on bare ground, less under snow. [in] -> [degC]

    `snow_in` 0 or more. Source: expert judgement, rules/facts/cold.py; nobody has measured crowns.
    """
    bare, snowed = facts.CROWN_SD_DC.value, facts.CROWN_SD_UNDER_SNOW_DC.value
    return bare + _evened_out_fraction(snow_in) * (snowed - bare)


def _crown_sd_dc(pull: float, air_sd_dc: float, snow_in: float, snow_unknown: bool) -> float:
    unknown = facts.SNOW_UNKNOWN_EXTRA_SD_DC.value if snow_unknown else 0.0
    return math.hypot(crown_sd_under_snow_dc(snow_in), pull * air_sd_dc, unknown)


def _rhizome_layers(crown_c: float, crown_sd: float, soil_c: float) -> tuple[Layer, ...]:
    middle = facts.RHIZOME_MIDDLE_FRACTION.value
    outer = (1 - middle) / 2
    rows = (
        (facts.RHIZOME_SHALLOW_IN.value, outer, facts.PULL_AT_SHALLOW_FRACTION.value),
        (facts.RHIZOME_MIDDLE_IN.value, middle, facts.PULL_AT_MIDDLE_FRACTION.value),
        (facts.RHIZOME_DEEP_IN.value, outer, 0.0),
    )
    soil_sd = facts.SOIL_2IN_SD_DC.value
    return tuple(
        Layer(
            depth_in=depth,
            share_fraction=share,
            min_c=soil_c + pull * (crown_c - soil_c),
            sd_dc=soil_sd + pull * (crown_sd - soil_sd),
        )
        for depth, share, pull in rows
    )


def _hours_near_min(days: float) -> float:
    further = max(0.0, days - 1)
    hours = facts.HOURS_FIRST_NIGHT.value + further * facts.HOURS_EACH_FURTHER_DAY.value
    return min(hours, facts.HOURS_MOST.value)
