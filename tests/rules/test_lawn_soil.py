"""The ground under a lawn: which way things push it, what it looks like in known situations, and what is refused."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rules.errors import NotEnoughData
from rules.lawn_soil import DailyPlaces, SoilRun, Surface, lawn_column, lawn_temperatures, snow_depths_m
from rules.soil_blend import daily_means, soil_2in
from rules.units import c_to_f, f_to_c

DAYS = 60


def weather(
    air_min_c: np.ndarray | float,
    air_max_c: np.ndarray | float,
    *,
    latitude: float = 33.0,
    snow_m: np.ndarray | float = 0.0,
    rain_mm: float = 0.0,
    days: int = DAYS,
) -> DailyPlaces:
    """Sixty days from 1 December at one place."""

    def column(values: np.ndarray | float) -> np.ndarray:
        return np.array(np.broadcast_to(values, days), dtype=np.float64)[:, None]

    return DailyPlaces(
        days=(np.datetime64("2026-12-01", "D") + np.arange(days))[:, None],
        air_min_c=column(air_min_c),
        air_max_c=column(air_max_c),
        rain_mm=column(rain_mm),
        latitude=np.array([latitude]),
        height_m=np.array([50.0]),
        solar_mj_m2=np.full((days, 1), np.nan),
        snow_depth_m=column(snow_m),
    )


def freeze(
    lowest_f: float, spell: int = 3, snow_in: float = 0.0, latitude: float = 33.0, before_c: float = 8.5
) -> DailyPlaces:
    """A winter of the given mean, then a cold spell with its worst night on day 45."""
    low, high = np.full(DAYS, before_c - 5.5), np.full(DAYS, before_c + 5.5)
    cold = slice(45 - spell // 2, 45 - spell // 2 + spell)
    low[cold], high[cold] = f_to_c(lowest_f + 6), f_to_c(lowest_f + 22)
    low[45] = f_to_c(lowest_f)
    snow = np.zeros(DAYS)
    snow[cold] = snow_in * 0.0254
    return weather(low, high, snow_m=snow, latitude=latitude)


def run(places: DailyPlaces, surface: Surface | None = None) -> SoilRun:
    return lawn_temperatures(places, surface or Surface())


def lowest(of: np.ndarray) -> float:
    return float(of[40 * 24 :].min())


def side_by_side(*places: DailyPlaces) -> DailyPlaces:
    """The same days at each, as the places of one run."""
    names = ("days", "air_min_c", "air_max_c", "rain_mm", "solar_mj_m2", "snow_depth_m")
    return DailyPlaces(
        latitude=np.concatenate([each.latitude for each in places]),
        height_m=np.concatenate([each.height_m for each in places]),
        **{name: np.concatenate([getattr(each, name) for each in places], axis=1) for name in names},
    )


def test_deeper_is_milder_and_later() -> None:
    """Through a freeze without snow: crown, 1, 2 and 4 in, each less cold and each later."""
    hours = run(freeze(12, spell=4))
    depths = (hours.crown_c, hours.soil_1in_c, hours.soil_2in_c, hours.soil_4in_c)
    lows = [lowest(each) for each in depths]
    when = [int(each[40 * 24 :].argmin()) for each in depths]

    assert lows == sorted(lows)
    assert when == sorted(when)


@given(st.floats(-5, 15), st.integers(2, 6), st.floats(1, 8))
@settings(max_examples=10, deadline=None)
def test_snow_and_cover_keep_it_warmer(lowest_f: float, spell: int, snow_in: float) -> None:
    """Snow, or a thicker cover, never makes the lowest at 2 in colder in a short hard freeze. (Melting snow on ground
    that was never near freezing cools it: that is another matter.)
    """
    plain, thicker = Surface().cover_m2k_w, Surface().cover_m2k_w + 0.2
    winters = side_by_side(freeze(lowest_f, spell), freeze(lowest_f, spell, snow_in), freeze(lowest_f, spell))
    run_c = run(winters, Surface(cover_m2k_w=np.array([plain, plain, thicker]))).soil_2in_c
    bare, snowed, covered = (lowest(run_c[:, place]) for place in range(3))

    assert snowed >= min(bare, 3.0) - 0.05
    assert covered >= bare - 0.05


@given(st.floats(-10, 24), st.floats(1, 10), st.integers(1, 10))
@settings(max_examples=10, deadline=None)
def test_warmer_air_never_makes_the_ground_colder(lowest_f: float, warmer_df: float, spell: int) -> None:
    """At no depth."""
    both = run(side_by_side(freeze(lowest_f, spell), freeze(lowest_f + warmer_df, spell)))
    for name in ("crown_c", "soil_1in_c", "soil_2in_c", "soil_4in_c"):
        cold, warm = (lowest(getattr(both, name)[:, place]) for place in range(2))
        assert warm >= cold - 0.05


def test_a_ten_day_spell_reads_as_advisors_read_it() -> None:
    """Air -2 F at worst in ten cold days after a cool winter (common practice, a range). From crown to 1 in the band
    holds 27 F under an inch or more of snow and is much colder without; 2 in under several inches stays at 32 to 39 F.
    """
    winters = {snow_in: run(freeze(-2, 10, snow_in, latitude=36, before_c=5.0)) for snow_in in (0, 1, 2, 4, 6)}
    bands = {snow: (c_to_f(lowest(w.crown_c)), c_to_f(lowest(w.soil_1in_c))) for snow, w in winters.items()}

    assert bands[0][0] < 15
    assert bands[0][1] < 27
    for snow_in in (1, 2, 4):
        assert bands[snow_in][0] - 1 <= 27 <= bands[snow_in][1]
    for snow_in in (4, 6):
        assert 32 <= c_to_f(lowest(winters[snow_in].soil_2in_c)) <= 39


def test_two_inches_down_stays_in_what_was_measured_in_the_humid_south() -> None:
    """No daily mean below -2 degC in freezes like those that were measured there; colder ones are flagged."""
    for lowest_f, spell in ((25, 2), (18, 3), (14, 4), (10, 5)):
        places = freeze(lowest_f, spell)
        told = soil_2in(places, run(places))

        assert told.mean_c.min() > -2
        assert not told.is_beyond_measured.any()
    places = freeze(-25, 20, latitude=30.0)
    assert soil_2in(places, run(places)).is_beyond_measured.any()


def test_an_interval_holds_its_estimate() -> None:
    """Low below, high above, and no wider than half a dozen degrees."""
    places = freeze(12)
    told = soil_2in(places, run(places))

    assert (told.low_c < told.mean_c).all()
    assert (told.mean_c < told.high_c).all()
    assert (told.high_c - told.low_c).max() < 6


def test_rain_of_a_cold_day_is_snow_and_melts() -> None:
    """Where snow was not measured: it gathers in the cold, is gone some warm days later, and is none in the warm."""
    cold = np.array([-6.0] * 3 + [2.0] * 9)
    places = weather(cold, cold + 6, rain_mm=4.0, days=12, snow_m=np.nan)
    depth = snow_depths_m(places)[:, 0]

    assert depth[2] > depth[0] > 0
    assert depth[-1] == 0
    assert snow_depths_m(weather(5.0, 12.0, rain_mm=9.0, snow_m=np.nan)).max() == 0
    assert snow_depths_m(weather(-6.0, 0.0, rain_mm=4.0, snow_m=0.0)).max() == 0  # measured: none lay


def test_an_even_winter_leaves_the_ground_near_its_air() -> None:
    """Sixty like days: the 2-in soil ends within a few degrees of the air's mean, warmed a little by the sun."""
    hours = run(weather(4.0, 14.0))

    assert 8 < daily_means(hours.soil_2in_c)[-1, 0] < 12


def test_the_column_reaches_below_the_days_and_the_winters() -> None:
    """Finest at the top, some two metres deep."""
    depth = lawn_column(1).depth_m[:, 0]

    assert depth[0] < 0.01
    assert 1.5 < depth[-1] < 3.0


def test_holes_are_refused() -> None:
    """Missing air temperatures are filled by whoever reads them, and told; not here, in silence."""
    low = np.full(DAYS, 1.0)
    low[7] = np.nan
    with pytest.raises(NotEnoughData):
        weather(low, 10.0)


def test_outside_the_winter_the_physics_stands_alone() -> None:
    """The regression was fitted on November to March and says nothing of July."""
    days = 260
    places = weather(10.0, 20.0, days=days)
    hours = run(places)
    told = soil_2in(places, hours)
    is_summer = places.days[:, 0] > np.datetime64("2027-04-05")

    np.testing.assert_allclose(told.mean_c[is_summer], daily_means(hours.soil_2in_c)[is_summer])
    assert np.isnan(told.regression_c[is_summer]).all()
    assert np.isfinite(told.regression_c[:100]).all()
