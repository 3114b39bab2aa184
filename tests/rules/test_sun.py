"""The sun against an independent library and printed values."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest
from astral import LocationInfo
from astral.sun import sun

from rules.errors import OutOfRange
from rules.sun import above_the_air_mj_m2, day_length_hours, declination_radians


@pytest.mark.parametrize("latitude", [25.0, 31.2, 36.1, 40.0])
@pytest.mark.parametrize("month", range(1, 13))
def test_day_length_agrees_with_astral_within_a_minute(latitude: float, month: int) -> None:
    """Sunrise to sunset on three days of each month, 2021 to 2031."""
    for year in (2021, 2024, 2031):
        for number in (1, 11, 21):
            day = date(year, month, number)
            there = LocationInfo("", "", "UTC", latitude, 0.0)
            times = sun(there.observer, date=day)
            theirs = (times["sunset"] - times["sunrise"]).total_seconds() / 60
            ours = float(day_length_hours(np.array([day], dtype="datetime64[D]"), latitude)[0]) * 60

            assert ours == pytest.approx(theirs, abs=1.0)


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
