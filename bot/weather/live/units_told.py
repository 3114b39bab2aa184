"""Units as services write them, turned into ours. The unit is read with every value; an unknown one is an error."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from bot.weather.live.answers import not_understood, told
from rules.units import CM_PER_INCH, f_to_c, in_to_mm

Convert = Callable[[float], float]
_KELVIN_OF_ZERO_C = 273.15
_CM_PER_FOOT = 12 * CM_PER_INCH

TO_C: Mapping[str, Convert] = {
    "degc": lambda value: value,
    "°c": lambda value: value,
    "degf": f_to_c,
    "°f": f_to_c,
    "k": lambda value: value - _KELVIN_OF_ZERO_C,
}
TO_MM: Mapping[str, Convert] = {
    "mm": lambda value: value,
    "cm": lambda value: value * 10,
    "m": lambda value: value * 1000,
    "in": in_to_mm,
    "inch": in_to_mm,
    "kg_m-2": lambda value: value,  # a kilogram of water on a square metre stands 1 mm high
}
TO_CM: Mapping[str, Convert] = {
    "mm": lambda value: value / 10,
    "cm": lambda value: value,
    "m": lambda value: value * 100,
    "in": lambda value: value * CM_PER_INCH,
    "ft": lambda value: value * _CM_PER_FOOT,
}
TO_M: Mapping[str, Convert] = {"m": lambda value: value, "ft": lambda value: value * _CM_PER_FOOT / 100}
TO_W_PER_M2: Mapping[str, Convert] = {"w/m²": lambda value: value, "w/m2": lambda value: value}


_LOWEST_M, _HIGHEST_M = -500.0, 9000.0


def likely_elevation_m(metres: float | None) -> float | None:
    """The elevation, None for a figure that stands for "not known"."""
    return metres if metres is not None and _LOWEST_M <= metres <= _HIGHEST_M else None


def converter(service: str, what: str, unit: str, known: Mapping[str, Convert]) -> Convert:
    """The conversion from a unit as written (`wmoUnit:degC`, `°C`). Raises NotUnderstood for one that is not known."""
    convert = known.get(unit.rpartition(":")[2].strip().lower())
    if convert is None:
        raise not_understood(service, f"{what} comes in the unit {told(unit) or 'none'}, which we cannot read")
    return convert
