"""A station's record through the model: gaps cut it, filled days are named, the start is not trusted."""

from __future__ import annotations

import numpy as np
import pytest

from rules.errors import NotEnoughData
from rules.lawn_setting import Cover, LawnSetting
from rules.station_ground import readings_beside, station_ground, stretches
from rules.weather import DailyWeather, Station

DAYS = 120


def record(missing: slice | None = None) -> DailyWeather:
    """A made-up winter from 1 November with one hard freeze."""
    chance = np.random.default_rng(2)
    mean = 8 + 4 * np.sin(np.arange(DAYS) / 6) + chance.normal(0, 2, DAYS)
    low, high = mean - 5, mean + 5
    low[80:83], high[80:83] = (-6, -11, -8), (0, -2, 3)
    if missing is not None:
        low[missing] = high[missing] = np.nan
    nothing = np.full(DAYS, np.nan)
    return DailyWeather(
        station=Station(code="X1", name="Nowhere", latitude=33.0, longitude=-88.0, elevation_m=90.0, network="made up"),
        days=np.datetime64("2026-11-01", "D") + np.arange(DAYS),
        air_min_c=low,
        air_max_c=high,
        air_mean_c=nothing,
        rain_mm=np.zeros(DAYS),
        snow_depth_cm=nothing.copy(),
        solar_mj_per_m2=nothing.copy(),
        soil_moisture_2in_fraction=nothing.copy(),
        soil_2in_c=nothing.copy(),
        soil_4in_c=nothing.copy(),
    )


def test_every_day_is_told_and_the_first_month_is_not_trusted() -> None:
    """The freeze shows at the crown most, 2 in down less, 4 in down least."""
    ground = station_ground(record())
    freeze = slice(78, 86)

    assert len(ground.days) == DAYS
    assert ground.is_settling.sum() == 30
    assert ground.air_min_c[freeze].min() == -11
    assert ground.crown_min_c[freeze].min() < ground.soil_2in_mean_c[freeze].min() < ground.soil_4in_mean_c[80:84].max()
    assert (ground.soil_2in_low_c < ground.soil_2in_mean_c).all()
    assert not ground.is_filled.any()


def test_short_gaps_are_filled_and_named_and_long_ones_cut_the_record() -> None:
    """Two days are filled and flagged; ten days are not made up, and the ground has to settle again behind them."""
    short, long = station_ground(record(slice(60, 62))), station_ground(record(slice(40, 50)))

    assert list(np.flatnonzero(short.is_filled)) == [60, 61]
    assert len(long.days) == DAYS - 10
    assert not np.isin(record().days[40:50], long.days).any()
    assert long.is_settling.sum() == 60


def test_stretches_too_short_to_settle_are_left_out() -> None:
    """Twenty days between two gaps tell nothing."""
    assert [len(each.days) for each in stretches(record(slice(20, 40)))] == [80]
    with pytest.raises(NotEnoughData, match="30 days"):
        station_ground(record(slice(10, 115)))


def test_the_crown_has_a_band_and_it_is_wider_where_less_is_known() -> None:
    """About two and a half degrees to each side nine times in ten and more on bare ground, less under measured snow,
    more under snow that was only worked out, and more for each departure.
    """
    bare, thin = station_ground(record()), station_ground(record(), LawnSetting(cover=Cover.THIN))
    measured = record()
    measured.snow_depth_cm[80:83] = 10.0
    guessed = record()
    guessed.rain_mm[80:83] = 10.0
    half = {
        name: (each.crown_min_c - each.crown_low_c)[81]
        for name, each in (
            ("bare", bare),
            ("thin", thin),
            ("measured", station_ground(measured)),
            ("guessed", station_ground(guessed)),
        )
    }

    assert half["bare"] == pytest.approx(1.645 * 2.5)
    assert station_ground(measured).crown_high_c[81] <= 1, "no warmer than melting snow"
    assert half["measured"] < half["guessed"]
    assert half["measured"] < half["bare"] < half["thin"]


def test_the_lows_of_a_day_lie_below_its_mean_and_in_order() -> None:
    """The hours come from the physics, moved with the day's mean."""
    ground = station_ground(record())

    assert (ground.soil_2in_min_c <= ground.soil_2in_mean_c).all()
    assert (ground.soil_1in_min_c[80:83] < ground.soil_2in_min_c[80:83]).all()
    assert (ground.snow_depth_in == 0).all()


def test_readings_lie_beside_what_the_model_said_of_their_days() -> None:
    """Days it was settling on, outside November to March, or not in the record teach nothing."""
    ground = station_ground(record())
    days = np.array(["2026-11-20", "2026-12-20", "2026-07-01"], dtype="datetime64[D]")
    taught = readings_beside(ground, days, np.array([5.0, 6.0, 7.0]), 1.0)

    assert list(np.isfinite(taught.modelled_c)) == [False, True, False]
    assert taught.modelled_c[1] == ground.soil_2in_mean_c[49]


def test_what_was_read_moves_the_soil_at_both_depths_and_no_crown() -> None:
    """Two degrees colder than the model on three days: colder soil after them, narrower, the crown as it was."""
    plain = station_ground(record())
    days = plain.days[[60, 67, 74]]
    told = station_ground(record(), taught=readings_beside(plain, days, plain.soil_2in_mean_c[[60, 67, 74]] - 2, 0.0))
    by_dc = told.soil_2in_mean_c - plain.soil_2in_mean_c

    assert -2 < by_dc[75] < -0.5
    np.testing.assert_allclose(told.soil_4in_mean_c - plain.soil_4in_mean_c, by_dc, atol=1e-9)
    np.testing.assert_allclose(told.soil_2in_min_c - plain.soil_2in_min_c, by_dc, atol=1e-9)
    np.testing.assert_array_equal(told.crown_min_c, plain.crown_min_c)
    assert (told.soil_2in_high_c - told.soil_2in_low_c)[75] < (plain.soil_2in_high_c - plain.soil_2in_low_c)[75]
