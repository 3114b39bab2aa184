"""Lowering a mower after winter: dated cuts, one notch at a time, never below the floor of the grass.

Rules kept by every ladder:
1. no cut before the day that is given (the last-frost gate);
2. one notch a cut, and never more than a third of the height;
3. damaged turf stays in the upper half of its range, any other at or above the bottom of its range;
4. a rotary mower goes no lower than it cuts evenly; only one that stands lower already (a reel) may;
5. grasses with surface runners only are never scalped: they have nothing below to start again from;
6. one dead-tissue cleanup is bagged; after it, clippings stay.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from types import MappingProxyType

from rules.errors import require_range
from rules.facts import mowing as facts
from rules.facts.fact import Fact, FactRange, Source
from rules.facts.sources import AGRILIFE_SMITH, MSU_NAGEL_1996, UF_CLAY, UF_COLD_DAMAGE, UGA_GREENUP
from rules.grasses import GrassCode, GrowthHabit, cultivar_of_species, grass


class LadderReason(StrEnum):
    """Why a ladder looks the way it does."""

    LOWER_BY_NOTCHES = "lower_by_notches"
    OVERGROWN = "overgrown"  # above its range: brought down in several cuts
    LOW_ENOUGH = "low_enough"  # less than a notch above where it should be
    RAISE = "raise"  # stands too low: set the mower up
    NOTCH_TOO_COARSE = "notch_too_coarse"  # one notch would take more than a third


class StopSign(StrEnum):
    """What is seen at the mower that ends or postpones a cut."""

    BROWN_STEM = "brown_stem"
    LIVE_RUNNERS_CUT = "live_runners_cut"
    WET = "wet"
    FROZEN = "frozen"
    FREEZE_AHEAD = "freeze_ahead"


class StopAction(StrEnum):
    """What to do about a stop sign."""

    RAISE_ONE_NOTCH_AND_STOP = "raise_one_notch_and_stop"  # and no further lowering this spring
    WAIT_UNTIL_DRY = "wait_until_dry"
    WAIT_UNTIL_THAWED = "wait_until_thawed"
    WAIT_UNTIL_PAST = "wait_until_past"


@dataclass(frozen=True, slots=True, kw_only=True)
class StopRule:
    """A sign, what to do about it, and who says so."""

    sign: StopSign
    action: StopAction
    source: Source


@dataclass(frozen=True, slots=True, kw_only=True)
class MowingHeights:
    """Heights for one lawn. [in] `lowest_in` is where lowering ends now, `floor_in` what no cut ever goes below."""

    floor_in: float
    lowest_in: float
    usual_in: float
    top_in: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """One cut. [in] `notches` counts from the setting the mower stood at on the first day; `bag` the clippings."""

    on: date
    from_in: float
    to_in: float
    notches: int
    bag: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class CutLadder:
    """The cuts of a spring in order, what they may never go below, and why. `raise_to_in` only where it stands low."""

    cuts: tuple[Cut, ...]
    floor_in: float
    reason_code: LadderReason
    raise_to_in: float | None = None


def heights(
    code: GrassCode,
    cultivar: str | None = None,
    *,
    damaged: bool,
    notch_in: float = 0.5,
    current_in: float | None = None,
    state: str = "",
) -> MowingHeights:
    """The heights that hold for a lawn: its floor, how low it may go now, its usual height and its top.

    Parameters
    ----------
    code, cultivar : GrassCode, str or None
        The grass and the code of its cultivar, when it is known.
    damaged : bool
        Whether the freeze hurt it, or whether that is not known yet. Damaged: upper half of the range only.
    notch_in : float
        One step of this mower, for zoysia's one step under its summer height. [in] 0.1 to 2
    current_in : float or None
        Where the mower stands. [in] One below an inch is a reel mower and may go there; others may not.
    state : str
        Two letters; Florida mows standard St. Augustine higher. "" where it is not known.

    Returns
    -------
    MowingHeights
        floor_in <= lowest_in <= top_in. [in]

    Raises
    ------
    OutOfRange, NotEnoughData
        A notch outside its range; a cultivar that is not known.

    Source
    ------
    rules/facts/mowing.py; habits after Nagel 1996 (Mississippi State) and Waltz (Univ. of Georgia).
    """
    _require_notch(notch_in)
    span, usual = _range_of(code, cultivar, state)
    if damaged:
        floor = span.low + facts.DAMAGED_PART_OF_RANGE.value * (span.high - span.low)
        lowest = max(floor, usual.value)
    else:
        floor = span.low
        lowest = _lowest_undamaged(grass(code).habit, span, usual, notch_in)
    if current_in is None or current_in >= facts.ROTARY_LOWEST_IN.value:
        floor = max(floor, facts.ROTARY_LOWEST_IN.value)
        lowest = max(lowest, floor)
    return MowingHeights(floor_in=floor, lowest_in=lowest, usual_in=usual.value, top_in=span.high)


def cut_ladder(
    current_in: float,
    notch_in: float,
    limits: MowingHeights,
    *,
    first_on: date,
) -> CutLadder:
    """Dated cuts from where the mower stands now to where this lawn may go.

    Parameters
    ----------
    current_in : float
        Height it is cut at, or stands at. [in] 0.25 to 12
    notch_in : float
        One step of this mower. [in] 0.1 to 2
    limits : MowingHeights
        What holds for this lawn: `heights` of its grass.
    first_on : date
        The earliest day of a cut: the last-frost gate.

    Returns
    -------
    CutLadder
        No cuts where it stands low enough, too low, or where one notch would take more than a third.

    Raises
    ------
    OutOfRange
        A height or notch outside its range.

    Source
    ------
    rules/facts/mowing.py. Checked in tests/rules/test_mowing.py and published/mowing.csv.
    """
    require_range("current_in", current_in, facts.HEIGHT_TOLD_IN.low, facts.HEIGHT_TOLD_IN.high, "in")
    _require_notch(notch_in)
    steps = _steps_down(current_in, notch_in, limits.lowest_in)
    cuts = tuple(
        Cut(
            on=first_on + timedelta(days=index * int(facts.BETWEEN_CUTS_DAYS.value)),
            from_in=current_in - index * notch_in,
            to_in=current_in - (index + 1) * notch_in,
            notches=index + 1,
            bag=index == 0,
        )
        for index in range(steps)
    )
    reason = _reason(current_in, notch_in, limits, steps)
    raise_to = _raised(current_in, notch_in, limits) if reason is LadderReason.RAISE else None
    return CutLadder(cuts=cuts, floor_in=limits.floor_in, reason_code=reason, raise_to_in=raise_to)


def one_third_height_in(height_in: float) -> float:
    """The lowest height a single cut may leave: two thirds of what stands. [in] `height_in` 0.25 to 12 in.

    Source: the one-third rule, UF Clay County and others (rules/facts/mowing.py).
    """
    require_range("height_in", height_in, facts.HEIGHT_TOLD_IN.low, facts.HEIGHT_TOLD_IN.high, "in")
    return height_in * (1 - facts.ONE_THIRD_FRACTION.value)


def cut_when_in(target_in: float) -> float:
    """The height at which to cut, for the height that is set. [in] `target_in` 0.25 to 12 in.

    Source: UC IPM, mowing warm-season grasses: half as much again as the height set.
    """
    require_range("target_in", target_in, facts.HEIGHT_TOLD_IN.low, facts.HEIGHT_TOLD_IN.high, "in")
    return target_in * facts.CUT_AT_TIMES_TARGET.value


STOP_RULES: Mapping[StopSign, StopRule] = MappingProxyType(
    {
        StopSign.BROWN_STEM: StopRule(
            sign=StopSign.BROWN_STEM, action=StopAction.RAISE_ONE_NOTCH_AND_STOP, source=UGA_GREENUP
        ),
        StopSign.LIVE_RUNNERS_CUT: StopRule(
            sign=StopSign.LIVE_RUNNERS_CUT, action=StopAction.RAISE_ONE_NOTCH_AND_STOP, source=MSU_NAGEL_1996
        ),
        StopSign.WET: StopRule(sign=StopSign.WET, action=StopAction.WAIT_UNTIL_DRY, source=UF_CLAY),
        StopSign.FROZEN: StopRule(sign=StopSign.FROZEN, action=StopAction.WAIT_UNTIL_THAWED, source=UF_COLD_DAMAGE),
        StopSign.FREEZE_AHEAD: StopRule(
            sign=StopSign.FREEZE_AHEAD, action=StopAction.WAIT_UNTIL_PAST, source=AGRILIFE_SMITH
        ),
    }
)


def _range_of(code: GrassCode, cultivar: str | None, state: str) -> tuple[FactRange, Fact]:
    species = grass(code)
    named = cultivar_of_species(code, cultivar) if cultivar is not None else None
    if named is not None and named.mowing_in is not None and named.default_mowing_in is not None:
        return named.mowing_in, named.default_mowing_in
    if code is GrassCode.ST_AUGUSTINE and state.upper() == "FL":
        return species.mowing_in, facts.ST_AUGUSTINE_FLORIDA_USUAL_IN
    return species.mowing_in, species.default_mowing_in


def _lowest_undamaged(habit: GrowthHabit, span: FactRange, usual: Fact, notch_in: float) -> float:
    """Only what comes back from deep rhizomes may go to its floor; zoysia one step; runners on top stay usual."""
    if habit is GrowthHabit.RHIZOMES_AND_STOLONS:
        return span.low
    if habit is GrowthHabit.DENSE_RHIZOMES:
        return max(span.low, usual.value - notch_in)
    return usual.value


def _steps_down(current_in: float, notch_in: float, lowest_in: float) -> int:
    steps = 0
    while _may_step(current_in - steps * notch_in, notch_in, lowest_in):
        steps += 1
    return steps


def _may_step(height_in: float, notch_in: float, lowest_in: float) -> bool:
    """Whether one more notch keeps both the floor and the third."""
    return _at_least(height_in - notch_in, lowest_in) and not _takes_too_much(height_in, notch_in)


def _takes_too_much(height_in: float, notch_in: float) -> bool:
    return not _at_least(height_in * facts.ONE_THIRD_FRACTION.value, notch_in)


def _at_least(value: float, bound: float) -> bool:
    """value >= bound, where sums of tenths of inches that should be equal count as equal."""
    return value > bound or math.isclose(value, bound)


def _reason(current_in: float, notch_in: float, limits: MowingHeights, steps: int) -> LadderReason:
    if steps:
        return LadderReason.OVERGROWN if current_in > limits.top_in else LadderReason.LOWER_BY_NOTCHES
    if not _at_least(current_in, limits.floor_in):
        return LadderReason.RAISE
    room = _at_least(current_in - notch_in, limits.lowest_in)
    return LadderReason.NOTCH_TOO_COARSE if room else LadderReason.LOW_ENOUGH


def _raised(current_in: float, notch_in: float, limits: MowingHeights) -> float:
    """The first setting above that reaches the floor, counted in whole notches of this mower."""
    notches = math.ceil((limits.floor_in - current_in) / notch_in)
    lower = current_in + (notches - 1) * notch_in
    return lower if _at_least(lower, limits.floor_in) else current_in + notches * notch_in


def _require_notch(notch_in: float) -> None:
    require_range("notch_in", notch_in, facts.NOTCH_TOLD_IN.low, facts.NOTCH_TOLD_IN.high, "in")
