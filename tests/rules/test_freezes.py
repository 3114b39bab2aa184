"""Freezes in a station's days: which days belong together, which was the coldest, what is told of each."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rules.errors import OutOfRange
from rules.freezes import DAMAGING_COLD_C, FROST_C, HARD_FREEZE_C, Freeze, freezes
from rules.weather import DAY_SERIES, DailyWeather, Station

NAN = np.nan
STATION = Station(code="99001", name="", latitude=31.25, longitude=-83.1, elevation_m=None, network="")


def days(lows: list[float], snow_cm: list[float] | None = None) -> DailyWeather:
    values = {name: np.full(len(lows), NAN) for name in DAY_SERIES}
    values["air_min_c"] = np.array(lows, dtype=np.float64)
    if snow_cm is not None:
        values["snow_depth_cm"] = np.array(snow_cm, dtype=np.float64)
    return DailyWeather(station=STATION, days=np.datetime64("2027-01-10", "D") + np.arange(len(lows)), **values)


def spans(found: tuple[Freeze, ...]) -> list[tuple[int, int]]:
    return [(each.first_on.day, each.last_on.day) for each in found]


def test_a_freeze_tells_its_days_its_cold_and_its_snow() -> None:
    """From the first to the last day at or below 28 degF; days below freezing between are counted with them."""
    weather = days([5.0, -3.0, -1.0, 2.0, -9.0, 1.0], snow_cm=[NAN, 0.0, NAN, 7.0, 5.0, 30.0])

    assert freezes(weather) == (
        Freeze(
            first_on=date(2027, 1, 11),
            coldest_on=date(2027, 1, 14),
            last_on=date(2027, 1, 14),
            air_min_c=-9.0,
            days_below_freezing=3,
            snow_depth_cm=7.0,
        ),
    )


def test_snow_that_nobody_measured_is_not_none_at_all() -> None:
    """Unknown is told as unknown."""
    assert freezes(days([-5.0]))[0].snow_depth_cm is None


@pytest.mark.parametrize(("mild_days", "count"), [(1, 1), (2, 1), (3, 2)])
def test_a_short_thaw_does_not_part_a_freeze(mild_days: int, count: int) -> None:
    """Two mild days between still join, three part."""
    assert len(freezes(days([-5.0, *[8.0] * mild_days, -6.0]))) == count


def test_three_cold_days_with_thaws_make_one() -> None:
    """Joining goes on from the last day joined."""
    assert spans(freezes(days([-5.0, 8.0, 8.0, -5.0, 8.0, 8.0, -5.0]))) == [(10, 16)]


def test_the_coldest_comes_first() -> None:
    """Equal ones in the order of time; within one the first of equally cold days."""
    found = freezes(days([-4.0, 9, 9, 9, -8.0, -8.0, 9, 9, 9, -4.0]))

    assert spans(found) == [(14, 15), (10, 10), (19, 19)]
    assert found[0].coldest_on.day == 14


@pytest.mark.parametrize(
    ("threshold_c", "fahrenheit_in_tenths_c"), [(FROST_C, 0.0), (HARD_FREEZE_C, -2.2), (DAMAGING_COLD_C, -6.7)]
)
def test_a_reading_of_just_the_threshold_counts(threshold_c: float, fahrenheit_in_tenths_c: float) -> None:
    """32, 28 and 20 degF as they stand in records kept in tenths of a degree Celsius; a tenth more does not."""
    assert len(freezes(days([fahrenheit_in_tenths_c]), threshold_c)) == 1
    assert freezes(days([fahrenheit_in_tenths_c + 0.1]), threshold_c) == ()


def test_a_day_without_a_reading_is_not_cold() -> None:
    """It counts among the days between."""
    assert spans(freezes(days([-5.0, NAN, NAN, -5.0, NAN, NAN, NAN, -4.0]))) == [(10, 13), (17, 17)]
    assert freezes(days([NAN, NAN])) == ()


@pytest.mark.parametrize("threshold_c", [28.0, -99.0, NAN])
def test_a_threshold_that_is_no_freeze_is_refused(threshold_c: float) -> None:
    """28 is surely meant in Fahrenheit."""
    with pytest.raises(OutOfRange, match="threshold_c"):
        freezes(days([0.0]), threshold_c)


@given(st.lists(st.one_of(st.just(NAN), st.floats(-20, 20)), min_size=1, max_size=60))
def test_every_cold_day_lies_in_exactly_one_freeze(lows: list[float]) -> None:
    """And no freeze begins or ends on a mild one."""
    weather = days(lows)
    found = freezes(weather)
    covered = [day for each in found for day in range(each.first_on.toordinal(), each.last_on.toordinal() + 1)]
    cold = {weather.days[at].item().toordinal() for at, low in enumerate(lows) if low <= HARD_FREEZE_C + 0.05}

    assert len(covered) == len(set(covered))
    assert cold <= set(covered)
    assert all({each.first_on.toordinal(), each.last_on.toordinal()} <= cold for each in found)
    assert [each.air_min_c for each in found] == sorted(each.air_min_c for each in found)
