"""How much water, and when."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rules.errors import NotEnoughData, OutOfRange
from rules.units import f_to_c
from rules.watering import (
    WATER_SCHOOLS,
    WaterReason,
    WaterSchool,
    flow_gpm,
    may_water_before_freeze,
    minutes_from_cans,
    minutes_from_flow,
    must_controller_be_off,
    spring_water,
    water_depth_in,
    water_volume_gal,
    winter_water,
)


@given(st.floats(0.01, 5.9), st.floats(4, 200_000))
def test_depth_and_volume_are_each_other_s_inverse(depth: float, area: float) -> None:
    """From inches to gallons and back."""
    assert water_depth_in(water_volume_gal(depth, area), area) == pytest.approx(depth)


@given(st.floats(0.05, 2), st.lists(st.floats(0.05, 2), min_size=1, max_size=9), st.floats(5, 60))
def test_running_for_the_minutes_worked_out_gives_the_depth(depth: float, cans: list[float], ran: float) -> None:
    """At the rate the cans show, the time gives the depth wanted."""
    minutes = minutes_from_cans(depth, tuple(cans), ran)

    assert sum(cans) / len(cans) / ran * minutes == pytest.approx(depth)


def test_hose_time_follows_the_bucket() -> None:
    """Twenty seconds a gallon is 3 gallons a minute; 124 gallons take 41 minutes."""
    assert minutes_from_flow(124, flow_gpm(20)) == pytest.approx(41.33, abs=0.01)


def test_no_water_in_the_cans_gives_no_time() -> None:
    """Empty cans, or none, are not a division by nothing."""
    for cans in ((), (0.0, 0.0)):
        with pytest.raises(NotEnoughData):
            minutes_from_cans(0.5, cans, 15)


@pytest.mark.parametrize("seconds", [0.0, 0.01, 100_000.0, float("nan")])
def test_impossible_flows_are_refused(seconds: float) -> None:
    """No bucket fills in no time."""
    with pytest.raises(OutOfRange):
        flow_gpm(seconds)


def test_depths_beyond_reason_are_refused() -> None:
    """More than six inches at once is a slip of the pen."""
    with pytest.raises(OutOfRange):
        water_volume_gal(6.1, 1000)
    with pytest.raises(OutOfRange):
        water_depth_in(water_volume_gal(6, 1000) * 1.01, 1000)


def test_dormant_lawn_gets_an_inch_after_three_dry_weeks() -> None:
    """Not before day 21; local limits are asked about each time."""
    early = winter_water(20, 0.0, "GA")
    due = winter_water(21, 0.0, "GA")

    assert (early.depth_in, early.reason) == (0.0, WaterReason.NOT_DRY_YET)
    assert (due.depth_in, due.reason) == (1.0, WaterReason.DRY_DORMANT)
    assert due.ask_local_limits


def test_florida_counts_rain_of_two_weeks() -> None:
    """Under three quarters of an inch in two weeks is dry there, whatever the days since rain."""
    assert winter_water(3, 0.74, "fl").depth_in == 0.5
    assert winter_water(40, 0.75, "FL").depth_in == 0.0


@pytest.mark.parametrize(
    ("green", "depth"), [(0.0, 0.25), (0.49, 0.25), (0.5, 0.5), (0.89, 0.5), (0.9, 1.0), (1.0, 1.0)]
)
def test_spring_water_grows_with_green(green: float, depth: float) -> None:
    """A quarter inch a week until half is green, then half an inch, an inch once it grows."""
    assert spring_water(green, 0.0).depth_in == depth


@given(st.floats(0, 1), st.floats(0, 3))
def test_rain_is_taken_off_and_never_below_nothing(green: float, rain: float) -> None:
    """Rain counts against the week's water."""
    need = spring_water(green, rain)

    assert need.depth_in == pytest.approx(max(0.0, spring_water(green, 0.0).depth_in - rain))
    assert (need.depth_in == 0) == (need.reason is WaterReason.RAIN_ENOUGH)


def test_the_other_school_gives_none_until_it_grows() -> None:
    """The contrary view waters nothing in spring, and agrees once the lawn is fully green."""
    dry = spring_water(0.3, 0.0, WaterSchool.NONE_UNTIL_JUNE)

    assert (dry.depth_in, dry.reason) == (0.0, WaterReason.UNDER_HALF_GREEN)
    assert spring_water(1.0, 0.0, WaterSchool.NONE_UNTIL_JUNE).depth_in == 1.0
    assert {view.school for view in WATER_SCHOOLS} == set(WaterSchool)


def test_water_before_a_freeze_only_well_above_freezing() -> None:
    """Above 45 F the day before; the controller is off at 35 F and under."""
    assert may_water_before_freeze(f_to_c(46))
    assert not may_water_before_freeze(f_to_c(45))
    assert must_controller_be_off(f_to_c(34.9))
    assert not must_controller_be_off(f_to_c(36))
