"""Where the sun stands and what it brings: declination, day length, energy above the air."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from rules.errors import require_range
from rules.facts import soil as facts
from rules.units import HOURS_PER_DAY

Array = NDArray[np.float64]
Days = NDArray[np.datetime64]

_EPOCH = np.array("2000-01-01", dtype="datetime64[D]")  # its noon is where the almanac counts from
_MINUTES_A_DAY = float(np.timedelta64(1, "D") / np.timedelta64(1, "m"))


def day_number(days: Days) -> Array:
    """Days since 1 January 1970. [date] -> [days] Calendar."""
    return days.astype("datetime64[D]").astype(np.int64).astype(np.float64)


def day_of_year(days: Days) -> Array:
    """Days since the last 1 January. [date] -> [days], 0 to 365. Calendar."""
    return day_number(days) - day_number(days.astype("datetime64[Y]").astype("datetime64[D]"))


def declination_radians(days: Days) -> Array:
    """Angle of the sun over the equator at noon of each day. [date] -> [radians], within 0.02 degrees until 2050.

    Source: Astronomical Almanac, low-precision formulas (from memory). Checked: against astral in tests.
    """
    since = day_number(days) - day_number(_EPOCH)
    anomaly = np.radians(facts.SUN_ANOMALY_DEGREES.value + facts.SUN_ANOMALY_A_DAY_DEGREES.value * since)
    longitude = np.radians(
        facts.SUN_MEAN_LONGITUDE_DEGREES.value
        + facts.SUN_MEAN_LONGITUDE_A_DAY_DEGREES.value * since
        + facts.SUN_CENTRE_DEGREES.value * np.sin(anomaly)
        + facts.SUN_CENTRE_TWICE_DEGREES.value * np.sin(2 * anomaly)
    )
    tilt = np.radians(facts.ECLIPTIC_DEGREES.value)
    return np.asarray(np.arcsin(np.sin(tilt) * np.sin(longitude)))


def _north_radians(latitude: float | Array) -> Array:
    for edge in (np.min(latitude), np.max(latitude)):
        require_range("latitude", float(edge), -60.0, 60.0, "degrees north")
    return np.asarray(np.radians(latitude))


def day_length_hours(days: Days, latitude: float | Array) -> Array:
    """From sunrise to sunset, upper limb and refraction counted. [date; degrees north -60..60] -> [h].

    Raises OutOfRange beyond. Source: spherical geometry. Checked: within a minute of astral.
    """
    north = _north_radians(latitude)
    sun = declination_radians(days)
    altitude = np.radians(facts.SUNRISE_ALTITUDE_DEGREES.value)
    cosine = (np.sin(altitude) - np.sin(north) * np.sin(sun)) / (np.cos(north) * np.cos(sun))
    return np.asarray(HOURS_PER_DAY / np.pi * np.arccos(np.clip(cosine, -1.0, 1.0)))


def above_the_air_mj_m2(days: Days, latitude: float | Array) -> Array:
    """Energy of the sun on a level square metre above the air, a day. [date; degrees north -60..60] -> [MJ/m2/day].

    Raises OutOfRange beyond. Source: FAO Irrigation and Drainage Paper 56, eq. 21 (from memory).
    """
    north = _north_radians(latitude)
    sun = declination_radians(days)
    sunset = np.arccos(np.clip(-np.tan(north) * np.tan(sun), -1.0, 1.0))
    year_part = 2 * np.pi * day_of_year(days) / facts.DAYS_A_YEAR.value
    distance = 1 + facts.SUN_DISTANCE_SWING.value * np.cos(year_part)
    height = sunset * np.sin(north) * np.sin(sun) + np.cos(north) * np.cos(sun) * np.sin(sunset)
    return np.asarray(_MINUTES_A_DAY / np.pi * facts.SOLAR_CONSTANT_MJ_M2_MINUTE.value * distance * height)
