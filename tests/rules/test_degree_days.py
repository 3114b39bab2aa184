"""Heat sums."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rules.degree_days import daily_degree_days_dc, daily_degree_days_df, degree_day_sum_dc
from rules.errors import NotEnoughData, OutOfRange
from rules.units import dc_to_df

temperatures_c = st.floats(-40, 50)


@given(temperatures_c, temperatures_c, st.floats(0, 20))
def test_never_negative_and_never_more_than_the_hottest_hour(one: float, other: float, base: float) -> None:
    """A day counts at least nothing, and at most what its highest temperature would give all day."""
    high, low = max(one, other), min(one, other)

    assert 0 <= daily_degree_days_dc(high, low, base) <= max(0.0, high - base)


@given(temperatures_c, temperatures_c)
def test_fahrenheit_and_celsius_agree(one: float, other: float) -> None:
    """The same day over the same base gives 1.8 times as many Fahrenheit degree days."""
    high, low = max(one, other), min(one, other)
    fahrenheit = daily_degree_days_df(high * 1.8 + 32, low * 1.8 + 32, 50)

    assert fahrenheit == pytest.approx(dc_to_df(daily_degree_days_dc(high, low, 10)), abs=1e-9)


def test_days_add_up_and_cold_days_take_nothing_away() -> None:
    """A sum is that of its days; a day below the base adds nothing."""
    assert degree_day_sum_dc([(30, 10), (10, -10), (20, 10)], 12.5) == pytest.approx(7.5 + 0 + 2.5)


def test_nonsense_is_refused() -> None:
    """No days, a highest below the lowest, or not a number."""
    with pytest.raises(NotEnoughData):
        degree_day_sum_dc([])
    with pytest.raises(OutOfRange):
        daily_degree_days_dc(5, 10)
    with pytest.raises(OutOfRange):
        daily_degree_days_dc(float("nan"), 10)
