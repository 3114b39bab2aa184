"""From weather to survival: published freezes, replayed with weather made to their printed figures.

Florida 1989 sets how far crowns stand out of the thatch (calibration); the others set nothing and are checks. The days
around each freeze are invented: the sources print the lowest air temperature, its length, and snow.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import numpy as np
import pytest

from rules.errors import NotEnoughData
from rules.grasses import GrassCode, tolerance
from rules.lawn_soil import DailyPlaces
from rules.modelled_cold import ground_under, hardened_by_weather_fraction, modelled_site_cold
from rules.site_cold import Basis, SiteCold, SpotTraits
from rules.survival import AliveOdds, survival
from rules.units import f_to_c

DAYS_BEFORE = 45
NOTHING = SpotTraits()


@dataclass(frozen=True, slots=True, kw_only=True)
class Freeze:
    """A published freeze, and the mean of the days before it as such a place has it."""

    air_c: float
    days: int
    latitude: float
    on: date
    before_c: float
    snow_in: float = 0.0


FLORIDA_1989 = Freeze(air_c=-7.9, days=3, latitude=29.5, on=date(1989, 12, 24), before_c=14.0)
COLLEGE_STATION_1968 = Freeze(air_c=-8.0, days=2, latitude=30.6, on=date(1968, 1, 8), before_c=10.0)
NORTH_CAROLINA_2018 = Freeze(air_c=f_to_c(7), days=6, latitude=35.5, on=date(2018, 1, 6), before_c=5.0)
CENTRAL_TEXAS_2024 = Freeze(air_c=f_to_c(17), days=3, latitude=30.6, on=date(2024, 1, 16), before_c=11.0)
ARKANSAS_2010 = Freeze(air_c=f_to_c(9), days=5, latitude=34.7, on=date(2010, 1, 9), before_c=4.0)
KANSAS_2021 = Freeze(air_c=f_to_c(-18), days=10, latitude=38.9, on=date(2021, 2, 15), before_c=0.0, snow_in=4)


def weather(freeze: Freeze) -> DailyPlaces:
    """Mild days at the place's mean, then the freeze with its worst night in the middle."""
    count = DAYS_BEFORE + freeze.days + 5
    low, high = np.full(count, freeze.before_c - 5.5), np.full(count, freeze.before_c + 5.5)
    cold = slice(DAYS_BEFORE, DAYS_BEFORE + freeze.days)
    worst = DAYS_BEFORE + freeze.days // 2
    low[cold], high[cold] = freeze.air_c + 2.5, freeze.air_c + 13
    low[worst] = freeze.air_c
    snow = np.zeros(count)
    snow[cold] = freeze.snow_in * 0.0254
    first = np.datetime64(freeze.on, "D") - worst
    return DailyPlaces(
        days=(first + np.arange(count))[:, None],
        air_min_c=low[:, None],
        air_max_c=high[:, None],
        rain_mm=np.zeros((count, 1)),
        latitude=np.array([freeze.latitude]),
        height_m=np.array([100.0]),
        solar_mj_m2=np.full((count, 1), np.nan),
        snow_depth_m=snow[:, None],
    )


def felt(freeze: Freeze, traits: SpotTraits = NOTHING) -> SiteCold:
    ground = ground_under(weather(freeze))
    days = ground.places.days[:, 0]
    first, last = (days[at].astype(object) for at in (DAYS_BEFORE, DAYS_BEFORE + freeze.days - 1))
    return modelled_site_cold(ground, 0, first, last, traits)


def odds(freeze: Freeze, code: GrassCode, cultivar: str | None = None) -> AliveOdds:
    return survival(felt(freeze), code, tolerance(code, cultivar), NOTHING)


def test_calibration_half_of_st_augustine_survives_florida_1989() -> None:
    """CALIBRATION. Busey 2003, HortScience 38:1439: 50 % survival at an air minimum of -7.9 degC."""
    assert odds(FLORIDA_1989, GrassCode.ST_AUGUSTINE).mean_fraction == pytest.approx(0.5, abs=0.05)


def test_college_station_1968_no_winterkill_of_tifgreen() -> None:
    """Reeves and McBee 1972, Agron. J. 64:447: bermuda without kill at -8 degC."""
    assert odds(COLLEGE_STATION_1968, GrassCode.BERMUDA, "tifgreen").mean_fraction > 0.9


def test_north_carolina_2018_st_augustine_lost_and_bermuda_hurt() -> None:
    """NC State, May 2018: single digits; St. Augustine lost, bermuda with some injury."""
    assert odds(NORTH_CAROLINA_2018, GrassCode.ST_AUGUSTINE).mean_fraction < 0.4
    assert odds(NORTH_CAROLINA_2018, GrassCode.BERMUDA).mean_fraction > 0.5


def test_central_texas_2024_st_augustine_slow_or_dead() -> None:
    """AgriLife Williamson County, April 2024: slow or dead St. Augustine after the teens of January."""
    assert 0.2 < odds(CENTRAL_TEXAS_2024, GrassCode.ST_AUGUSTINE).mean_fraction < 0.8


def test_arkansas_2010_many_st_augustine_die_below_10_f() -> None:
    """Univ. of Arkansas, winterkill 2010: below 10 F."""
    assert odds(ARKANSAS_2010, GrassCode.ST_AUGUSTINE).mean_fraction < 0.5


def test_kansas_2021_latitude_36_returns_under_snow() -> None:
    """Kansas State: -18 F with snow; Latitude 36 came back, the lowest 2-in soil was 29 F."""
    kansas = felt(KANSAS_2021)

    assert odds(KANSAS_2021, GrassCode.BERMUDA, "latitude_36").mean_fraction > 0.5
    assert abs(f_to_c(29) - kansas.soil_2in_min_c) <= 2 * kansas.soil_2in_sd_dc


def test_what_comes_out_is_in_order() -> None:
    """Crown colder than rhizomes, rhizomes colder the nearer the top, shares add up, and it says it is modelled."""
    cold = felt(ARKANSAS_2010)
    lows = [cold.crown.min_c, *(layer.min_c for layer in cold.rhizomes)]

    assert lows == sorted(lows)
    assert sum(layer.share_fraction for layer in cold.rhizomes) == pytest.approx(1)
    assert cold.basis is Basis.MODELLED
    assert 1 <= cold.hours_near_min <= 48


def test_a_harder_spot_is_colder_and_snow_is_told() -> None:
    """North sides and wind shift the crown; the depth of snow on the coldest day is kept."""
    assert felt(ARKANSAS_2010, SpotTraits(is_north_or_shaded=True)).crown.min_c < felt(ARKANSAS_2010).crown.min_c
    assert felt(KANSAS_2021).snow_in == pytest.approx(4, abs=0.1)


def test_warm_days_before_a_freeze_undo_hardening() -> None:
    """Ten days of 20 degC and more leave grass softer than ten cool ones."""
    cool, warm = weather(COLLEGE_STATION_1968), weather(COLLEGE_STATION_1968)
    warm.air_max_c[DAYS_BEFORE - 10 : DAYS_BEFORE] = 24.0
    first = cool.days[DAYS_BEFORE, 0].astype(object)

    assert hardened_by_weather_fraction(warm, 0, first) < 0.5 * hardened_by_weather_fraction(cool, 0, first)


def test_days_that_are_not_there_are_named() -> None:
    """A freeze outside the weather's days is refused with what there is."""
    ground = ground_under(weather(FLORIDA_1989))
    with pytest.raises(NotEnoughData, match="1989"):
        modelled_site_cold(ground, 0, date(1990, 5, 1), date(1990, 5, 2), NOTHING)
