"""Growing degree days: how warm a day was above a base. A soft pace for follow-up, never a gate."""

from __future__ import annotations

import math
from collections.abc import Iterable

from rules.errors import NotEnoughData, require_range
from rules.facts import degree_days as facts
from rules.units import dc_to_df, f_to_c

_COLDEST_C = -100.0
_HOTTEST_C = 100.0


def daily_degree_days_dc(max_c: float, min_c: float, base_c: float = facts.BASE_GROWTH_C.value) -> float:
    """Degree days of one day by the simple average: mean of highest and lowest less the base, never below 0. [degC d]

    Parameters
    ----------
    max_c, min_c : float
        Highest and lowest of the day, air or soil. [degC] -100 to 100, max_c at least min_c.
    base_c : float
        Below it nothing grows. [degC]

    Returns
    -------
    float
        Celsius degree days. [degC d] 0 or more.

    Raises
    ------
    OutOfRange
        A temperature outside its range, or a highest below the lowest.

    Source
    ------
    Purdue Univ. (Patton), what is a growing degree day: the simple average, days below the base count 0.

    Checked
    -------
    tests/rules/published/degree_days.csv, exactly.
    """
    for name, value in (("max_c", max_c), ("base_c", base_c)):
        require_range(name, value, _COLDEST_C, _HOTTEST_C, "degC")
    require_range("min_c", min_c, _COLDEST_C, max_c, "degC")
    return max(0.0, 0.5 * (max_c + min_c) - base_c)


def daily_degree_days_df(max_f: float, min_f: float, base_f: float = facts.BASE_AIR_F.value) -> float:
    """The same in Fahrenheit degree days, as turf advice prints them. [degF in, degF d out] Base 50 F unless given."""
    return dc_to_df(daily_degree_days_dc(f_to_c(max_f), f_to_c(min_f), f_to_c(base_f)))


def degree_day_sum_dc(days_c: Iterable[tuple[float, float]], base_c: float = facts.BASE_GROWTH_C.value) -> float:
    """Sum over days given as (highest, lowest). [degC -> degC d] Raises NotEnoughData when there are no days."""
    daily = [daily_degree_days_dc(max_c, min_c, base_c) for max_c, min_c in days_c]
    if not daily:
        raise NotEnoughData("a heat sum needs at least one day")
    return math.fsum(daily)
