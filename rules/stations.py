"""Which weather station speaks for a lawn, how far away it is, and how much doubt that brings."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from rules.errors import require_range
from rules.facts import stations as facts
from rules.units import KM_PER_DEGREE_LATITUDE
from rules.weather import DAY_SERIES, DailyWeather, Station, laid_on

EARTH_RADIUS_KM = math.degrees(KM_PER_DEGREE_LATITUDE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """One station as seen from a lawn.

    distance_km : along the ground [km]
    height_m : how much higher than the lawn it stands; None where either height is not known [m]
    air_sd_dc : how far the lowest air at the lawn may differ from its reading, as a standard deviation [degC]
    """

    station: Station
    distance_km: float
    height_m: float | None
    is_thermometer: bool
    air_sd_dc: float

    @property
    def weight_km(self) -> float:
        """Distance with height and the lack of a thermometer counted in: the smallest is chosen. [km]"""
        climb = abs(self.height_m or 0.0) / 100 * facts.KM_FOR_100M_HEIGHT.value
        return self.distance_km + climb + (0.0 if self.is_thermometer else facts.KM_FOR_NO_THERMOMETER.value)


def distance_km(latitude: float, longitude: float, station: Station) -> float:
    """Distance along a great circle. [degrees] -> [km] Source: haversine formula, sphere of 6,371 km."""
    one, two = math.radians(latitude), math.radians(station.latitude)
    half_north, half_east = (two - one) / 2, math.radians(station.longitude - longitude) / 2
    chord = math.sin(half_north) ** 2 + math.cos(one) * math.cos(two) * math.sin(half_east) ** 2
    return 2 * EARTH_RADIUS_KM * math.asin(min(1.0, math.sqrt(chord)))


def within_reach(
    stations: Sequence[tuple[Station, bool]], latitude: float, longitude: float, elevation_m: float | None
) -> tuple[Reach, ...]:
    """The stations whose readings may be used for a lawn, the best first.

    Parameters
    ----------
    stations : sequence of (Station, bool)
        Each with whether it is a thermometer (True) or the grid cell of a weather model (False).
    latitude, longitude : float
        Of the lawn. [degrees north, degrees east]
    elevation_m : float or None
        Of the lawn, where it is known. [m above the sea]

    Returns
    -------
    tuple of Reach
        At most `REACH_KM` away and, where heights are known, at most `REACH_HEIGHT_M` higher or lower.

    Raises
    ------
    OutOfRange
        No place on the earth.

    Source
    ------
    rules/facts/stations.py: NOAA US Climate Reference Network for the doubt by distance, else expert judgement.

    Checked
    -------
    tests/rules/test_stations.py: distances between published coordinates.
    """
    require_range("latitude", latitude, -90.0, 90.0, "degrees north")
    require_range("longitude", longitude, -180.0, 180.0, "degrees east")
    found = [_reach(station, measured, latitude, longitude, elevation_m) for station, measured in stations]
    kept = [each for each in found if _is_near(each)]
    return tuple(sorted(kept, key=lambda each: (each.weight_km, each.station.code)))


def height_near(stations: Sequence[tuple[Station, bool]], latitude: float, longitude: float) -> float | None:
    """The height of a place above the sea, as the nearest grid cell of a weather model has it; None where none is near.

    Parameters as `within_reach`. [degrees] -> [m] Thermometers say nothing of it: they stand on hills and in valleys.
    Source: `HEIGHT_HOLDS_KM`, expert judgement.
    """
    cells = [(distance_km(latitude, longitude, each), each) for each, is_thermometer in stations if not is_thermometer]
    near = [
        (km, each.elevation_m)
        for km, each in cells
        if km <= facts.HEIGHT_HOLDS_KM.value and each.elevation_m is not None
    ]
    return min(near)[1] if near else None


def _reach(
    station: Station, is_thermometer: bool, latitude: float, longitude: float, elevation_m: float | None
) -> Reach:
    known = elevation_m is not None and station.elevation_m is not None
    height_m = (station.elevation_m or 0.0) - (elevation_m or 0.0) if known else None
    km = distance_km(latitude, longitude, station)
    parts = (
        facts.AIR_SD_NEAR_DC.value,
        facts.AIR_SD_PER_KM_DC.value * km,
        facts.AIR_SD_PER_100M_DC.value * abs(height_m or 0.0) / 100,
        0.0 if is_thermometer else facts.MODEL_AIR_SD_DC.value,
    )
    return Reach(
        station=station,
        distance_km=km,
        height_m=height_m,
        is_thermometer=is_thermometer,
        air_sd_dc=math.hypot(*parts),
    )


def _is_near(reach: Reach) -> bool:
    too_high = reach.height_m is not None and abs(reach.height_m) > facts.REACH_HEIGHT_M.value
    return reach.distance_km <= facts.REACH_KM.value and not too_high


def led_by(measured: DailyWeather, model: DailyWeather) -> DailyWeather:
    """A station's short record with a weather model's days before it, and its gaps of rain, snow and sun filled.

    A station's service may keep a week only, and the ground remembers more than a month. The station's own days keep
    their air as it was read, missing days too.

    Parameters
    ----------
    measured : DailyWeather
        The station's days.
    model : DailyWeather
        The grid cell's days.

    Returns
    -------
    DailyWeather
        From the first day of either to the station's last, as the station. [degC, mm, cm, MJ/m2, m3/m3]

    Source
    ------
    Ours. How far a cell may lie from the station: `LEAD_KM`, expert judgement.

    Checked
    -------
    tests/rules/test_stations.py, by hand.
    """
    first, last = min(measured.days[0], model.days[0]), measured.days[-1]
    days = np.arange(first, last + np.timedelta64(1, "D"))
    is_its_own = days >= measured.days[0]
    series = {}
    for name in DAY_SERIES:
        own, other = (laid_on(each.days, getattr(each, name), days) for each in (measured, model))
        is_kept = is_its_own if name in _AIR_AND_GROUND else np.isfinite(own)
        series[name] = np.where(is_kept, own, other)
    return DailyWeather(station=measured.station, days=days, **series)


_AIR_AND_GROUND = frozenset({"air_min_c", "air_max_c", "air_mean_c", "soil_2in_c", "soil_4in_c"})
