"""What the cold did. One published outcome sets the model (Florida 1989); the others set nothing and are checks."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from math import log
from statistics import NormalDist

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rules.errors import NotEnoughData, OutOfRange
from rules.facts import cold as facts
from rules.grasses import GrassCode, tolerance
from rules.site_cold import ColdTold, SpotTraits, told_site_cold
from rules.survival import AliveOdds, effective_lt50_c, hold_shift_dc, injuries, survival, top_survival
from rules.units import f_to_c

NOTHING = SpotTraits()


@dataclass(frozen=True, slots=True, kw_only=True)
class Freeze:
    """A published freeze, as it would have been told."""

    air_c: float
    days: float
    snow_in: float
    latitude: float
    on: date


def odds(freeze: Freeze, code: GrassCode, cultivar: str | None = None, traits: SpotTraits = NOTHING) -> AliveOdds:
    told = ColdTold(
        air_min_c=freeze.air_c,
        air_sd_dc=1.0,
        days_below_freezing=freeze.days,
        snow_in=freeze.snow_in,
        coldest_on=freeze.on,
    )
    return survival(told_site_cold(told, freeze.latitude, traits), code, tolerance(code, cultivar), traits)


FLORIDA_1989 = Freeze(air_c=-7.9, days=3, snow_in=0, latitude=29.5, on=date(1989, 12, 24))
COLLEGE_STATION_1968 = Freeze(air_c=-8.0, days=2, snow_in=0, latitude=30.6, on=date(1968, 1, 8))
NORTH_CAROLINA_2018 = Freeze(air_c=f_to_c(7), days=6, snow_in=0, latitude=35.5, on=date(2018, 1, 6))
CENTRAL_TEXAS_2024 = Freeze(air_c=f_to_c(17), days=3, snow_in=0, latitude=30.6, on=date(2024, 1, 16))
ARKANSAS_2010 = Freeze(air_c=f_to_c(9), days=5, snow_in=0, latitude=34.7, on=date(2010, 1, 9))
KANSAS_2021 = Freeze(air_c=f_to_c(-18), days=10, snow_in=4, latitude=38.9, on=date(2021, 2, 15))


def test_calibration_half_of_st_augustine_survives_florida_1989() -> None:
    """CALIBRATION. Busey 2003, HortScience 38:1439: 50 % survival at an air minimum of -7.9 degC."""
    florida = odds(FLORIDA_1989, GrassCode.ST_AUGUSTINE)

    assert florida.quantile_fraction(0.5) == pytest.approx(0.5, abs=0.05)
    assert florida.mean_fraction == pytest.approx(0.5, abs=0.05)


def test_calibration_reproduces_the_field_limits_around_the_middle() -> None:
    """Busey 2003: field limit of St. Augustine between -6 and -9 degC air. Mostly alive at -5, mostly dead at -11."""
    mild = Freeze(air_c=-5.0, days=3, snow_in=0, latitude=29.5, on=FLORIDA_1989.on)
    hard = Freeze(air_c=-11.0, days=3, snow_in=0, latitude=29.5, on=FLORIDA_1989.on)

    assert odds(mild, GrassCode.ST_AUGUSTINE).quantile_fraction(0.5) > 0.75
    assert odds(hard, GrassCode.ST_AUGUSTINE).quantile_fraction(0.5) < 0.25


def test_college_station_1968_no_winterkill_of_tifgreen() -> None:
    """Reeves, McBee, Bloodworth 1970: -8 degC air and no winterkill of Tifgreen. Our odds: nearly all alive."""
    tifgreen = odds(COLLEGE_STATION_1968, GrassCode.BERMUDA, "tifgreen")

    assert tifgreen.quantile_fraction(0.1) > 0.8


def test_north_carolina_2018_st_augustine_lost_and_bermuda_hurt() -> None:
    """NC State 2018: single digits F; St. Augustine killed to 100 % in places, bermuda with moderate damage."""
    st_augustine = odds(NORTH_CAROLINA_2018, GrassCode.ST_AUGUSTINE)
    bermuda = odds(NORTH_CAROLINA_2018, GrassCode.BERMUDA)

    assert st_augustine.below_probability(0.1) > 0.8
    assert bermuda.below_probability(0.1) < 0.1
    assert 0.1 < 1 - bermuda.quantile_fraction(0.5) < 0.6


def test_central_texas_2024_st_augustine_slow_or_dead() -> None:
    """AgriLife Williamson County 2024: still green, 17 F, slow or dead in April. Neither outcome is excluded."""
    austin = odds(CENTRAL_TEXAS_2024, GrassCode.ST_AUGUSTINE)

    assert 0.15 < austin.below_probability(0.1) < 0.85
    assert austin.below_probability(0.9) > 0.6


def test_arkansas_2010_many_st_augustine_die_below_10_f() -> None:
    """Univ. of Arkansas 2010: below 10 F is the level at which many St. Augustine cultivars die."""
    assert odds(ARKANSAS_2010, GrassCode.ST_AUGUSTINE).below_probability(0.25) > 0.8


def test_kansas_2021_under_snow_latitude_36_returns() -> None:
    """Kansas State 2021: -18 F with snow; Latitude 36 and NorthBridge greened up well."""
    for cultivar in ("latitude_36", "northbridge"):
        assert odds(KANSAS_2021, GrassCode.BERMUDA, cultivar).below_probability(0.25) < 0.1


def test_the_published_ranking_of_species_holds() -> None:
    """Beard, Sifers, Griggs 1991: zoysia, bermuda, centipede, St. Augustine; Bush et al. 2000: carpetgrass."""
    hard = Freeze(air_c=f_to_c(9), days=4, snow_in=0, latitude=33.0, on=date(2027, 1, 16))
    order = ("zoysia", "bermuda", "centipede", "st_augustine", "carpetgrass")

    means = [odds(hard, GrassCode(name)).mean_fraction for name in order]

    assert means == sorted(means, reverse=True)


def test_total_loss_of_rhizome_grasses_stays_possible() -> None:
    """Saturation and drying remain ways to lose bermuda or zoysia whatever the cold did."""
    mild = Freeze(air_c=-6.0, days=1, snow_in=0, latitude=31.0, on=date(2027, 1, 16))

    for code in (GrassCode.BERMUDA, GrassCode.ZOYSIA):
        assert odds(mild, code).below_probability(0.1) >= facts.OTHER_LOSS_PROBABILITY.value
        wet = odds(mild, code, traits=SpotTraits(is_wet=True))
        assert wet.below_probability(0.1) >= facts.OTHER_LOSS_WET_PROBABILITY.value


def test_hold_time_follows_the_derived_points() -> None:
    """Anderson et al.: the LT50 moves about 1.0 degC at 2 h, 2.1 at 24 h, 3.0 at 72 h (derived)."""
    for hours, shift in ((2, 1.0), (24, 2.1), (72, 3.0)):
        assert hold_shift_dc(hours, GrassCode.BERMUDA) == pytest.approx(shift, abs=0.3)
    assert hold_shift_dc(0, GrassCode.BERMUDA) == 0
    assert hold_shift_dc(3, GrassCode.ZOYSIA) == 0


def test_missing_hardening_makes_it_worse() -> None:
    """The same cold hurts more in November than in January."""
    january = Freeze(air_c=-8.0, days=2, snow_in=0, latitude=32.0, on=date(2027, 1, 16))
    november = Freeze(air_c=-8.0, days=2, snow_in=0, latitude=32.0, on=date(2026, 11, 10))

    assert odds(november, GrassCode.BERMUDA).mean_fraction < odds(january, GrassCode.BERMUDA).mean_fraction


def test_agrees_with_a_fine_reference_integration() -> None:
    """One compartment: the distribution equals the closed form of a logistic of a normal, within the grid."""
    freeze = Freeze(air_c=-8.5, days=3, snow_in=0, latitude=31.0, on=date(2027, 1, 16))
    told = ColdTold(air_min_c=freeze.air_c, air_sd_dc=1.0, days_below_freezing=3, snow_in=0, coldest_on=freeze.on)
    site = told_site_cold(told, 31.0, NOTHING)
    lt50_c, sd = effective_lt50_c(site, GrassCode.ST_AUGUSTINE, tolerance(GrassCode.ST_AUGUSTINE))
    distance = NormalDist(site.crown.min_c - lt50_c, (site.crown.sd_dc**2 + sd**2) ** 0.5)
    other = facts.OTHER_LOSS_PROBABILITY.value

    ours = survival(site, GrassCode.ST_AUGUSTINE, tolerance(GrassCode.ST_AUGUSTINE), NOTHING)

    for fraction in (0.1, 0.25, 0.5, 0.75, 0.9):
        needed = facts.LOGISTIC_SCALE_DC.value * log(fraction / (1 - fraction))
        exact = other + (1 - other) * distance.cdf(needed)
        assert ours.below_probability(fraction) == pytest.approx(exact, abs=0.03)


codes = st.sampled_from(list(GrassCode))


@given(codes, st.floats(-18, -1), st.floats(0, 15), st.floats(0, 8), st.floats(27, 39))
def test_odds_are_odds(code: GrassCode, air_c: float, days: float, snow_in: float, latitude: float) -> None:
    """Weights are probabilities, quantiles are ordered, and the three injuries nest."""
    freeze = Freeze(air_c=air_c, days=days, snow_in=snow_in, latitude=latitude, on=date(2027, 1, 16))

    alive = odds(freeze, code)

    assert all(weight >= 0 for weight in alive.weights)
    low, middle, high = (alive.quantile_fraction(p) for p in (0.1, 0.5, 0.9))
    assert low <= middle <= high
    assert alive.below_probability(0.1) <= alive.below_probability(0.9)


@given(codes, st.floats(-16, -3), st.floats(0.5, 4))
def test_colder_never_leaves_more_alive(code: GrassCode, air_c: float, colder_dc: float) -> None:
    """Colder air never raises the expected share alive."""
    there = Freeze(air_c=air_c, days=3, snow_in=0, latitude=32.0, on=date(2027, 1, 16))
    colder = Freeze(air_c=air_c - colder_dc, days=3, snow_in=0, latitude=32.0, on=date(2027, 1, 16))

    assert odds(colder, code).mean_fraction <= odds(there, code).mean_fraction + 0.01


def test_injuries_tell_blades_apart_from_growing_points() -> None:
    """In a light freeze the blades die and the crowns do not."""
    told = ColdTold(air_min_c=-4.0, air_sd_dc=0.5, days_below_freezing=1, snow_in=0, coldest_on=date(2027, 1, 16))
    site = told_site_cold(told, 31.0, NOTHING)
    alive = survival(site, GrassCode.ZOYSIA, tolerance(GrassCode.ZOYSIA), NOTHING)

    hurt = injuries(site, alive, top_survival(site, GrassCode.ZOYSIA, tolerance(GrassCode.ZOYSIA), NOTHING))

    assert hurt.blades_probability > 0.85
    assert hurt.nearly_all_lost_probability < 0.05


def test_what_lives_below_is_told_apart_from_stems_on_top() -> None:
    """Bermuda at 9 degF without snow: stems on top likely freeze, and nearly all of it is still unlikely to be lost."""
    told = ColdTold(air_min_c=f_to_c(9), air_sd_dc=1.0, days_below_freezing=3, snow_in=0, coldest_on=date(2027, 1, 16))
    site, limit = told_site_cold(told, 33.0, NOTHING), tolerance(GrassCode.BERMUDA)
    alive, top = (
        survival(site, GrassCode.BERMUDA, limit, NOTHING),
        top_survival(site, GrassCode.BERMUDA, limit, NOTHING),
    )

    hurt = injuries(site, alive, top)

    assert hurt.some_lost_probability > 0.6
    assert hurt.nearly_all_lost_probability < 0.2
    assert top.mean_fraction < alive.mean_fraction


def test_a_grass_without_rhizomes_has_nothing_below() -> None:
    """St. Augustine lives in its runners on top: the two odds are one."""
    told = ColdTold(air_min_c=f_to_c(17), air_sd_dc=1.0, days_below_freezing=3, snow_in=0, coldest_on=date(2027, 1, 16))
    site, limit = told_site_cold(told, 31.0, NOTHING), tolerance(GrassCode.ST_AUGUSTINE)

    alive = survival(site, GrassCode.ST_AUGUSTINE, limit, NOTHING)
    top = top_survival(site, GrassCode.ST_AUGUSTINE, limit, NOTHING)

    assert top.mean_fraction == pytest.approx(alive.mean_fraction)


@given(st.lists(st.integers(0, 100), min_size=1, max_size=4))
def test_mixed_odds_are_the_mean_of_the_cases(steps: list[int]) -> None:
    """Not knowing which case holds: each is as likely, whatever their order, and none is forgotten."""
    cases = [AliveOdds(tuple(1.0 if at == step else 0.0 for at in range(101))) for step in steps]

    mixed = AliveOdds.mixed(cases)

    assert mixed.mean_fraction == pytest.approx(sum(steps) / len(steps) / 100)
    assert AliveOdds.mixed(cases[::-1]).weights == pytest.approx(mixed.weights)
    assert all(mixed.weights[step] > 0 for step in steps)


def test_nothing_to_mix_is_refused() -> None:
    """Odds of no case at all are no odds."""
    with pytest.raises(NotEnoughData):
        AliveOdds.mixed([])


def test_broken_odds_are_refused() -> None:
    """Odds that do not add up, quantiles outside 0..1 and evidence that excludes everything are errors."""
    even = AliveOdds(tuple(1 / 101 for _ in range(101)))

    with pytest.raises(NotEnoughData):
        AliveOdds((0.5, 0.5))
    with pytest.raises(OutOfRange):
        even.quantile_fraction(1.5)
    with pytest.raises(NotEnoughData):
        even.updated(tuple(0.0 for _ in range(101)))
