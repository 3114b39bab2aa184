"""Which station speaks for a lawn: distances against published ones, the choice, and how doubt grows."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rules.errors import OutOfRange
from rules.facts import stations as facts
from rules.stations import distance_km, height_near, led_by, within_reach
from rules.weather import DAY_SERIES, DailyWeather, Station


def station(latitude: float, longitude: float, elevation_m: float | None = 20.0, code: str = "S1") -> Station:
    return Station(
        code=code, name=code, latitude=latitude, longitude=longitude, elevation_m=elevation_m, network="invented"
    )


@pytest.mark.parametrize(
    ("one", "two", "km"),
    [
        # one degree of a great circle is 60 nautical miles of 1.852 km by their first definition
        ((0.0, 0.0), (0.0, 1.0), 60 * 1.852),
        ((30.0, -90.0), (31.0, -90.0), 60 * 1.852),
        ((60.0, 20.0), (60.0, 21.0), 60 * 1.852 / 2),  # at 60 degrees north half of that
        ((0.0, 0.0), (0.0, 180.0), 180 * 60 * 1.852),  # the other side of the world
        ((0.0, 179.5), (0.0, -179.5), 60 * 1.852),  # across the date line
        # Nashville and Los Angeles airports, 2,887 km: the worked example of the haversine formula in Wikipedia and
        # Rosetta Code (from memory)
        ((36.12, -86.67), (33.94, -118.40), 2887.26),
    ],
)
def test_distances_are_those_of_a_sphere(one: tuple[float, float], two: tuple[float, float], km: float) -> None:
    assert distance_km(*one, station(*two)) == pytest.approx(km, rel=0.002)


@given(st.floats(20, 40), st.floats(-100, -70), st.floats(20, 40), st.floats(-100, -70))
def test_a_distance_is_the_same_from_both_ends(a: float, b: float, c: float, d: float) -> None:
    assert distance_km(a, b, station(c, d)) == pytest.approx(distance_km(c, d, station(a, b)), abs=1e-6)


def test_the_nearest_station_comes_first_and_far_ones_do_not_count() -> None:
    near, mid, far = station(31.6, -81.7, code="near"), station(31.9, -81.7, code="mid"), station(34, -81.7, code="far")
    found = within_reach([(far, True), (mid, True), (near, True)], 31.62, -81.75, None)
    assert [each.station.code for each in found] == ["near", "mid"]


def test_height_counts_as_distance_and_too_much_of_it_rules_a_station_out() -> None:
    near_high, farther_level = station(35.0, -84.0, 450.0, "high"), station(35.2, -84.0, 260.0, "level")
    peak = station(35.0, -84.0, 900.0, "peak")
    found = within_reach([(near_high, True), (farther_level, True), (peak, True)], 35.0, -84.0, 250.0)
    assert [each.station.code for each in found] == ["level", "high"]
    unknown = within_reach([(peak, True)], 35.0, -84.0, None)
    assert [each.height_m for each in unknown] == [None]


def test_a_thermometer_wins_over_a_grid_cell_until_it_is_much_farther() -> None:
    cell, close, distant = station(31.0, -82.0, code="cell"), station(31.2, -82.0, code="t"), station(31.8, -82.0)
    assert within_reach([(cell, False), (close, True)], 31.0, -82.0, None)[0].is_thermometer
    assert not within_reach([(cell, False), (distant, True)], 31.0, -82.0, None)[0].is_thermometer


@given(st.floats(0, 0.8), st.floats(0, 0.8), st.floats(-250, 250))
def test_doubt_never_shrinks_with_distance_or_height(one: float, two: float, height_m: float) -> None:
    near, far = sorted((one, two))
    level = [within_reach([(station(31 + north, -82.0, 100.0), True)], 31.0, -82.0, 100.0)[0] for north in (near, far)]
    climbed = within_reach([(station(31 + near, -82.0, 100.0 + height_m), True)], 31.0, -82.0, 100.0)[0]
    assert facts.AIR_SD_NEAR_DC.value <= level[0].air_sd_dc <= level[1].air_sd_dc
    assert climbed.air_sd_dc >= level[0].air_sd_dc


def test_the_height_of_a_place_is_that_of_the_nearest_grid_cell_alone() -> None:
    thermometer, cell = station(35.0, -84.0, 900.0), station(35.05, -84.0, 250.0, "cell")
    assert height_near([(thermometer, True), (cell, False)], 35.0, -84.0) == 250.0
    assert height_near([(thermometer, True)], 35.0, -84.0) is None
    assert height_near([(cell, False)], 36.0, -84.0) is None


def test_a_cell_at_the_height_of_the_sea_tells_a_height() -> None:
    """0 m is a height, not an unknown one."""
    assert height_near([(station(31.0, -81.4, 0.0), False)], 31.0, -81.4) == 0.0
    assert height_near([(station(31.0, -81.4, None), False)], 31.0, -81.4) is None


def test_a_place_off_the_earth_is_refused() -> None:
    with pytest.raises(OutOfRange, match="latitude"):
        within_reach([], 91.0, 0.0, None)


def days_of(first: str, lows: list[float], **series: list[float]) -> DailyWeather:
    count = len(lows)
    columns = {name: np.full(count, np.nan) for name in DAY_SERIES}
    columns |= {"air_min_c": np.array(lows), "air_max_c": np.array(lows) + 8}
    columns |= {name: np.array(values) for name, values in series.items()}
    return DailyWeather(station=station(31.0, -82.0), days=np.datetime64(first) + np.arange(count), **columns)


def test_a_short_record_is_led_by_a_model_s_days_and_keeps_its_own_air() -> None:
    """Days before it from the model; its own gap in the air stays a gap; rain it does not measure is filled."""
    model = days_of("2027-01-10", [1.0, 2.0, 3.0, 4.0, 5.0], rain_mm=[0.0, 0.0, 5.0, 6.0, 7.0])
    own = days_of("2027-01-12", [-3.0, np.nan], rain_mm=[np.nan, 1.0])
    both = led_by(own, model)
    np.testing.assert_array_equal(both.air_min_c, [1.0, 2.0, -3.0, np.nan])
    np.testing.assert_array_equal(both.rain_mm, [0.0, 0.0, 5.0, 1.0])
    assert str(both.days[-1]) == "2027-01-13", "the model adds nothing after the station's last day"
