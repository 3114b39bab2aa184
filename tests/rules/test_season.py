"""Dates of a spring: the built-in table against published station dates and measured soil, and the waiting gates."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rules.grasses import GrassCode
from rules.season import Season, SeasonDates, is_coastal, judging_warm_days, season_of, spring_year

FREEZE = date(2027, 1, 16)
WITHIN = timedelta(days=14)


def spring(latitude: float, longitude: float, code: GrassCode = GrassCode.ST_AUGUSTINE) -> Season:
    return season_of(latitude=latitude, longitude=longitude, code=code, freeze_on=FREEZE)


# Dates after which a 32 F night has an even chance, as printed in a reprint of NOAA station normals
# (yesitsme2.tripod.com/frostdates.html): town, latitude, longitude, last, first.
NORMALS = (
    ("Mobile AL", 30.69, -88.04, (2, 27), (11, 26)),
    ("Pine Bluff AR", 34.23, -92.00, (3, 19), (11, 8)),
    ("Tampa FL", 27.95, -82.46, (1, 28), None),
    ("Athens GA", 33.96, -83.38, (3, 28), (11, 8)),
    ("Savannah GA", 32.08, -81.09, (3, 10), (11, 15)),
    ("Lexington KY", 38.05, -84.50, (4, 17), (10, 25)),
    ("Monroe LA", 32.51, -92.12, (3, 9), (11, 7)),
    ("New Orleans LA", 29.95, -90.07, (2, 20), (12, 5)),
    ("Columbus MS", 33.50, -88.43, (3, 27), (10, 29)),
    ("Vicksburg MS", 32.35, -90.88, (3, 13), (11, 18)),
    ("Topeka KS", 39.05, -95.68, (4, 21), (10, 14)),
)
# The same chance at cooperative stations, from NOAA probability tables as reprinted by seed sowing charts.
STATIONS = (
    ("Tifton GA", 31.45, -83.51, (3, 2)),
    ("Brooklet GA", 32.38, -81.66, (3, 9)),
    ("Crystal Springs MS", 31.99, -90.36, (3, 13)),
    ("Fitzgerald GA", 31.71, -83.25, (2, 28)),
    ("Midville GA", 32.82, -82.23, (3, 14)),
    ("Wichita Falls TX", 33.91, -98.49, (3, 27)),
)


@pytest.mark.parametrize(("town", "latitude", "longitude", "last"), [(t, a, b, c) for t, a, b, c, _ in NORMALS])
def test_last_frost_agrees_with_station_normals(
    town: str, latitude: float, longitude: float, last: tuple[int, int]
) -> None:
    """The table's mean last frost lies within the two weeks it is told with."""
    assert abs(spring(latitude, longitude).last_frost_on - date(2027, *last)) <= WITHIN, town


@pytest.mark.parametrize(("town", "latitude", "longitude", "last"), STATIONS)
def test_last_frost_agrees_with_probability_tables(
    town: str, latitude: float, longitude: float, last: tuple[int, int]
) -> None:
    """The same against stations of the coastal plain and the southern plains."""
    assert abs(spring(latitude, longitude).last_frost_on - date(2027, *last)) <= WITHIN, town


@pytest.mark.parametrize(
    ("town", "latitude", "longitude", "first"), [(t, a, b, d) for t, a, b, _, d in NORMALS if d is not None]
)
def test_first_fall_frost_agrees_with_station_normals(
    town: str, latitude: float, longitude: float, first: tuple[int, int]
) -> None:
    """The first frost of autumn, for planting windows, lies within two weeks too."""
    assert abs(spring(latitude, longitude).first_fall_frost_on - date(2027, *first)) <= WITHIN, town


def test_warm_soil_at_griffin_georgia_agrees_with_what_was_measured() -> None:
    """Waltz, Univ. of Georgia 2019: April mean 64.1 F at 4 in at Griffin; five of the last fourteen days below 65."""
    assert date(2027, 4, 10) - WITHIN <= spring(33.26, -84.28).warm_soil_on <= date(2027, 4, 24) + WITHIN


@pytest.mark.parametrize(
    ("town", "latitude", "longitude", "coastal"),
    [
        ("Brunswick GA", 31.15, -81.49, True),
        ("Waycross GA", 31.21, -82.35, False),
        ("Mobile AL", 30.69, -88.04, True),
        ("Tallahassee FL", 30.44, -84.28, True),
        ("Galveston TX", 29.30, -94.80, True),
        ("Austin TX", 30.27, -97.74, False),
        ("Charleston SC", 32.78, -79.93, True),
        ("Raleigh NC", 35.78, -78.64, False),
        ("Atlanta GA", 33.75, -84.39, False),
    ],
)
def test_coast_or_inland(town: str, latitude: float, longitude: float, coastal: bool) -> None:
    """Within 30 miles of the Gulf or the Atlantic is coast."""
    assert is_coastal(latitude, longitude) is coastal, town


def test_bermuda_and_zoysia_wait_two_weeks_longer() -> None:
    """42 warm days, bermuda and zoysia 56."""
    assert {code: judging_warm_days(code) for code in GrassCode} == {
        code: 56 if code in (GrassCode.BERMUDA, GrassCode.ZOYSIA) else 42 for code in GrassCode
    }


def test_nothing_is_judged_before_june_in_the_upper_south() -> None:
    """Even with a date from an operator that would come earlier."""
    early = SeasonDates(warm_soil_on=date(2027, 4, 1))

    raleigh = season_of(latitude=35.78, longitude=-78.64, code=GrassCode.ST_AUGUSTINE, freeze_on=FREEZE, told=early)

    assert raleigh.judging_on == date(2027, 6, 1)


def test_an_operators_dates_win_over_the_table() -> None:
    """Told dates are used as they are, without the two weeks on top, and no longer told as about."""
    told = SeasonDates(last_frost_on=date(2027, 3, 28), warm_soil_on=date(2027, 4, 5))

    season = season_of(latitude=31.2, longitude=-81.5, code=GrassCode.CENTIPEDE, freeze_on=FREEZE, told=told)

    assert (season.frost_gate_on, season.warm_soil_on) == (date(2027, 3, 28), date(2027, 4, 5))
    assert season.judging_on == date(2027, 4, 5) + timedelta(days=42)
    assert not season.is_about


def test_a_freeze_before_new_year_belongs_to_the_coming_spring() -> None:
    """October to December belong to the next year; leap days are ordinary days."""
    assert [spring_year(day) for day in (date(2026, 12, 24), date(2027, 3, 2), date(2028, 2, 29))] == [
        2027,
        2027,
        2028,
    ]


@given(st.floats(26, 40), st.floats(-106, -76), st.sampled_from(list(GrassCode)))
def test_the_dates_of_a_spring_are_in_order(latitude: float, longitude: float, code: GrassCode) -> None:
    """Frost gate after the mean frost; growth, four weeks, judging, likely dead in this order."""
    season = spring(latitude, longitude, code)

    assert season.last_frost_on <= season.frost_gate_on
    assert season.warm_soil_on < season.test_again_on < season.judging_on < season.likely_dead_on
    assert (season.judging_on - season.warm_soil_on).days >= judging_warm_days(code)
    assert season.judging_on < season.first_fall_frost_on


@given(st.floats(26, 39), st.floats(0.2, 1), st.floats(-100, -78))
def test_spring_never_comes_earlier_further_north(latitude: float, north: float, longitude: float) -> None:
    """Inland, a place further north never warms earlier."""
    south, further = spring(latitude, longitude), spring(latitude + north, longitude)

    assert further.warm_soil_on >= south.warm_soil_on - timedelta(days=3)
