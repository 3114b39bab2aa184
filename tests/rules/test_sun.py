"""The sun against an independent library and printed values."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest
from astral import Observer
from astral.sun import elevation, noon, sun

from rules.errors import OutOfRange
from rules.sun import above_the_air_mj_m2, day_length_hours, declination_radians

LATITUDES = [18.0, 21.5, 25.0, 28.0, 31.2, 34.0, 36.1, 40.0, 45.0]


def days_of(year: int) -> list[date]:
    """Every fourth day, the last ones of the year with them."""
    return [date(year, 1, 1) + timedelta(days=number) for number in (*range(0, 364, 4), 364)]


@pytest.mark.parametrize("latitude", LATITUDES)
@pytest.mark.parametrize("year", [2021, 2024, 2027, 2049])
def test_day_length_agrees_with_astral_within_a_minute(latitude: float, year: int) -> None:
    """Sunrise to sunset all through the year, from 18 to 45 degrees north (measured: 0.73 minutes at most)."""
    days = days_of(year)
    times = [sun(Observer(latitude, 0.0), date=day) for day in days]
    theirs = [(each["sunset"] - each["sunrise"]).total_seconds() / 60 for each in times]

    ours = day_length_hours(np.array(days, dtype="datetime64[D]"), latitude) * 60

    assert ours == pytest.approx(np.array(theirs), abs=1.0)


@pytest.mark.parametrize("latitude", LATITUDES)
def test_the_height_of_the_noon_sun_agrees_with_astral(latitude: float) -> None:
    """The declination puts the sun at noon within 0.03 degrees (measured: 0.012)."""
    days = days_of(2027)
    observer = Observer(latitude, 0.0)
    theirs = [elevation(observer, noon(observer, date=day), with_refraction=False) for day in days]

    ours = 90 - np.abs(latitude - np.degrees(declination_radians(np.array(days, dtype="datetime64[D]"))))

    assert ours == pytest.approx(np.array(theirs), abs=0.03)


def test_the_sun_crosses_the_equator_when_it_should() -> None:
    """Equinox and solstice of 2027: 0 and 23.4 degrees."""
    days = np.array(["2027-03-20", "2027-06-21", "2027-12-21"], dtype="datetime64[D]")
    degrees = np.degrees(declination_radians(days))

    assert degrees[0] == pytest.approx(0, abs=0.3)
    assert degrees[1] == pytest.approx(23.43, abs=0.02)
    assert degrees[2] == pytest.approx(-23.43, abs=0.02)


def test_energy_above_the_air_matches_the_printed_example() -> None:
    """FAO-56 example 8 (from memory): 3 September at 20 degrees south is 32.2 MJ/m2."""
    september = np.array(["2026-09-03"], dtype="datetime64[D]")

    assert float(above_the_air_mj_m2(september, -20.0)[0]) == pytest.approx(32.2, abs=0.3)


def test_the_poles_are_refused() -> None:
    """No lawn of ours lies there."""
    with pytest.raises(OutOfRange):
        day_length_hours(np.array(["2027-01-01"], dtype="datetime64[D]"), 80.0)
