"""Hourly readings from outside: what cannot be, hangs or leaps goes missing and is counted; short gaps are bridged."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rules.errors import NotEnoughData
from rules.facts import weather_checks as facts
from rules.facts.weather import AIR_C
from rules.weather import Array, runs_of
from rules.weather_checks import Doubts, bridged, checked, without_impossible, without_leaps, without_stuck

NAN = np.nan
ROUGH_HOURS = st.lists(
    st.one_of(st.floats(-90, 90), st.just(NAN), st.sampled_from([4.0, 0.0, np.inf, -np.inf])), min_size=0, max_size=60
)


def row(*values: float) -> Array:
    return np.array(values, dtype=np.float64)


def same(expected: Array, actual: Array) -> bool:
    return np.array_equal(expected, actual, equal_nan=True)


def test_what_cannot_be_goes_missing_and_is_counted() -> None:
    """The limits themselves are allowed; a missing value is no fault."""
    values, count = without_impossible(row(-60.1, -60.0, NAN, 60.0, 60.1, np.inf, -9999.0), AIR_C)

    assert same(row(NAN, -60.0, NAN, 60.0, NAN, NAN, NAN), values)
    assert count == 4


def test_twelve_equal_hours_are_weather_and_thirteen_are_a_sensor_that_hangs() -> None:
    """The whole run goes, its neighbours stay."""
    twelve, none = without_stuck(np.concatenate((row(1.0), np.full(12, 3.5), row(2.0))))
    thirteen, count = without_stuck(np.concatenate((row(1.0), np.full(13, 3.5), row(2.0))))

    assert np.isfinite(twelve).all()
    assert none == 0
    assert same(np.concatenate((row(1.0), np.full(13, NAN), row(2.0))), thirteen)
    assert count == 13


def test_a_gap_ends_a_run_of_equal_hours() -> None:
    """Ten equal hours before and after a gap are not twenty."""
    _, count = without_stuck(np.concatenate((np.full(10, 3.5), row(NAN), np.full(10, 3.5))))

    assert count == 0


def test_soil_may_stand_at_the_freezing_point_and_air_may_not() -> None:
    """Soil that freezes stays near 0 for days; elsewhere it hangs like anything."""
    freezing, warm = np.full(40, -0.1), np.full(40, 9.2)

    result, doubts = checked({"soil_2in_c": freezing, "soil_4in_c": warm, "air_c": freezing})

    assert same(freezing, result["soil_2in_c"])
    assert np.isnan(result["soil_4in_c"]).all()
    assert np.isnan(result["air_c"]).all()
    assert doubts == Doubts(stuck=80)


@pytest.mark.parametrize(
    ("values", "expected", "count"),
    [
        (row(5, 20, 6), row(5, 20, 6), 0),  # 15 exactly is allowed
        (row(5, 20.1, 5), row(5, NAN, 5), 1),
        (row(5, -20, 5), row(5, NAN, 5), 1),
        (row(20, 19, 2, 1), row(20, NAN, NAN, 1), 2),  # a front: nobody knows which side is right
        (row(0, 30, 30, 0), row(NAN, NAN, NAN, NAN), 4),
        (row(0, 16, 32, 33), row(NAN, NAN, NAN, 33), 3),
        (row(0, NAN, 30), row(0, NAN, 30), 0),
        (row(30, 0), row(NAN, NAN), 2),
        (row(30), row(30), 0),
        (row(), row(), 0),
    ],
)
def test_a_leap_goes_with_what_leaps(values: Array, expected: Array, count: int) -> None:
    """One hour that stands out goes alone; of a leap that stays both sides go."""
    actual, found = without_leaps(values)

    assert same(expected, actual)
    assert found == count


@pytest.mark.parametrize(
    ("values", "expected", "count"),
    [
        (row(0, NAN, 4), row(0, 2, 4), 1),
        (row(0, NAN, NAN, NAN, 8), row(0, 2, 4, 6, 8), 3),
        (row(0, NAN, NAN, NAN, NAN, 5), row(0, NAN, NAN, NAN, NAN, 5), 0),
        (row(NAN, 1, NAN), row(NAN, 1, NAN), 0),
        (row(NAN, NAN), row(NAN, NAN), 0),
        (row(), row(), 0),
    ],
)
def test_a_gap_up_to_three_hours_gets_a_line(values: Array, expected: Array, count: int) -> None:
    """Longer ones and those at an end stay missing."""
    actual, found = bridged(values)

    assert same(expected, actual)
    assert found == count


def test_rain_snow_and_sun_are_neither_bridged_nor_called_stuck() -> None:
    """Dry weeks and dark nights repeat in truth; a shower is not made up."""
    dry = np.concatenate((np.zeros(30), row(NAN), np.zeros(30), row(-1.0, 40.0)))

    result, doubts = checked({"rain_mm": dry, "snow_depth_cm": dry, "solar_w_per_m2": np.abs(dry)})

    assert same(np.where(dry < 0, NAN, dry), result["rain_mm"])
    assert same(np.where(dry < 0, NAN, dry), result["snow_depth_cm"])
    assert doubts == Doubts(impossible=2)
    assert doubts.taken_out == 2


def test_a_lone_spike_is_taken_out_and_bridged() -> None:
    """The counts of all steps add up over all series."""
    result, doubts = checked({"air_c": row(1, 2, 55, 4, 99, 6), "soil_4in_c": row(5, 70, 6)})

    assert same(row(1, 2, 3, 4, 5, 6), result["air_c"])
    assert same(row(5, 5.5, 6), result["soil_4in_c"])
    assert doubts == Doubts(impossible=2, leaping=1, bridged=3)


def test_an_unknown_reading_is_refused() -> None:
    """A misspelled name would pass unchecked otherwise."""
    with pytest.raises(NotEnoughData, match="called air"):
        checked({"air": row(1.0)})


@given(ROUGH_HOURS)
def test_after_the_checks_nothing_is_impossible_hangs_or_leaps(values: list[float]) -> None:
    """Whatever comes in; and what was kept is what was read, and the counts agree with what went missing."""
    before = row(*values)
    possible, impossible = without_impossible(before, AIR_C)
    moving, stuck = without_stuck(possible)
    kept, leaping = without_leaps(moving)

    known = np.isfinite(kept)
    assert np.array_equal(before[known], kept[known])
    assert impossible + stuck + leaping == int((~np.isnan(before)).sum() - known.sum())
    assert ((kept[known] >= AIR_C.low) & (kept[known] <= AIR_C.high)).all()
    steps = np.abs(np.diff(kept))
    assert (steps[np.isfinite(steps)] <= facts.MOST_CHANGE_DC_PER_HOUR.value).all()
    longest = max((last - first + 2 for first, last in runs_of(kept[1:] == kept[:-1])), default=1)
    assert longest <= facts.LONGEST_SAME_HOURS.value


@given(ROUGH_HOURS)
def test_bridges_only_fill_short_gaps_and_stay_between_their_ends(values: list[float]) -> None:
    """No reading changes, no long gap is touched, no bridge lies outside its two ends."""
    before, _ = without_impossible(row(*values), AIR_C)

    after, count = bridged(before)

    known = np.isfinite(before)
    assert np.array_equal(before[known], after[known])
    assert count == int(np.isfinite(after).sum() - known.sum())
    for first, last in runs_of(~known):
        inside = after[first : last + 1]
        if last - first + 1 > facts.LONGEST_BRIDGE_HOURS.value or first == 0 or last == len(before) - 1:
            assert np.isnan(inside).all()
        else:
            low, high = sorted((before[first - 1], before[last + 1]))
            assert ((inside >= low - 1e-9) & (inside <= high + 1e-9)).all()
