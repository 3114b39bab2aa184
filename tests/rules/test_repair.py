"""Bringing bare ground back."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rules.errors import NotEnoughData, OutOfRange
from rules.grasses import GrassCode
from rules.repair import (
    PlantingMethod,
    PlugGrid,
    RepairCode,
    RepairReason,
    SodStepCode,
    WindowReason,
    first_feed_of_new_turf,
    latest_planting_on,
    new_sod_calendar,
    planting_window,
    plugs_needed,
    plugs_to_buy,
    repair_advice,
    seed_needed,
    sod_for_plugs_sqft,
    sod_order,
    sprigs_needed,
)
from rules.units import f_to_c

FROST = date(2027, 11, 10)
LAID = date(2027, 6, 1)
areas_sqft = st.floats(10, 100_000)


@given(areas_sqft, st.floats(2, 48), st.sampled_from(PlugGrid))
def test_plugs_to_buy_cover_the_area(area: float, spacing: float, grid: PlugGrid) -> None:
    """Whole plugs, at least what is needed and less than one more."""
    needed = plugs_needed(area, spacing, grid)
    bought = plugs_to_buy(area, spacing, grid)

    assert needed - 1e-6 * needed <= bought < needed + 1


@given(areas_sqft, st.floats(2, 48))
def test_triangular_grid_takes_more_plugs_than_square(area: float, spacing: float) -> None:
    """By 2 over the root of 3."""
    ratio = plugs_needed(area, spacing, PlugGrid.TRIANGULAR) / plugs_needed(area, spacing)

    assert ratio == pytest.approx(2 / 3**0.5)


def test_round_numbers_of_plugs_stay_round() -> None:
    """Sums that should be whole are not pushed up by the last digit of a float."""
    bought = [plugs_to_buy(1000, spacing) for spacing in (6, 8, 12, 18, 24)]

    assert bought == [4000, 2250, 1000, 445, 250]


@given(st.floats(4, 40), areas_sqft)
def test_plugs_touching_each_other_are_sod(size: float, area: float) -> None:
    """Plugs as wide as their spacing take exactly the area in sod."""
    side = min(size, 12)

    assert sod_for_plugs_sqft(plugs_needed(area, side), side) == pytest.approx(area)


@given(st.floats(10, 200_000), st.floats(0, 0.5), st.floats(400, 500))
def test_sod_order_covers_the_ground_with_its_waste(area: float, waste: float, pallet: float) -> None:
    """Slabs and pallets hold the area and its waste; delivered weighs at least what is laid."""
    order = sod_order(area, waste, pallet)

    assert order.with_waste_sqft == pytest.approx(area * (1 + waste))
    assert order.slabs * (16 * 24 / 144) >= order.with_waste_sqft * (1 - 1e-8)
    assert order.pallets * pallet >= order.with_waste_sqft * (1 - 1e-8)
    assert order.laid_lb <= order.delivered_lb * (1 + 1e-8)
    assert order.delivered_low_lb < order.delivered_lb < order.delivered_high_lb


def test_a_pallet_holds_about_170_slabs_of_15_lb() -> None:
    """450 sq ft are 169 slabs; at 2,500 lb a pallet each weighs just under 15 lb."""
    order = sod_order(450, 0.0)

    assert (order.slabs, order.pallets) == (169, 1)
    assert order.delivered_lb / order.slabs == pytest.approx(14.8, abs=0.1)


def test_st_augustine_and_hybrids_have_no_seed() -> None:
    """No seed is offered where none is sold; common bermuda is, in a range."""
    assert seed_needed(1000, GrassCode.ST_AUGUSTINE) is None
    assert seed_needed(1000, GrassCode.BERMUDA, "tifway") is None
    assert seed_needed(1000, GrassCode.SEASHORE_PASPALUM) is None
    seed = seed_needed(2000, GrassCode.BERMUDA, "riviera")
    assert seed is not None
    assert (seed.low, seed.high, seed.is_unit_standard) == (2.0, 4.0, True)
    with pytest.raises(NotEnoughData):
        seed_needed(1000, GrassCode.BERMUDA, "nothing")


def test_sprigs_say_that_their_bushel_is_not_standard() -> None:
    """The bushel differs between sellers; grasses without a rate give none."""
    sprigs = sprigs_needed(1000, GrassCode.BERMUDA)

    assert sprigs is not None
    assert not sprigs.is_unit_standard
    assert sprigs_needed(1000, GrassCode.BAHIA) is None


@pytest.mark.parametrize(
    ("dead", "live", "code", "reason"),
    [
        (0.25, None, RepairCode.LET_FILL, RepairReason.LITTLE_DEAD),
        (0.26, 3.0, RepairCode.PLUG_BARE_PATCHES, RepairReason.PART_DEAD),
        (0.50, 3.0, RepairCode.PLUG_BARE_PATCHES, RepairReason.PART_DEAD),
        (0.51, 3.0, RepairCode.SOD_OR_REESTABLISH, RepairReason.MOSTLY_DEAD),
        (0.10, 0.9, RepairCode.SOD_OR_REESTABLISH, RepairReason.TOO_FEW_LIVE_PLANTS),
    ],
)
def test_bands_of_repair(dead: float, live: float | None, code: RepairCode, reason: RepairReason) -> None:
    """A quarter fills by itself, up to half is plugged, beyond it or under one plant a square foot is replaced."""
    advice = repair_advice(GrassCode.ST_AUGUSTINE, dead, live)

    assert (advice.code, advice.reason) == (code, reason)


@given(st.floats(0, 1), st.floats(1, 50))
def test_bermuda_with_a_live_plant_a_square_foot_is_never_replaced(dead: float, live: float) -> None:
    """Whatever its percentage, it closes by itself."""
    assert repair_advice(GrassCode.BERMUDA, dead, live).code is RepairCode.LET_FILL


def test_bermuda_nobody_counted_is_judged_by_its_percentage() -> None:
    """Without a count the exception does not apply."""
    assert repair_advice(GrassCode.BERMUDA, 0.9).code is RepairCode.SOD_OR_REESTABLISH


def test_planting_ends_ninety_days_before_frost() -> None:
    """The last day is open, the day after is not."""
    last = latest_planting_on(FROST)
    warm = f_to_c(75)

    assert FROST - last == timedelta(days=90)
    assert planting_window(PlantingMethod.SOD, GrassCode.ZOYSIA, last, FROST, warm).is_open
    late = planting_window(PlantingMethod.SOD, GrassCode.ZOYSIA, last + timedelta(days=1), FROST, warm)
    assert late.reasons == (WindowReason.TOO_NEAR_FALL_FROST,)


@pytest.mark.parametrize(
    ("method", "code", "soil_f", "reasons"),
    [
        (PlantingMethod.SOD, GrassCode.BERMUDA, 64.9, (WindowReason.SOIL_TOO_COLD,)),
        (PlantingMethod.PLUGS, GrassCode.ST_AUGUSTINE, 65.1, ()),
        (PlantingMethod.SEED, GrassCode.BERMUDA, 68.0, (WindowReason.SOIL_TOO_COLD,)),
        (PlantingMethod.SEED, GrassCode.BERMUDA, 69.5, ()),
        (PlantingMethod.SEED, GrassCode.BERMUDA, 96.0, (WindowReason.SOIL_TOO_HOT,)),
        (PlantingMethod.SEED, GrassCode.CENTIPEDE, 69.5, (WindowReason.SOIL_TOO_COLD,)),
        (PlantingMethod.SOD, GrassCode.BERMUDA, None, (WindowReason.SOIL_UNKNOWN,)),
    ],
)
def test_planting_waits_for_warm_soil(
    method: PlantingMethod, code: GrassCode, soil_f: float | None, reasons: tuple[WindowReason, ...]
) -> None:
    """Sod and plugs root at 65 F, seed wants more, and what is not known keeps it shut."""
    soil_c = None if soil_f is None else f_to_c(soil_f)

    assert planting_window(method, code, LAID, FROST, soil_c).reasons == reasons


def test_new_sod_is_watered_in_three_stages_and_fed_last() -> None:
    """Stages follow on each other for 30 days; mowing, keeping off and feeding fall where they should."""
    steps = {step.code: step for step in new_sod_calendar(LAID)}
    water = [steps[code] for code in (SodStepCode.WATER_OFTEN, SodStepCode.WATER_DAILY, SodStepCode.WATER_ALTERNATE)]

    assert set(steps) == set(SodStepCode)
    assert [(step.on - LAID).days for step in water] == [0, 10, 20]
    assert all(earlier.until_on == later.on for earlier, later in pairwise(water))
    assert (steps[SodStepCode.FIRST_MOW].on - LAID).days == 14
    assert (steps[SodStepCode.FIRST_FEED].on - LAID).days == 60
    starts = [step.on for step in new_sod_calendar(LAID)]
    assert starts == sorted(starts)


def test_new_turf_is_never_fed_in_its_first_month() -> None:
    """Thirty days at the least, sixty as a rule, half a pound at the most."""
    feed = first_feed_of_new_turf(LAID)

    assert (feed.never_before_on - LAID, feed.usual_on - LAID) == (timedelta(days=30), timedelta(days=60))
    assert feed.n_lb_per_1000_sqft.value == 0.5


def test_slips_of_the_pen_are_refused() -> None:
    """Spacings, sizes, fractions and areas beyond belief are errors."""
    with pytest.raises(OutOfRange):
        plugs_needed(1000, 1)
    with pytest.raises(OutOfRange):
        sod_for_plugs_sqft(100, 0)
    with pytest.raises(OutOfRange):
        sod_order(1000, 0.6)
    with pytest.raises(OutOfRange):
        repair_advice(GrassCode.ZOYSIA, 1.2)
    with pytest.raises(OutOfRange):
        repair_advice(GrassCode.ZOYSIA, 0.2, -1)
