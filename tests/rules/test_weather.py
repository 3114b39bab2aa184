"""Measured weather as pure data: what it refuses, days out of hours, and gaps that are filled and flagged."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rules.errors import NotEnoughData, OutOfRange
from rules.weather import (
    DAY_SERIES,
    HOUR_SERIES,
    Array,
    DailyWeather,
    HourlyWeather,
    Station,
    between,
    daily_of,
    filled,
    laid_on,
    runs_of,
)

NAN = np.nan
STATION = Station(code="99001", name="", latitude=31.25, longitude=-83.1, elevation_m=None, network="")


def daily(first: str = "2027-01-10", **series: list[float]) -> DailyWeather:
    count = len(next(iter(series.values())))
    values = {name: np.array(series.get(name, [NAN] * count), dtype=np.float64) for name in DAY_SERIES}
    return DailyWeather(station=STATION, days=np.datetime64(first, "D") + np.arange(count), **values)


def hourly(first: str, offset_hours: float = -5.0, **series: Array) -> HourlyWeather:
    count = len(next(iter(series.values())))
    values = {name: np.asarray(series.get(name, np.full(count, NAN)), dtype=np.float64) for name in HOUR_SERIES}
    hours = np.datetime64(first, "h") + np.arange(count)
    return HourlyWeather(station=STATION, hours=hours, utc_offset_hours=offset_hours, **values)


@pytest.mark.parametrize(
    ("series", "value"),
    [
        ("air_min_c", -60.1),
        ("air_max_c", 60.1),
        ("air_mean_c", np.inf),
        ("rain_mm", -0.1),
        ("snow_depth_cm", -1.0),
        ("soil_2in_c", -40.1),
        ("soil_4in_c", 61.0),
        ("soil_moisture_2in_fraction", 21.0),
        ("solar_mj_per_m2", 300.0),
    ],
)
def test_what_cannot_be_is_refused_with_its_day(series: str, value: float) -> None:
    """The limits of every reading; the error names series, day and range."""
    with pytest.raises(OutOfRange, match=rf"{series} on 2027-01-11"):
        daily(**{series: [NAN, value]})


def test_a_low_above_its_high_is_refused() -> None:
    """Equal is allowed, missing is no fault."""
    daily(air_min_c=[3.0, NAN], air_max_c=[3.0, 4.0])

    with pytest.raises(OutOfRange, match="air_min_c on 2027-01-10"):
        daily(air_min_c=[3.1], air_max_c=[3.0])


@pytest.mark.parametrize(
    "days",
    [
        np.array(["2027-01-10", "2027-01-12"], dtype="datetime64[D]"),
        np.array(["2027-01-11", "2027-01-10"], dtype="datetime64[D]"),
        np.array(["2027-01-10", "2027-01-10"], dtype="datetime64[D]"),
        np.array(["2027-01-10", "NaT"], dtype="datetime64[D]"),
        np.array(["2027-01-10T00", "2027-01-10T01"], dtype="datetime64[h]"),
        np.array(["2027-01-10"], dtype="datetime64[D]"),
        np.array([], dtype="datetime64[D]"),
    ],
)
def test_a_calendar_with_holes_or_of_another_length_is_refused(days: np.ndarray) -> None:
    """Consecutive days, one value each."""
    with pytest.raises(NotEnoughData):
        replace(daily(air_min_c=[0.0, 1.0]), days=days)


def test_hours_have_the_same_checks() -> None:
    """Limits, calendar and offset."""
    with pytest.raises(OutOfRange, match="air_c on 2027-01-10T01"):
        hourly("2027-01-10T00", air_c=np.array([0.0, 99.0]))
    with pytest.raises(OutOfRange, match="utc_offset_hours"):
        hourly("2027-01-10T00", offset_hours=300.0, air_c=np.array([0.0]))
    with pytest.raises(NotEnoughData):
        whole = hourly("2027-01-10T00", air_c=np.array([0.0, 1.0]))
        replace(whole, hours=whole.hours[::-1])


@pytest.mark.parametrize(("north", "east"), [(91.0, 0.0), (0.0, -181.0), (NAN, 0.0)])
def test_a_station_stands_on_the_earth(north: float, east: float) -> None:
    """Degrees north and east."""
    with pytest.raises(OutOfRange):
        Station(code="", name="", latitude=north, longitude=east, elevation_m=None, network="")


def test_days_can_be_cut_out() -> None:
    """Both ends included; none at all is an error."""
    weather = daily(air_min_c=[0.0, 1.0, 2.0, 3.0])

    assert between(weather, date(2027, 1, 11), date(2027, 1, 12)).air_min_c.tolist() == [1.0, 2.0]
    with pytest.raises(NotEnoughData, match="2027-01-10 to 2027-01-13"):
        between(weather, date(2028, 1, 1), date(2028, 1, 2))


def test_the_hour_that_ends_at_midnight_ends_its_day() -> None:
    """In Eastern standard time a day runs from the hour ending 06 UTC to the one ending 05 UTC."""
    air = np.full(48, 1.0)
    air[23], air[24] = -9.0, -5.0  # ends at local midnight; begins there

    days = daily_of(hourly("2027-01-10T06", air_c=air))

    assert [str(day) for day in days.days] == ["2027-01-10", "2027-01-11"]
    assert days.air_min_c.tolist() == [-9.0, -5.0]


def test_sums_means_and_extremes_of_a_day() -> None:
    """Rain is summed, the sun becomes energy, the rest is a mean."""
    ramp = np.arange(24.0)

    day = daily_of(
        hourly(
            "2027-01-10T06",
            air_c=ramp,
            rain_mm=np.full(24, 0.5),
            solar_w_per_m2=np.full(24, 100.0),
            snow_depth_cm=ramp,
            soil_2in_c=ramp,
            soil_4in_c=ramp + 1,
            soil_moisture_2in_fraction=np.full(24, 0.2),
        )
    )

    values = {name: float(getattr(day, name)[0]) for name in DAY_SERIES}
    assert values == pytest.approx(
        {
            "air_min_c": 0.0,
            "air_max_c": 23.0,
            "air_mean_c": 11.5,
            "rain_mm": 12.0,
            "solar_mj_per_m2": 8.64,
            "snow_depth_cm": 11.5,
            "soil_2in_c": 11.5,
            "soil_4in_c": 12.5,
            "soil_moisture_2in_fraction": 0.2,
        }
    )


@pytest.mark.parametrize(("hours_missing", "is_told"), [(6, True), (7, False)])
def test_a_day_needs_18_hours_and_the_sun_all_24(hours_missing: int, is_told: bool) -> None:
    """Each kind of reading counts by itself."""
    air, sun = np.full(24, 5.0), np.full(24, 100.0)
    air[:hours_missing] = NAN
    sun[3] = NAN

    day = daily_of(hourly("2027-01-10T06", air_c=air, solar_w_per_m2=sun, soil_2in_c=np.full(24, 8.0)))

    assert np.isfinite(day.air_min_c[0]) == is_told
    assert np.isfinite(day.air_mean_c[0]) == is_told
    assert np.isnan(day.solar_mj_per_m2[0])
    assert day.soil_2in_c[0] == 8.0


def test_pieces_of_days_at_the_ends_are_left_off() -> None:
    """A file cut in UTC begins and ends within a local day; nothing but pieces is an error."""
    days = daily_of(hourly("2027-01-10T01", air_c=np.zeros(5 + 24 + 17)))

    assert [str(day) for day in days.days] == ["2027-01-10"]
    with pytest.raises(NotEnoughData, match="no day has 18"):
        daily_of(hourly("2027-01-10T01", air_c=np.zeros(17)))


@given(
    st.lists(st.one_of(st.just(NAN), st.floats(-30, 40)), min_size=60, max_size=120),
    st.sampled_from([-8.0, -5.0, 0.0, 5.5, 13.0]),
)
def test_days_out_of_hours_agree_with_plain_lists(air: list[float], offset_hours: float) -> None:
    """The same days worked out one hour at a time."""
    weather = hourly("2027-01-10T00", offset_hours, air_c=np.array(air))
    by_day: dict[str, list[float]] = {}
    for at, value in enumerate(air):
        minutes = round((at + offset_hours - 0.5) * 60)
        day = str(np.datetime64("2027-01-10T00:00", "m") + np.timedelta64(minutes, "m"))[:10]
        by_day.setdefault(day, []).append(value)

    days = daily_of(weather)

    for at, day in enumerate(days.days):
        known = [value for value in by_day[str(day)] if value == value]
        if len(known) < 18:
            assert np.isnan(days.air_min_c[at])
        else:
            assert (days.air_min_c[at], days.air_max_c[at]) == (min(known), max(known))
            assert days.air_mean_c[at] == pytest.approx(sum(known) / len(known), abs=1e-9)


def test_short_gaps_are_filled_by_a_line_and_flagged() -> None:
    """Three days are still short; nothing but the air's low and high is filled."""
    weather = daily(
        air_min_c=[0.0, NAN, NAN, NAN, -8.0, -1.0],
        air_max_c=[10.0, 9.0, NAN, 5.0, 4.0, 3.0],
        rain_mm=[NAN, 0.0, 0.0, 0.0, 0.0, 0.0],
    )

    whole, is_filled = filled(weather)

    assert whole.air_min_c.tolist() == [0.0, -2.0, -4.0, -6.0, -8.0, -1.0]
    assert whole.air_max_c.tolist() == [10.0, 9.0, 7.0, 5.0, 4.0, 3.0]
    assert is_filled.tolist() == [False, True, True, True, False, False]
    assert np.isnan(whole.rain_mm[0])
    assert np.isnan(weather.air_min_c[1])  # the readings themselves stay as they were


def test_a_filled_low_stays_below_the_measured_high() -> None:
    """A line that would cross the day's own reading stops at it."""
    whole, _ = filled(daily(air_min_c=[10.0, NAN, 10.0], air_max_c=[15.0, 2.0, 15.0]))
    other, _ = filled(daily(air_min_c=[0.0, 12.0, 0.0], air_max_c=[5.0, NAN, 5.0]))

    assert whole.air_min_c[1] == 2.0
    assert other.air_max_c[1] == 12.0


@pytest.mark.parametrize(
    ("low", "span"),
    [
        ([0.0, NAN, NAN, NAN, NAN, 0.0], "from 2027-01-11 to 2027-01-14"),
        ([NAN, 0.0, 0.0], "from 2027-01-10 to 2027-01-10"),
        ([0.0, 0.0, NAN], "from 2027-01-12 to 2027-01-12"),
        ([NAN, NAN], "from 2027-01-10 to 2027-01-11"),
    ],
)
def test_longer_gaps_and_those_at_the_ends_are_refused_by_name(low: list[float], span: str) -> None:
    """A line needs two ends that are near each other."""
    with pytest.raises(NotEnoughData, match=f"air_min_c is missing {span}"):
        filled(daily(air_min_c=low, air_max_c=[20.0] * len(low)))


def test_runs_are_counted_from_end_to_end() -> None:
    """None, one at each end, and all of it."""
    assert runs_of(np.zeros(3, dtype=bool)) == []
    assert runs_of(np.array([True, False, True, True])) == [(0, 0), (2, 3)]
    assert runs_of(np.ones(2, dtype=bool)) == [(0, 1)]


def test_values_are_laid_on_other_days_with_holes_where_there_are_none() -> None:
    """Before, within and after; and where none of the days is theirs."""
    own, values = np.arange("2027-01-10", "2027-01-13", dtype="datetime64[D]"), np.array([1.0, 2.0, 3.0])
    wider = np.arange("2027-01-09", "2027-01-15", dtype="datetime64[D]")
    np.testing.assert_array_equal(laid_on(own, values, wider), [np.nan, 1.0, 2.0, 3.0, np.nan, np.nan])
    np.testing.assert_array_equal(laid_on(own, values, wider[-2:]), [np.nan, np.nan])
