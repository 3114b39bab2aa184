"""Bringing bare ground back: what to do about how much, when planting is safe, and how much to buy.

Nothing here calls a lawn dead: these figures are for ground that has been judged. Causes come first (shade, grade,
compaction), and replanting the same tender cultivar repeats the loss.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from rules.areas import require_lawn_sqft
from rules.errors import require_range
from rules.facts import feeding as feeding_facts
from rules.facts import repair as facts
from rules.facts import watering as water_facts
from rules.facts.areas import RATE_AREA_SQFT
from rules.facts.fact import Fact, FactRange
from rules.grasses import GrassCode, is_seedable
from rules.units import CM_PER_INCH, c_to_f, m2_to_sqft


class RepairCode(StrEnum):
    """What to do about dead ground."""

    LET_FILL = "let_fill"
    PLUG_BARE_PATCHES = "plug_bare_patches"
    SOD_OR_REESTABLISH = "sod_or_reestablish"


class RepairReason(StrEnum):
    """Why that."""

    LITTLE_DEAD = "little_dead"
    PART_DEAD = "part_dead"
    MOSTLY_DEAD = "mostly_dead"
    TOO_FEW_LIVE_PLANTS = "too_few_live_plants"
    BERMUDA_REFILLS = "bermuda_refills"  # it has a live plant in every square foot and closes by itself


class PlantingMethod(StrEnum):
    """How grass is put in."""

    SOD = "sod"
    PLUGS = "plugs"
    SPRIGS = "sprigs"
    SEED = "seed"


class WindowReason(StrEnum):
    """What keeps a planting window shut."""

    TOO_NEAR_FALL_FROST = "too_near_fall_frost"
    SOIL_TOO_COLD = "soil_too_cold"
    SOIL_TOO_HOT = "soil_too_hot"
    SOIL_UNKNOWN = "soil_unknown"


class PlugGrid(StrEnum):
    """How plugs are set out."""

    SQUARE = "square"
    TRIANGULAR = "triangular"


class SodStepCode(StrEnum):
    """The steps of new sod's first weeks."""

    WATER_OFTEN = "water_often"
    WATER_DAILY = "water_daily"
    WATER_ALTERNATE = "water_alternate"
    KEEP_OFF = "keep_off"
    FIRST_MOW = "first_mow"
    NO_WEED_CONTROL = "no_weed_control"
    FIRST_FEED = "first_feed"


@dataclass(frozen=True, slots=True, kw_only=True)
class RepairAdvice:
    """What to do about one area of dead ground, and why."""

    code: RepairCode
    reason: RepairReason


@dataclass(frozen=True, slots=True, kw_only=True)
class PlantingWindow:
    """Whether it may be planted on a day; if not, every reason. `last_on`: latest safe day before fall frost."""

    is_open: bool
    reasons: tuple[WindowReason, ...]
    last_on: date


@dataclass(frozen=True, slots=True, kw_only=True)
class SodOrder:
    """Sod to buy. [sq ft, lb] `laid_lb` weighs what will be laid, `delivered_lb` the full pallets it comes on."""

    area_sqft: float
    with_waste_sqft: float
    slabs: int
    pallets: int
    laid_lb: float
    delivered_lb: float
    delivered_low_lb: float
    delivered_high_lb: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PlantingNeed:
    """Seed [lb] or sprigs [bushels] for an area, from its rate. A bushel is not the same size everywhere: ask."""

    low: float
    high: float
    rate: FactRange
    is_unit_standard: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class SodStep:
    """One step of new sod: from when to when, and the water of each time where there is any. [in, minutes]"""

    code: SodStepCode
    on: date
    until_on: date
    depth_in: float | None = None
    minutes: FactRange | None = None
    times_a_day: FactRange | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstFeed:
    """First feeding of new turf: never before, usually on, and how much nitrogen at most. [lb per 1,000 sq ft]"""

    never_before_on: date
    usual_on: date
    n_lb_per_1000_sqft: Fact


def repair_advice(code: GrassCode, dead_fraction: float, live_plants_per_sqft: float | None = None) -> RepairAdvice:
    """What to do about ground that has been judged.

    Parameters
    ----------
    code : GrassCode
        The grass.
    dead_fraction : float
        Dead share of the area. 0..1
    live_plants_per_sqft : float, optional
        Counted living plants or tufts. [per sq ft] 0 or more; None when nobody counted.

    Returns
    -------
    RepairAdvice
        Bermudagrass with a living plant in each square foot is never re-sodded on its percentage alone.

    Raises
    ------
    OutOfRange
        A fraction outside 0..1 or a negative count.

    Source
    ------
    Clemson HGIC, lawn renovation (half left: renovate); Nagel 1996 and Univ. of Kentucky 2014 (one live plant a square
    foot); the quarter is expert judgement.
    """
    require_range("dead_fraction", dead_fraction, 0.0, 1.0, "fraction")
    if live_plants_per_sqft is not None:
        require_range("live_plants_per_sqft", live_plants_per_sqft, 0.0, math.inf, "per sq ft")
        if live_plants_per_sqft < facts.LIVE_BLADES_PER_SQFT.value:
            return RepairAdvice(code=RepairCode.SOD_OR_REESTABLISH, reason=RepairReason.TOO_FEW_LIVE_PLANTS)
    if dead_fraction <= facts.LET_FILL_DEAD_FRACTION.value:
        return RepairAdvice(code=RepairCode.LET_FILL, reason=RepairReason.LITTLE_DEAD)
    if code is GrassCode.BERMUDA and live_plants_per_sqft is not None:
        return RepairAdvice(code=RepairCode.LET_FILL, reason=RepairReason.BERMUDA_REFILLS)
    if dead_fraction > facts.REESTABLISH_DEAD_FRACTION.value:
        return RepairAdvice(code=RepairCode.SOD_OR_REESTABLISH, reason=RepairReason.MOSTLY_DEAD)
    return RepairAdvice(code=RepairCode.PLUG_BARE_PATCHES, reason=RepairReason.PART_DEAD)


def planting_window(
    method: PlantingMethod, code: GrassCode, on: date, first_fall_frost_on: date, soil_c: float | None
) -> PlantingWindow:
    """Whether grass may be put in on a day.

    Parameters
    ----------
    method, code : PlantingMethod, GrassCode
        Seed wants warmer soil than sod, plugs and sprigs.
    on, first_fall_frost_on : date
        The day, and the mean first frost of that fall.
    soil_c : float or None
        Daily mean soil, 4 in deep for sod and plugs, near the surface for seed. [degC] None: not known.

    Returns
    -------
    PlantingWindow
        Open, or every reason against it.

    Source
    ------
    Univ. of Georgia (65 F for rooting), Oklahoma State (bermuda seed 69 to 95 F), 90 days before frost (Georgia).
    """
    last_on = latest_planting_on(first_fall_frost_on)
    reasons = [*_soil_reasons(method, code, soil_c)]
    if on > last_on:
        reasons.append(WindowReason.TOO_NEAR_FALL_FROST)
    return PlantingWindow(is_open=not reasons, reasons=tuple(reasons), last_on=last_on)


def latest_planting_on(first_fall_frost_on: date) -> date:
    """The last day of safe planting: 90 days before the mean first fall frost (Georgia column; others 60 to 90)."""
    return first_fall_frost_on - timedelta(days=facts.BEFORE_FALL_FROST_DAYS.value)


def plugs_needed(area_sqft: float, spacing_in: float, grid: PlugGrid = PlugGrid.SQUARE) -> float:
    """Plugs for an area at a spacing, before rounding up. [sq ft, in] A triangular grid takes 15.5 % more.

    `area_sqft` 4 to 217,800, `spacing_in` 2 to 48. Raises OutOfRange beyond.
    Source: geometry. Checked: published/repair.csv and tests/rules/test_repair.py.
    """
    _require_spacing(spacing_in)
    each_sqft = _square_sqft(spacing_in)
    if grid is PlugGrid.TRIANGULAR:
        each_sqft *= math.sqrt(facts.GRID_TRIANGLE_SIDE_FRACTION.value)
    return require_lawn_sqft(area_sqft) / each_sqft


def plugs_to_buy(area_sqft: float, spacing_in: float, grid: PlugGrid = PlugGrid.SQUARE) -> int:
    """Whole plugs for an area at a spacing. Ranges and errors as `plugs_needed`."""
    return _whole(plugs_needed(area_sqft, spacing_in, grid))


def sod_for_plugs_sqft(plugs: float, plug_size_in: float) -> float:
    """Sod to cut into square plugs. [count, in -> sq ft] `plug_size_in` 1 to 12; raises OutOfRange beyond."""
    require_range("plugs", plugs, 0.0, math.inf, "plugs")
    require_range("plug_size_in", plug_size_in, facts.PLUG_SIZE_TOLD_IN.low, facts.PLUG_SIZE_TOLD_IN.high, "in")
    return plugs * _square_sqft(plug_size_in)


def slab_sqft() -> float:
    """Area of one usual slab, 16 by 24 in. [sq ft]"""
    return m2_to_sqft(_metres(facts.SLAB_LONG_IN.value) * _metres(facts.SLAB_SHORT_IN.value))


def sod_order(
    area_sqft: float, waste_fraction: float = facts.WASTE_FRACTION.value, pallet_sqft: float = facts.PALLET_SQFT.value
) -> SodOrder:
    """Sod to buy for an area.

    Parameters
    ----------
    area_sqft : float
        Ground to cover. [sq ft] 4 to 217,800
    waste_fraction : float
        Extra for cutting. 0..0.5; 0.10 for curved edges.
    pallet_sqft : float
        What the seller's pallet covers. [sq ft] 400 to 500

    Returns
    -------
    SodOrder
        Slabs of 16 by 24 in, whole pallets, weights. Wet sod may weigh half as much again.

    Raises
    ------
    OutOfRange
        Anything outside its range.

    Source
    ------
    Common practice in rules/facts/repair.py: sizes differ between growers, so ask.
    """
    waste = facts.WASTE_TOLD_FRACTION
    require_range("waste_fraction", waste_fraction, waste.low, waste.high, "fraction")
    require_range("pallet_sqft", pallet_sqft, facts.PALLET_SQFT.low, facts.PALLET_SQFT.high, "sq ft")
    with_waste = require_lawn_sqft(area_sqft) * (1 + waste_fraction)
    pallets = _whole(with_waste / pallet_sqft)
    return SodOrder(
        area_sqft=area_sqft,
        with_waste_sqft=with_waste,
        slabs=_whole(with_waste / slab_sqft()),
        pallets=pallets,
        laid_lb=with_waste / pallet_sqft * facts.PALLET_LB.value,
        delivered_lb=pallets * facts.PALLET_LB.value,
        delivered_low_lb=pallets * facts.PALLET_LB.low,
        delivered_high_lb=pallets * facts.PALLET_LB.high,
    )


def seed_needed(area_sqft: float, code: GrassCode, cultivar: str | None = None) -> PlantingNeed | None:
    """Seed for an area, or None for a grass that is not sold as seed (St. Augustine, hybrids). [sq ft -> lb]

    Raises OutOfRange for an unbelievable area, NotEnoughData for an unknown cultivar. Source: rules/facts/repair.py.
    """
    require_lawn_sqft(area_sqft)
    if not is_seedable(code, cultivar) or code not in facts.SEED_LB_PER_1000_SQFT:
        return None
    return _need(area_sqft, facts.SEED_LB_PER_1000_SQFT[code], is_unit_standard=True)


def sprigs_needed(area_sqft: float, code: GrassCode) -> PlantingNeed | None:
    """Sprigs for an area, or None where no rate was found. [sq ft -> bushels] The bushel is not standard: ask.

    Raises OutOfRange for an unbelievable area. Source: rules/facts/repair.py.
    """
    require_lawn_sqft(area_sqft)
    if code not in facts.SPRIGS_BU_PER_1000_SQFT:
        return None
    return _need(area_sqft, facts.SPRIGS_BU_PER_1000_SQFT[code], is_unit_standard=False)


def new_sod_calendar(laid_on: date) -> tuple[SodStep, ...]:
    """The first weeks of new sod in order of their start: water, keeping off, mowing, no weed control, feeding.

    Three stages of ten days each: two or three times a day, then once a day, then every other day, then by need.
    Source: UF/IFAS text on establishing sod; the rest in rules/facts/repair.py.
    """
    stage = timedelta(days=water_facts.SOD_STAGE_DAYS.value)
    feed = first_feed_of_new_turf(laid_on)
    steps = (
        SodStep(
            code=SodStepCode.WATER_OFTEN,
            on=laid_on,
            until_on=laid_on + stage,
            minutes=water_facts.SOD_FIRST_MINUTES,
            times_a_day=water_facts.SOD_FIRST_TIMES_A_DAY,
        ),
        _from_laying(SodStepCode.KEEP_OFF, laid_on, facts.KEEP_OFF_DAYS),
        _from_laying(SodStepCode.NO_WEED_CONTROL, laid_on, facts.WEED_CONTROL_AFTER_DAYS),
        SodStep(
            code=SodStepCode.WATER_DAILY,
            on=laid_on + stage,
            until_on=laid_on + 2 * stage,
            depth_in=water_facts.SOD_SECOND_IN.value,
        ),
        SodStep(
            code=SodStepCode.FIRST_MOW,
            on=laid_on + timedelta(days=facts.FIRST_MOW_AFTER_DAYS.value),
            until_on=laid_on + timedelta(days=facts.FIRST_MOW_AFTER_DAYS.high),
        ),
        SodStep(
            code=SodStepCode.WATER_ALTERNATE,
            on=laid_on + 2 * stage,
            until_on=laid_on + 2 * stage + stage,
            depth_in=water_facts.SOD_THIRD_IN.value,
        ),
        SodStep(code=SodStepCode.FIRST_FEED, on=feed.usual_on, until_on=feed.usual_on + stage),
    )
    return tuple(sorted(steps, key=lambda step: step.on))


def first_feed_of_new_turf(laid_on: date) -> FirstFeed:
    """When new sod or plugs may have their first feed: never before 30 days, usually 60, or two mowings after 30.

    Source: UF/IFAS text (60, never before 30); UF Alachua County 2011 says 6 weeks.
    """
    return FirstFeed(
        never_before_on=laid_on + timedelta(days=feeding_facts.NEW_TURF_NEVER_BEFORE_DAYS.value),
        usual_on=laid_on + timedelta(days=feeding_facts.NEW_TURF_FIRST_FEED_DAYS.value),
        n_lb_per_1000_sqft=feeding_facts.NEW_TURF_N,
    )


def _soil_reasons(method: PlantingMethod, code: GrassCode, soil_c: float | None) -> tuple[WindowReason, ...]:
    if soil_c is None:
        return (WindowReason.SOIL_UNKNOWN,)
    soil_f = c_to_f(soil_c)
    if method is not PlantingMethod.SEED:
        return (WindowReason.SOIL_TOO_COLD,) if soil_f < facts.ROOTING_SOIL_F.value else ()
    if code is not GrassCode.BERMUDA:
        return (WindowReason.SOIL_TOO_COLD,) if soil_f < facts.SEED_SOIL_F.value else ()
    if soil_f > facts.BERMUDA_SEED_SOIL_F.high:
        return (WindowReason.SOIL_TOO_HOT,)
    return (WindowReason.SOIL_TOO_COLD,) if soil_f < facts.BERMUDA_SEED_SOIL_F.low else ()


def _from_laying(code: SodStepCode, laid_on: date, for_days: Fact) -> SodStep:
    return SodStep(code=code, on=laid_on, until_on=laid_on + timedelta(days=for_days.value))


def _need(area_sqft: float, rate: FactRange, *, is_unit_standard: bool) -> PlantingNeed:
    shares = area_sqft / RATE_AREA_SQFT.value
    return PlantingNeed(low=rate.low * shares, high=rate.high * shares, rate=rate, is_unit_standard=is_unit_standard)


def _metres(length_in: float) -> float:
    return length_in * CM_PER_INCH / 100


def _square_sqft(side_in: float) -> float:
    return m2_to_sqft(_metres(side_in) ** 2)


def _whole(quantity: float) -> int:
    """Rounded up, where a sum that should be whole counts as whole."""
    nearest = round(quantity)
    return nearest if math.isclose(quantity, nearest) else math.ceil(quantity)


def _require_spacing(spacing_in: float) -> None:
    told = facts.PLUG_SPACING_TOLD_IN
    require_range("spacing_in", spacing_in, told.low, told.high, "in")
