"""Errors of the pure rules. They mean a caller passed something impossible, never that a homeowner typed oddly."""

from __future__ import annotations


class OutOfRange(ValueError):
    """A number lies outside the range in which the formula means anything."""

    def __init__(self, name: str, value: float, low: float, high: float, unit: str) -> None:
        super().__init__(f"{name} is {value:g} {unit}; it must lie between {low:g} and {high:g} {unit}".rstrip())
        self.name = name
        self.value = value
        self.low = low
        self.high = high
        self.unit = unit


class NotEnoughData(ValueError):
    """A result was asked for that the given facts cannot carry."""


def require_range(name: str, value: float, low: float, high: float, unit: str) -> float:
    """Return `value` unchanged when low <= value <= high; raise OutOfRange otherwise (also for not-a-number)."""
    if not low <= value <= high:
        raise OutOfRange(name, value, low, high, unit)
    return value
