"""The freezes in a station's days: runs of cold days, when each was coldest, how cold, and what snow lay."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import numpy as np

from rules.errors import require_range
from rules.facts import weather as facts
from rules.units import f_to_c
from rules.weather import DailyWeather, runs_of

FROST_C = f_to_c(facts.FROST_F.value)
HARD_FREEZE_C = f_to_c(facts.HARD_FREEZE_F.value)
DAMAGING_COLD_C = f_to_c(facts.DAMAGING_COLD_F.value)


@dataclass(frozen=True, slots=True, kw_only=True)
class Freeze:
    """One freeze, from its first to its last day at or below the threshold.

    coldest_on : the day of the lowest air (the first of several)
    air_min_c : that lowest air [degC]
    days_below_freezing : days from first to last whose lowest was below freezing
    snow_depth_cm : deepest snow lying on any of these days [cm]; None where it was not measured
    """

    first_on: date
    coldest_on: date
    last_on: date
    air_min_c: float
    days_below_freezing: int
    snow_depth_cm: float | None


def freezes(daily: DailyWeather, threshold_c: float = HARD_FREEZE_C) -> tuple[Freeze, ...]:
    """The freezes found, the coldest first.

    Days whose lowest air was at or below the threshold, joined when at most 2 other days lie between. A day without a
    reading is not cold, so fill gaps first where that matters. Readings count as kept in tenths of a degree Celsius.

    Parameters
    ----------
    daily : DailyWeather
        The station's days. [degC, cm]
    threshold_c : float
        Lowest air that makes a day count: FROST_C, HARD_FREEZE_C, DAMAGING_COLD_C or another. [degC], -60..10

    Returns
    -------
    tuple of Freeze
        Coldest first; equally cold ones in the order of time. Empty when it never was that cold.

    Raises
    ------
    OutOfRange
        The threshold is no freeze.

    Source
    ------
    facts.FROST_F, HARD_FREEZE_F (common practice), DAMAGING_COLD_F, MILD_DAYS_BETWEEN (expert judgement).

    Checked
    -------
    tests/rules/test_freezes.py, by hand.
    """
    require_range("threshold_c", threshold_c, -60.0, 10.0, "degC")
    cold = daily.air_min_c <= threshold_c + facts.RECORDS_DC.value / 2
    found = [_freeze(daily, first, last) for first, last in _joined(runs_of(cold))]
    return tuple(sorted(found, key=lambda each: (each.air_min_c, each.first_on)))


def _joined(runs: list[tuple[int, int]]) -> list[tuple[int, int]]:
    """Runs with a short thaw between them as one."""
    joined: list[tuple[int, int]] = []
    for first, last in runs:
        if joined and first - joined[-1][1] - 1 <= facts.MILD_DAYS_BETWEEN.value:
            joined[-1] = (joined[-1][0], last)
        else:
            joined.append((first, last))
    return joined


def _freeze(daily: DailyWeather, first: int, last: int) -> Freeze:
    within = slice(first, last + 1)
    air_c, snow_cm = daily.air_min_c[within], daily.snow_depth_cm[within]
    measured_cm = snow_cm[np.isfinite(snow_cm)]
    return Freeze(
        first_on=_date(daily.days[first]),
        coldest_on=_date(daily.days[first + int(np.nanargmin(air_c))]),
        last_on=_date(daily.days[last]),
        air_min_c=float(np.nanmin(air_c)),
        days_below_freezing=int(np.count_nonzero(air_c < FROST_C)),
        snow_depth_cm=float(measured_cm.max()) if len(measured_cm) else None,
    )


def _date(day: np.datetime64) -> date:
    return date.fromisoformat(str(day))
