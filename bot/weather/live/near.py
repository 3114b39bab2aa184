"""Distances on the globe, and coordinates as services get them."""

from __future__ import annotations

import math

from rules.units import KM_PER_DEGREE_LATITUDE

# About a kilometre: weather is no finer, and where exactly somebody lives need not leave the house.
_SENT_DECIMALS = 2


def distance_km(latitude: float, longitude: float, to_latitude: float, to_longitude: float) -> float:
    """Along a great circle."""
    here, there = math.radians(latitude), math.radians(to_latitude)
    half_north = math.sin((there - here) / 2) ** 2
    half_east = math.sin(math.radians(to_longitude - longitude) / 2) ** 2
    share = half_north + math.cos(here) * math.cos(there) * half_east
    return math.degrees(2 * math.asin(min(1.0, math.sqrt(share)))) * KM_PER_DEGREE_LATITUDE


def sent(degrees: float) -> str:
    """A coordinate as it goes out, without zeros at the end (a service answers those with a redirect)."""
    return f"{round(degrees, _SENT_DECIMALS) + 0.0:g}"
