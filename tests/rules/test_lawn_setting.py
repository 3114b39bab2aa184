"""Settings of the ground: the fitted one changes nothing, the others push the way physics says, each place its own."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rules.errors import NotEnoughData, OutOfRange
from rules.facts import soil as facts
from rules.lawn_setting import (
    AS_FITTED,
    Cover,
    Exposure,
    LawnSetting,
    Moisture,
    SoilKind,
    by_formula,
    setting_sd_dc,
    soil_properties,
    stated_snow_sd_dc,
)
from rules.lawn_soil import DailyPlaces, SoilRun, Surface, lawn_temperatures, snow_depths_m
from rules.modelled_cold import ground_under
from rules.soil_blend import Soil2in, daily_means
from rules.units import c_to_f, f_to_c

DAYS, WORST = 60, 45
NAMES = ("k_unfrozen_w_mk", "k_frozen_w_mk", "heat_capacity_j_m3k", "water_fraction")
some_setting = st.builds(
    LawnSetting,
    soil=st.sampled_from(SoilKind),
    moisture=st.sampled_from(Moisture),
    cover=st.sampled_from(Cover),
    exposure=st.sampled_from(Exposure),
    snow_in=st.none() | st.floats(0, 12),
)
short_freeze = st.tuples(st.floats(-5, 15), st.integers(2, 6))
any_freeze = st.tuples(st.floats(-10, 24), st.integers(1, 10))


def together(*parts: st.SearchStrategy) -> st.SearchStrategy:  # type: ignore[type-arg]
    """Two dozen examples at once: they run side by side, which costs little more than one."""
    return st.lists(st.tuples(*parts), min_size=24, max_size=24)


def freeze(lowest_f: float, spell: int, places: int = 1, before_c: float = 8.5) -> DailyPlaces:
    return freezes([(lowest_f, spell)] * places, before_c)


def freezes(asked: list[tuple[float, int]], before_c: float = 8.5) -> DailyPlaces:
    """Sixty days from 1 December, dry and without snow; at each place a cold spell around day 45: worst night, days."""
    side = (DAYS, len(asked))
    low, high = np.full(side, before_c - 5.5), np.full(side, before_c + 5.5)
    for place, (lowest_f, spell) in enumerate(asked):
        cold = slice(WORST - spell // 2, WORST - spell // 2 + spell)
        low[cold, place], high[cold, place] = f_to_c(lowest_f + 6), f_to_c(lowest_f + 22)
        low[WORST, place] = f_to_c(lowest_f)
    return DailyPlaces(
        days=np.repeat((np.datetime64("2026-12-01", "D") + np.arange(DAYS))[:, None], len(asked), axis=1),
        air_min_c=low,
        air_max_c=high,
        rain_mm=np.zeros(side),
        latitude=np.full(len(asked), 33.0),
        height_m=np.full(len(asked), 50.0),
        solar_mj_m2=np.full(side, np.nan),
        snow_depth_m=np.zeros(side),
    )


def lows(hourly_c: np.ndarray) -> list[float]:
    """The lowest of each place from shortly before the spell on."""
    return [float(each) for each in hourly_c[40 * 24 :].min(axis=0)]


def runs(places: DailyPlaces, asked: list[LawnSetting]) -> SoilRun:
    return lawn_temperatures(places, Surface(), asked)


# --- the fitted setting --------------------------------------------------------------------------------------------


def test_moist_loam_is_what_the_model_was_fitted_with() -> None:
    """To the last digit, so that the fitted numbers hold."""
    loam = soil_properties(SoilKind.LOAM, Moisture.MOIST)

    assert loam.k_unfrozen_w_mk == facts.LOAM_UNFROZEN_W_MK.value
    assert loam.k_frozen_w_mk == facts.LOAM_FROZEN_W_MK.value
    assert loam.heat_capacity_j_m3k == facts.LOAM_J_M3K.value
    assert loam.water_fraction == facts.LOAM_WATER_FRACTION.value


def test_the_fitted_setting_changes_nothing() -> None:
    """Stated or left out: the same hours, the same means and intervals."""
    places = freeze(10, 3, places=2)
    plain, stated = lawn_temperatures(places, Surface()), runs(places, [AS_FITTED] * 2)

    for name in SoilRun.__slots__:
        np.testing.assert_array_equal(getattr(plain, name), getattr(stated, name))
    without, with_it = ground_under(places).soil, ground_under(places, [AS_FITTED] * 2).soil
    np.testing.assert_array_equal(without.mean_c, with_it.mean_c)
    np.testing.assert_array_equal(without.low_c, with_it.low_c)


def test_the_formulas_alone_come_near_the_fitted_loam() -> None:
    """Johansen and de Vries give moist loam within the range its facts allow."""
    loam = by_formula(SoilKind.LOAM, Moisture.MOIST)
    ranges = (facts.LOAM_UNFROZEN_W_MK, facts.LOAM_FROZEN_W_MK, facts.LOAM_J_M3K, facts.LOAM_WATER_FRACTION)

    for name, fact in zip(NAMES, ranges, strict=True):
        assert fact.low <= getattr(loam, name) <= fact.high


# --- soils -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", SoilKind)
def test_wetter_soil_conducts_stores_and_freezes_more(kind: SoilKind) -> None:
    """Dry, moist, wet: each property rises."""
    rising = [soil_properties(kind, moisture) for moisture in (Moisture.DRY, Moisture.MOIST, Moisture.WET)]
    for name in NAMES:
        values = [getattr(each, name) for each in rising]
        assert values == sorted(set(values))


def test_sand_conducts_best_and_clay_holds_most() -> None:
    """Moist: quartz conducts, fine pores keep water."""
    sand, loam, clay = (soil_properties(kind, Moisture.MOIST) for kind in SoilKind)

    assert sand.k_unfrozen_w_mk > loam.k_unfrozen_w_mk > clay.k_unfrozen_w_mk
    assert sand.heat_capacity_j_m3k < loam.heat_capacity_j_m3k < clay.heat_capacity_j_m3k


# --- which way things push -----------------------------------------------------------------------------------------


def two_inch_lows(spells: list[tuple[float, int]], asked: list[list[LawnSetting]]) -> np.ndarray:
    """The lowest at 2 in of each freeze in each of its settings. [freeze, setting]"""
    each = len(asked[0])
    places = freezes([spell for spell in spells for _ in range(each)])
    return np.reshape(lows(runs(places, [one for row in asked for one in row]).soil_2in_c), (len(spells), each))


@given(together(short_freeze, some_setting))
@settings(max_examples=4, deadline=None)
def test_wetter_soil_is_never_colder(cases: list[tuple[tuple[float, int], LawnSetting]]) -> None:
    """The lowest at 2 in of a short freeze: dry, moist, wet."""
    asked = [[replace(each, moisture=moisture, snow_in=None) for moisture in Moisture] for _, each in cases]

    assert (np.diff(two_inch_lows([spell for spell, _ in cases], asked)) >= -0.02).all()


@given(together(short_freeze, some_setting))
@settings(max_examples=4, deadline=None)
def test_more_cover_is_never_colder(cases: list[tuple[tuple[float, int], LawnSetting]]) -> None:
    """The lowest at 2 in of a short freeze: thin, lawn, thick."""
    asked = [[replace(each, cover=cover, snow_in=None) for cover in Cover] for _, each in cases]

    assert (np.diff(two_inch_lows([spell for spell, _ in cases], asked)) >= -0.02).all()


@given(together(short_freeze, some_setting, st.floats(0.5, 6), st.floats(0.5, 6)))
@settings(max_examples=4, deadline=None)
def test_more_snow_is_never_colder(cases: list[tuple[tuple[float, int], LawnSetting, float, float]]) -> None:
    """The lowest at 2 in of a short hard freeze. (Snow that melts on ground far from freezing cools it.)"""
    asked = [[replace(each, snow_in=depth) for depth in (0, some, some + more)] for _, each, some, more in cases]
    bare, some, more = two_inch_lows([case[0] for case in cases], asked).T

    assert (some >= np.minimum(bare, 3.0) - 0.05).all()
    assert (more >= some - 0.02).all()


@given(together(short_freeze, some_setting))
@settings(max_examples=3, deadline=None)
def test_more_sun_is_never_colder(cases: list[tuple[tuple[float, int], LawnSetting]]) -> None:
    """Shade, north slope, open, south slope."""
    order = (Exposure.SHADE, Exposure.NORTH_SLOPE, Exposure.OPEN, Exposure.SOUTH_SLOPE)
    asked = [[replace(each, exposure=exposure, snow_in=None) for exposure in order] for _, each in cases]

    assert (np.diff(two_inch_lows([spell for spell, _ in cases], asked)) >= -0.001).all()


@given(together(any_freeze, some_setting, st.floats(1, 10)))
@settings(max_examples=3, deadline=None)
def test_warmer_air_never_makes_the_ground_colder(cases: list[tuple[tuple[float, int], LawnSetting, float]]) -> None:
    """In any setting, at any depth. Snow is left as it was: stated snow goes when the air is warmer."""
    asked = [replace(each, snow_in=None) for _, each, _ in cases]
    cold = runs(freezes([spell for spell, _, _ in cases]), asked)
    warm = runs(freezes([(lowest_f + warmer_df, days) for (lowest_f, days), _, warmer_df in cases]), asked)

    for name in ("crown_c", "soil_1in_c", "soil_2in_c", "soil_4in_c"):
        assert (np.subtract(lows(getattr(warm, name)), lows(getattr(cold, name))) >= -0.05).all()


@given(together(short_freeze, some_setting))
@settings(max_examples=3, deadline=None)
def test_deeper_is_milder_and_later(cases: list[tuple[tuple[float, int], LawnSetting]]) -> None:
    """In any setting without snow: crown, 1, 2 and 4 in, each less cold and none sooner."""
    hours = runs(freezes([spell for spell, _ in cases]), [replace(each, snow_in=0.0) for _, each in cases])
    depths = (hours.crown_c, hours.soil_1in_c, hours.soil_2in_c, hours.soil_4in_c)

    assert (np.diff([lows(each) for each in depths], axis=0) >= 0).all()
    assert (np.diff([each[40 * 24 :].argmin(axis=0) for each in depths], axis=0) >= 0).all()


@given(together(any_freeze, some_setting), st.sampled_from(("rain_mm", "solar_mj_m2", "snow_depth_m")))
@settings(max_examples=4, deadline=None)
def test_holes_in_rain_sun_and_snow_leave_none_in_the_ground(
    cases: list[tuple[tuple[float, int], LawnSetting]], name: str
) -> None:
    """In any setting: every hour and every edge is a number."""
    places = freezes([spell for spell, _ in cases])
    getattr(places, name)[20:50] = np.nan
    ground = ground_under(places, [each for _, each in cases])

    for part in ("crown_c", "thatch_c", "soil_1in_c", "soil_2in_c", "soil_4in_c", "snow_depth_m"):
        assert np.isfinite(getattr(ground.run, part)).all()
    assert np.isfinite(ground.soil.low_c).all()
    assert (ground.soil.low_c < ground.soil.mean_c).all()
    assert (ground.soil.mean_c < ground.soil.high_c).all()


# --- the estimate in a setting --------------------------------------------------------------------------------------


def test_the_estimate_moves_by_what_the_physics_moves() -> None:
    """Blended as fitted, plus physics in the setting less physics as fitted."""
    places, asked = freeze(8, 3), [LawnSetting(cover=Cover.THIN, soil=SoilKind.SAND)]
    moved = ground_under(places, asked).soil.mean_c - ground_under(places).soil.mean_c
    there, fitted = runs(places, asked).soil_2in_c, lawn_temperatures(places, Surface()).soil_2in_c

    np.testing.assert_allclose(moved, daily_means(there) - daily_means(fitted), atol=1e-9)
    assert moved[WORST, 0] < -0.3


def test_each_departure_widens_the_interval() -> None:
    """One after the other; snow that lay only on its days, and snow that did not lie not at all."""
    one = LawnSetting(soil=SoilKind.CLAY)
    two = replace(one, moisture=Moisture.WET)
    all_four = replace(two, cover=Cover.THICK, exposure=Exposure.SHADE)
    doubts = [setting_sd_dc(each) for each in (AS_FITTED, one, two, all_four)]
    widths = [np.ptp([s.low_c, s.high_c], axis=0) for s in (soil_in(each) for each in (AS_FITTED, one, two, all_four))]

    assert doubts[0] == 0
    assert doubts == sorted(set(doubts))
    assert all((later > earlier).all() for earlier, later in pairwise(widths))
    assert stated_snow_sd_dc(LawnSetting(snow_in=0)) == stated_snow_sd_dc(AS_FITTED) == 0
    snowed = soil_in(LawnSetting(snow_in=3))
    is_wider = (snowed.high_c - snowed.low_c)[:, 0] > 1.01 * widths[0].max()
    assert list(np.flatnonzero(is_wider)) == [44, 45, 46]


def soil_in(setting: LawnSetting) -> Soil2in:
    return ground_under(freeze(8, 3), [setting]).soil


def test_a_ten_day_spell_reads_as_advisors_read_it_with_stated_snow() -> None:
    """Air -2 F at worst in ten cold days (common practice, a range; nothing is fitted to it): stated snow of 2 to 4 in
    keeps the band from the crown to 1 in around 27 F; without it is much colder; 2 in under deep snow is at 32 to 39 F.
    """
    depths = (0.0, 2.0, 3.0, 4.0, 6.0)
    ground = ground_under(freeze(-2, 10, places=5, before_c=5.0), [LawnSetting(snow_in=each) for each in depths])
    crown, inch, two = (
        [c_to_f(each) for each in lows(of)] for of in (ground.run.crown_c, ground.run.soil_1in_c, ground.run.soil_2in_c)
    )
    mean = [c_to_f(float(each)) for each in ground.soil.mean_c[40:].min(axis=0)]

    assert crown[0] < 12
    assert inch[0] < 27
    for at in (1, 2, 3):
        assert crown[at] - 1 <= 27 <= inch[at]
    for at in (3, 4):
        assert 32 <= two[at] <= 39
        assert 32 <= mean[at] <= 39


# --- snow and places ------------------------------------------------------------------------------------------------


def test_stated_snow_lies_on_cold_days_only_and_wins() -> None:
    """On days with a mean at or below freezing, whatever was measured; none stated is none."""
    places = freeze(8, 3, places=3)
    places.snow_depth_m[20] = 0.5
    depth = snow_depths_m(places, np.array([np.nan, 0.1, 0.0]))

    assert list(np.flatnonzero(depth[:, 0])) == [20]
    assert list(np.flatnonzero(depth[:, 1])) == [44, 45, 46]
    assert depth[:, 2].max() == 0


def test_each_place_has_its_own_setting() -> None:
    """Side by side as one after the other, across blocks too."""
    asked = [
        AS_FITTED,
        LawnSetting(soil=SoilKind.SAND, moisture=Moisture.DRY, snow_in=2),
        LawnSetting(cover=Cover.THICK, exposure=Exposure.SHADE),
    ]
    together = ground_under(freeze(5, 3, places=3), asked)
    for place, setting in enumerate(asked):
        alone = ground_under(freeze(5, 3), [setting])
        np.testing.assert_allclose(together.run.soil_2in_c[:, place], alone.run.soil_2in_c[:, 0], atol=1e-4)
        np.testing.assert_allclose(together.soil.low_c[:, place], alone.soil.low_c[:, 0], atol=1e-4)


def test_what_cannot_be_is_refused() -> None:
    """Snow below 0 or deeper than any lawn has seen; settings for some places only."""
    for depth in (-1, 61, float("nan")):
        with pytest.raises(OutOfRange):
            LawnSetting(snow_in=depth)
    with pytest.raises(NotEnoughData, match="each place"):
        runs(freeze(5, 3, places=2), [AS_FITTED])
