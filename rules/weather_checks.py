"""Hourly readings that come in from outside: what cannot be trusted is taken out and counted, short gaps are bridged.

Nothing is corrected: a reading is kept or goes missing, so that what is told afterwards rests on what was read.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from rules.errors import NotEnoughData
from rules.facts import weather_checks as facts
from rules.facts.fact import FactRange
from rules.facts.weather import HOUR_LIMITS
from rules.weather import Array, runs_of

# What changes little by little, so that standing still, leaping and a straight line mean something.
AIR_SERIES: tuple[str, ...] = ("air_c",)
SOIL_SERIES: tuple[str, ...] = ("soil_2in_c", "soil_4in_c")


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubts:
    """How many hourly values were taken out, and why; and how many gaps were bridged.

    impossible : outside what can be at all
    stuck : the same figure for too long
    leaping : too far from the hour before or after
    bridged : put in by a straight line
    """

    impossible: int = 0
    stuck: int = 0
    leaping: int = 0
    bridged: int = 0

    def __add__(self, other: Doubts) -> Doubts:
        return Doubts(**{each.name: getattr(self, each.name) + getattr(other, each.name) for each in fields(self)})

    @property
    def taken_out(self) -> int:
        """Values that were there and are not used."""
        return self.impossible + self.stuck + self.leaping


def checked(series: Mapping[str, Array]) -> tuple[dict[str, Array], Doubts]:
    """Hourly series with the doubtful values missing and short gaps bridged, and how many there were.

    Every series loses what lies outside its limits. Air and soil temperatures also lose what stands still and what
    leaps; then their gaps of up to 3 hours get a straight line. Rain, snow and sun are never bridged: a shower or a
    cloud in between would be made up or lost.

    Parameters
    ----------
    series : mapping of name to array (n_hours,)
        Consecutive hours, named as in HourlyWeather; not-a-number is missing. [degC, mm, cm, W/m2, m3/m3]

    Returns
    -------
    tuple
        The same names with checked values, and the counts over all of them.

    Raises
    ------
    NotEnoughData
        A series of another name than HourlyWeather's.

    Source
    ------
    facts.MOST_CHANGE_DC_PER_HOUR (Univ. of Washington), LONGEST_SAME_HOURS, ZERO_CURTAIN_C (expert judgement),
    LONGEST_BRIDGE_HOURS (common practice); limits in facts/weather.py.

    Checked
    -------
    tests/rules/test_weather_checks.py: by hand, and by properties over drawn series.
    """
    result, doubts = {}, Doubts()
    for name, values in series.items():
        if name not in HOUR_LIMITS:
            raise NotEnoughData(f"there is no hourly reading called {name}: known are {', '.join(HOUR_LIMITS)}")
        kept, impossible = without_impossible(values, HOUR_LIMITS[name])
        doubts += Doubts(impossible=impossible)
        if name in AIR_SERIES + SOIL_SERIES:
            kept, found = _steady(kept, holds_at_zero=name in SOIL_SERIES)
            doubts += found
        result[name] = kept
    return result, doubts


def _steady(values: Array, *, holds_at_zero: bool) -> tuple[Array, Doubts]:
    values, stuck = without_stuck(values, facts.ZERO_CURTAIN_C if holds_at_zero else None)
    values, leaping = without_leaps(values)
    values, bridged_count = bridged(values)
    return values, Doubts(stuck=stuck, leaping=leaping, bridged=bridged_count)


def without_impossible(values: Array, limit: FactRange) -> tuple[Array, int]:
    """Values outside the limit are missing afterwards; and how many. Source: the limit's own."""
    return _without(values, ~np.isnan(values) & ~((values >= limit.low) & (values <= limit.high)))


def without_stuck(values: Array, may_hold: FactRange | None = None) -> tuple[Array, int]:
    """Values that repeat exactly for more than 12 hours are missing afterwards, the whole run; and how many.

    A gap ends a run. Inside `may_hold` standing still is no fault (soil at the freezing point).
    Source: facts.LONGEST_SAME_HOURS (expert judgement).
    """
    stuck = np.zeros(values.shape, dtype=np.bool_)
    for first, last_but_one in runs_of(values[1:] == values[:-1]):
        last = last_but_one + 1
        excused = may_hold is not None and may_hold.low <= values[first] <= may_hold.high
        stuck[first : last + 1] = last - first + 1 > facts.LONGEST_SAME_HOURS.value and not excused
    return _without(values, stuck)


def without_leaps(values: Array) -> tuple[Array, int]:
    """Values more than 15 Celsius degrees from the next hour are missing afterwards; and how many.

    One hour that stands out from both its neighbours goes alone. Where one leap stays, nobody can say which side is
    right, so both hours go; a true front loses two hours, which a line bridges. Source: facts.MOST_CHANGE_DC_PER_HOUR.
    """
    before, after = _leaps(values)
    kept, spikes = _without(values, (before != 0) & (after == -before))
    before, after = _leaps(kept)
    kept, sides = _without(kept, (before != 0) | (after != 0))
    return kept, spikes + sides


def _leaps(values: Array) -> tuple[Array, Array]:
    """For each hour the leap from the one before and to the one after: 1 up, -1 down, 0 none. Missing is no leap."""
    change = np.diff(values, prepend=np.nan, append=np.nan)
    leap = np.where(np.abs(change) > facts.MOST_CHANGE_DC_PER_HOUR.value, np.sign(change), 0.0)
    return leap[:-1], leap[1:]


def bridged(values: Array) -> tuple[Array, int]:
    """Gaps of up to 3 hours between two readings get a straight line; and how many hours. Longer ones stay missing.

    Source: facts.LONGEST_BRIDGE_HOURS (common practice).
    """
    result, count, last = values.copy(), 0, len(values) - 1
    for first, end in runs_of(np.isnan(values)):
        hours = end - first + 1
        if first == 0 or end == last or hours > facts.LONGEST_BRIDGE_HOURS.value:
            continue
        result[first : end + 1] = np.linspace(values[first - 1], values[end + 1], hours + 2)[1:-1]
        count += hours
    return result, count


def _without(values: Array, gone: NDArray[np.bool_]) -> tuple[Array, int]:
    return np.where(gone, np.nan, values), int(gone.sum())
