"""The only conversion factors in the project.

Temperatures and differences of temperatures are kept apart: `_c`/`_f` are temperatures, `_dc`/`_df` differences.
Lengths on a mower, areas and fertilizer stay in the units in which the trade's figures and laws are written
(inches, square feet, pounds per 1,000 square feet); physics is in SI.
"""

from __future__ import annotations

MM_PER_INCH = 25.4  # exact, international yard and pound agreement of 1959
CM_PER_INCH = 2.54
FEET_PER_METRE = 1 / 0.3048  # exact, same agreement
SQFT_PER_M2 = FEET_PER_METRE**2
SQFT_PER_ACRE = 43_560.0  # exact by definition of the acre
KG_PER_LB = 0.45359237  # exact, same agreement
LITRES_PER_GALLON = 3.785411784  # exact, US liquid gallon of 231 cubic inches
KM_PER_MILE = 1.609344  # exact
KM_PER_DEGREE_LATITUDE = 111.2  # one degree on a sphere of 6,371 km
METRES_PER_KM = 1000.0  # exact
JOULES_PER_MJ = 1e6  # exact
SECONDS_PER_HOUR = 3600.0  # exact
HOURS_PER_DAY = 24
DAYS_PER_WEEK = 7
LB_PER_1000_SQFT_IN_G_PER_M2 = KG_PER_LB * 1000 / (1000 / SQFT_PER_M2)


def f_to_c(temperature_f: float) -> float:
    """Temperature in degrees Celsius from degrees Fahrenheit. [degF] -> [degC]"""
    return (temperature_f - 32.0) / 1.8


def c_to_f(temperature_c: float) -> float:
    """Temperature in degrees Fahrenheit from degrees Celsius. [degC] -> [degF]"""
    return temperature_c * 1.8 + 32.0


def dc_to_df(difference_dc: float) -> float:
    """Difference of temperatures in Fahrenheit degrees from Celsius degrees (no offset of 32)."""
    return difference_dc * 1.8


def in_to_mm(length_in: float) -> float:
    """Length in millimetres from inches."""
    return length_in * MM_PER_INCH


def m2_to_sqft(area_m2: float) -> float:
    """Area in square feet from square metres."""
    return area_m2 * SQFT_PER_M2


def sqft_to_m2(area_sqft: float) -> float:
    """Area in square metres from square feet."""
    return area_sqft / SQFT_PER_M2


def lb_to_kg(mass_lb: float) -> float:
    """Mass in kilograms from pounds avoirdupois."""
    return mass_lb * KG_PER_LB


def gal_to_l(volume_gal: float) -> float:
    """Volume in litres from US gallons."""
    return volume_gal * LITRES_PER_GALLON
