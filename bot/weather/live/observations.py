"""What stations of the US National Weather Service reported, gathered into hours."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from bot.weather.live.hours import Times, in_hours, instants
from bot.weather.live.national_bodies import Quantity, Reading
from bot.weather.live.units_told import TO_C, TO_CM, TO_MM, Convert, converter
from rules.facts.weather import AIR_C, HOUR_RAIN_MM, SNOW_CM
from rules.weather import Array
from rules.weather_checks import without_impossible

# MADIS descriptors (madis-data.cprk.ncep.noaa.gov/doc/qc_info.txt): rejected, questioned, found bad by a person; and
# interpolated or replaced by an estimate, which is no measurement of this station.
NOT_TAKEN = frozenset("XQBIW")
Places = NDArray[np.int64]


def series_of(service: str, readings: Sequence[Reading], hours: Times) -> tuple[dict[str, Array], int]:
    """Air, rain and snow of each hour, and how many readings could not be true.

    Air is the mean of the hour's reports, snow their mean. Rain is the most of them: reports within an hour count from
    the same full one, so that they grow. An hour without a report is missing, also of rain: stations leave the figure
    out when nothing fell, and also when the gauge is broken.
    """
    by_instant = {each.at: each for each in readings}
    kept = list(by_instant.values())
    place, inside = in_hours(instants(list(by_instant)), hours)
    wanted = (
        ("air_c", [each.temperature for each in kept], TO_C, AIR_C, _means),
        ("rain_mm", [each.rain_last_hour for each in kept], TO_MM, HOUR_RAIN_MM, _most),
        ("snow_depth_cm", [each.snow_depth for each in kept], TO_CM, SNOW_CM, _means),
    )
    result, impossible = {}, 0
    for name, quantities, units, limit, gather in wanted:
        values = np.array([_value(service, name, each, units) for each in quantities], dtype=np.float64)
        values, found = without_impossible(values, limit)
        impossible += found
        result[name] = gather(place, np.where(inside, values, np.nan), len(hours))
    return result, impossible


def _value(service: str, what: str, quantity: Quantity | None, units: Mapping[str, Convert]) -> float:
    """In our unit; not-a-number for none, or one that is doubted. Null is missing, never zero."""
    if quantity is None or quantity.value is None:
        return np.nan
    quality = (quantity.quality or "").rpartition(":")[2]
    convert = converter(service, what, quantity.unit or "", units)
    return np.nan if quality in NOT_TAKEN else convert(quantity.value)


def _means(place: Places, values: Array, count: int) -> Array:
    known = np.isfinite(values)
    total = np.bincount(place[known], weights=values[known], minlength=count)
    number = np.bincount(place[known], minlength=count)
    return np.where(number > 0, total / np.maximum(number, 1), np.nan)


def _most(place: Places, values: Array, count: int) -> Array:
    most = np.full(count, -np.inf)
    known = np.isfinite(values)
    np.maximum.at(most, place[known], values[known])
    return np.where(np.isfinite(most), most, np.nan)
