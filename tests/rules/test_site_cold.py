"""How cold a spot got, worked out roughly from what was told."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rules.errors import OutOfRange
from rules.facts import cold as facts
from rules.site_cold import ColdTold, SiteCold, SpotTraits, hardened_fraction_on, told_site_cold
from rules.units import c_to_f, f_to_c

JANUARY = date(2027, 1, 16)
NOTHING = SpotTraits()


def cold(air_f: float | None, days: float | None = 3, snow_in: float | None = 0, latitude: float = 33.0) -> SiteCold:
    told = ColdTold(
        air_min_c=None if air_f is None else f_to_c(air_f),
        air_sd_dc=1.0,
        days_below_freezing=days,
        snow_in=snow_in,
        coldest_on=JANUARY,
    )
    return told_site_cold(told, latitude, NOTHING)


def test_crown_under_a_few_inches_of_snow_lies_around_27_f() -> None:
    """Ten days with -2 F at worst: under 2 to 4 in of snow the crown-to-1-in band holds 27 F (common practice)."""
    for snow_in in (2, 3, 4):
        site = cold(-2, days=10, snow_in=snow_in, latitude=35)
        inch = next(layer for layer in site.rhizomes if layer.depth_in == 1)

        assert c_to_f(site.crown.min_c - site.crown.sd_dc) <= 27 <= c_to_f(inch.min_c + inch.sd_dc)


def test_crown_without_snow_is_much_colder_than_that() -> None:
    """Without snow the same air leaves the crown far below 27 F, outside its band."""
    crown = cold(-2, days=10, snow_in=0, latitude=35).crown

    assert c_to_f(crown.min_c + crown.sd_dc) < 24


def test_two_inches_down_under_deeper_snow_stays_at_or_above_freezing() -> None:
    """Two inches down under deeper snow usually stays at 32 to 39 F in the same ten days (common practice)."""
    assert 32 <= c_to_f(cold(-2, days=10, snow_in=6, latitude=36).soil_2in_min_c) <= 39


def test_kansas_2021_two_inch_soil_under_snow_is_within_reach_of_the_29_f_that_was_measured() -> None:
    """Eastern Kansas, February 2021: air -18 F, snow, lowest 2-in soil 29 F (Kansas State Univ.)."""
    kansas = cold(-18, days=10, snow_in=4, latitude=38.9)

    assert abs(f_to_c(29) - kansas.soil_2in_min_c) <= 2 * kansas.soil_2in_sd_dc


def test_soil_in_the_humid_south_rarely_freezes_hard() -> None:
    """Under grass in the humid South no 2-in daily mean below -2 degC stands in 91 measured freezes."""
    for air_f in (20, 15, 10, 5):
        for days in (1, 3, 6):
            assert cold(air_f, days=days, latitude=32).soil_2in_min_c > -2


def test_rhizomes_lie_between_crown_and_soil() -> None:
    """Deeper is milder in a freeze: crown, 0.5 in, 1 in, 2 in in order, and the shares add up to one."""
    site = cold(8, days=4)
    temperatures = [site.crown.min_c, *(layer.min_c for layer in site.rhizomes)]

    assert temperatures == sorted(temperatures)
    assert sum(layer.share_fraction for layer in site.rhizomes) == pytest.approx(1)
    assert site.rhizomes[-1].min_c == pytest.approx(site.soil_2in_min_c)


@given(st.floats(-20, 25), st.floats(0, 30), st.floats(1, 12), st.floats(26, 40))
def test_snow_never_makes_it_colder(air_f: float, days: float, snow_in: float, latitude: float) -> None:
    """More snow never lowers the crown or the 2-in soil."""
    bare, covered = cold(air_f, days, 0, latitude), cold(air_f, days, snow_in, latitude)

    assert covered.crown.min_c >= bare.crown.min_c - 1e-9
    assert covered.soil_2in_min_c >= bare.soil_2in_min_c - 1e-9


@given(st.floats(-20, 30), st.floats(0, 30), st.floats(0.5, 12), st.floats(26, 40))
def test_nothing_under_lying_snow_is_above_freezing(air_f: float, days: float, snow_in: float, latitude: float) -> None:
    """Snow that lies keeps the crown at melting or below, unless it would be warmer without."""
    bare, covered = cold(air_f, days, 0, latitude), cold(air_f, days, snow_in, latitude)

    assert covered.crown.min_c <= max(0.0, bare.crown.min_c) + 1e-9


@given(st.floats(-10, 25), st.floats(1, 10), st.floats(0, 12))
def test_a_dusting_more_snow_changes_little(air_f: float, days: float, snow_in: float) -> None:
    """There is no depth at which a tenth of an inch more moves the crown by over 2 degF, bare ground included."""
    moved_dc = cold(air_f, days, snow_in + 0.1).crown.min_c - cold(air_f, days, snow_in).crown.min_c

    assert 0 <= moved_dc + 1e-9
    assert moved_dc * 1.8 < 2


@given(st.floats(-20, 24), st.floats(0.5, 8), st.floats(0, 30), st.floats(26, 40))
def test_warmer_air_never_makes_it_colder(air_f: float, warmer_df: float, days: float, latitude: float) -> None:
    """Warmer air never lowers the crown."""
    assert cold(air_f + warmer_df, days, 0, latitude).crown.min_c >= cold(air_f, days, 0, latitude).crown.min_c - 1e-9


@given(st.sampled_from(["is_north_or_shaded", "is_windy", "is_wet", "is_new"]))
def test_a_harder_spot_is_never_warmer(trait: str) -> None:
    """North sides, wind, wet ground and new turf lower the crown, or leave it."""
    told = ColdTold(air_min_c=-8, air_sd_dc=1, days_below_freezing=3, snow_in=0, coldest_on=JANUARY)

    harder = told_site_cold(told, 32, SpotTraits(**{trait: True}))

    assert harder.crown.min_c <= told_site_cold(told, 32, NOTHING).crown.min_c


def test_what_is_not_known_widens_the_band() -> None:
    """An owner who does not know the air or the snow gets a wider band, not a guess."""
    known = cold(17).crown.sd_dc

    assert cold(None).crown.sd_dc > known
    assert cold(17, snow_in=None).crown.sd_dc > known


def test_hardening_peaks_in_midwinter() -> None:
    """Grass is hardest in midwinter, less in early December and March, least in November and April."""
    midwinter = hardened_fraction_on(date(2027, 1, 10))
    shoulder = hardened_fraction_on(date(2026, 12, 1)), hardened_fraction_on(date(2027, 3, 1))
    early_late = hardened_fraction_on(date(2026, 11, 1)), hardened_fraction_on(date(2027, 4, 1))

    assert midwinter > max(shoulder) >= min(shoulder) > max(early_late)


def test_impossible_cold_is_refused_by_name() -> None:
    """A number outside the range names itself and the range."""
    told = ColdTold(air_min_c=-80, air_sd_dc=1, days_below_freezing=3, snow_in=0, coldest_on=JANUARY)

    with pytest.raises(OutOfRange, match="air_min_c"):
        told_site_cold(told, 33, NOTHING)


def test_the_calibration_says_that_it_is_one() -> None:
    """The fact set on Florida 1989 is marked as calibration, so nobody takes it for evidence."""
    assert "CALIBRATION" in facts.SOIL_RESISTANCE_NIGHT_M2K_W.note
