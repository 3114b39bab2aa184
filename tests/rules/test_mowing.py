"""Lowering a mower: never below a floor, never more than a third, never more than a notch, never early."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rules.errors import NotEnoughData, OutOfRange
from rules.grasses import GrassCode, cultivars_of, grass
from rules.mowing import (
    STOP_RULES,
    CutLadder,
    LadderReason,
    StopAction,
    StopSign,
    cut_ladder,
    cut_when_in,
    heights,
    one_third_height_in,
)

GATE = date(2027, 3, 13)
CLOSE = 1e-9

lawns = st.sampled_from(
    [(code, None) for code in GrassCode] + [(c, v.code) for c in GrassCode for v in cultivars_of(c)]
)
heights_in = st.floats(0.25, 12, allow_nan=False) | st.sampled_from([0.5, 1.0, 1.5, 2.0, 2.5, 3.0, 3.5, 4.0, 6.0])
notches_in = st.floats(0.1, 2, allow_nan=False) | st.sampled_from([0.25, 0.5, 0.75, 1.0])


def ladder(
    current: float, code: GrassCode, *, notch: float = 0.5, damaged: bool, named: str | None = None
) -> CutLadder:
    limits = heights(code, named, damaged=damaged, notch_in=notch, current_in=current)
    return cut_ladder(current, notch, limits, first_on=GATE)


@given(lawn=lawns, current=heights_in, notch=notches_in, damaged=st.booleans())
def test_no_cut_ever_breaks_a_rule_of_the_blade(
    lawn: tuple[GrassCode, str | None], current: float, notch: float, damaged: bool
) -> None:
    """Whatever the grass, the height and the mower: gate, floor, third, notch and order hold for every cut."""
    code, named = lawn
    result = ladder(current, code, notch=notch, damaged=damaged, named=named)
    span = heights(code, named, damaged=damaged, notch_in=notch, current_in=current)

    for number, cut in enumerate(result.cuts):
        assert cut.on >= GATE + number * timedelta(days=7)
        assert cut.to_in >= result.floor_in - CLOSE
        assert cut.from_in - cut.to_in <= notch + CLOSE
        assert cut.from_in - cut.to_in <= cut.from_in / 3 + CLOSE
        assert cut.notches == number + 1
        assert cut.bag == (number == 0)
        assert cut.from_in == pytest.approx(result.cuts[number - 1].to_in if number else current)
    if damaged:
        middle = (span.top_in + _bottom(code, named)) / 2
        assert result.floor_in >= middle - CLOSE


@given(
    current=heights_in,
    notch=notches_in,
    damaged=st.booleans(),
    code=st.sampled_from([code for code in GrassCode if not grass(code).has_rhizomes]),
)
def test_stolon_only_grass_is_never_scalped(current: float, notch: float, damaged: bool, code: GrassCode) -> None:
    """Grass with surface runners only is never taken under its usual height, damaged or not."""
    result = ladder(current, code, notch=notch, damaged=damaged)

    assert all(cut.to_in >= grass(code).default_mowing_in.value - CLOSE for cut in result.cuts)


@given(lawn=lawns, current=heights_in, notch=notches_in, damaged=st.booleans())
def test_a_ladder_ends_as_low_as_the_rules_allow(
    lawn: tuple[GrassCode, str | None], current: float, notch: float, damaged: bool
) -> None:
    """One more cut after the last would break the lowest height or the third: nothing is left undone."""
    code, named = lawn
    result = ladder(current, code, notch=notch, damaged=damaged, named=named)
    lowest = heights(code, named, damaged=damaged, notch_in=notch, current_in=current).lowest_in
    last = result.cuts[-1].to_in if result.cuts else current

    assert last - notch < lowest + CLOSE or notch > last / 3 - CLOSE


def _bottom(code: GrassCode, named: str | None) -> float:
    for each in cultivars_of(code):
        if each.code == named and each.mowing_in:
            return each.mowing_in.low
    return grass(code).mowing_in.low


def test_floors_are_those_of_the_house() -> None:
    """St. Augustine 2.5 in, its dwarfs 2.0, centipede 1.5, bahia 3."""
    floors = [
        heights(GrassCode.ST_AUGUSTINE, damaged=False).floor_in,
        heights(GrassCode.ST_AUGUSTINE, "captiva", damaged=False).floor_in,
        heights(GrassCode.CENTIPEDE, damaged=False).floor_in,
        heights(GrassCode.BAHIA, damaged=False).floor_in,
    ]

    assert floors == [2.5, 2.0, 1.5, 3.0]


def test_florida_mows_st_augustine_higher() -> None:
    """UF/IFAS: 3.5 to 4 in for standard cultivars there; elsewhere the usual height is 3 in."""
    florida = heights(GrassCode.ST_AUGUSTINE, damaged=False, state="FL")

    assert (florida.usual_in, florida.top_in) == (3.5, 4.0)
    assert heights(GrassCode.ST_AUGUSTINE, damaged=False, state="GA").usual_in == 3.0
    assert heights(GrassCode.ST_AUGUSTINE, "captiva", damaged=False, state="FL").usual_in < florida.usual_in


def test_damaged_turf_stays_in_the_upper_half_of_its_range() -> None:
    """From 4 in, damaged St. Augustine goes to 3.5 and no further; undamaged to its usual 3."""
    damaged = ladder(4.0, GrassCode.ST_AUGUSTINE, damaged=True)
    sound = ladder(4.0, GrassCode.ST_AUGUSTINE, damaged=False)

    assert [cut.to_in for cut in damaged.cuts] == [3.5]
    assert damaged.floor_in == 3.25
    assert [cut.to_in for cut in sound.cuts] == [3.5, 3.0]


def test_overgrown_lawn_comes_down_a_notch_a_week() -> None:
    """Six inches of St. Augustine take five weekly cuts; only the first is bagged."""
    result = ladder(6.0, GrassCode.ST_AUGUSTINE, damaged=True)

    assert result.reason_code is LadderReason.OVERGROWN
    assert [cut.to_in for cut in result.cuts] == [5.5, 5.0, 4.5, 4.0, 3.5]
    assert [cut.on for cut in result.cuts] == [GATE + timedelta(days=7 * week) for week in range(5)]
    assert [cut.bag for cut in result.cuts] == [True, False, False, False, False]


def test_undamaged_bermuda_may_go_to_its_floor_and_damaged_may_not() -> None:
    """Deep rhizomes allow 1 in before green-up, unless the freeze hurt it."""
    sound = ladder(2.0, GrassCode.BERMUDA, notch=0.25, damaged=False)
    damaged = ladder(2.0, GrassCode.BERMUDA, notch=0.25, damaged=True)

    assert sound.cuts[-1].to_in == 1.0
    assert damaged.cuts[-1].to_in == 1.5


def test_zoysia_goes_one_step_under_its_summer_height() -> None:
    """Sound coarse zoysia of 2.5 in: to 2.0, then the one step to 1.5 and no more."""
    coarse_steps = ladder(2.5, GrassCode.ZOYSIA, damaged=False)
    fine_steps = ladder(2.5, GrassCode.ZOYSIA, notch=0.25, damaged=False)

    assert [cut.to_in for cut in coarse_steps.cuts] == [2.0, 1.5]
    assert [cut.to_in for cut in fine_steps.cuts] == [2.25, 2.0, 1.75]


def test_low_enough_needs_no_cut_and_too_low_is_raised() -> None:
    """A lawn less than a notch above its lowest is left; one under its floor is set up in whole notches."""
    enough = ladder(3.5, GrassCode.ST_AUGUSTINE, damaged=True)
    short = ladder(2.5, GrassCode.ST_AUGUSTINE, damaged=True)

    assert (enough.cuts, enough.reason_code, enough.raise_to_in) == ((), LadderReason.LOW_ENOUGH, None)
    assert (short.cuts, short.reason_code, short.raise_to_in) == ((), LadderReason.RAISE, 3.5)


def test_a_notch_over_a_third_of_the_height_is_not_cut() -> None:
    """With steps of one inch a bermuda lawn of 2 in would lose half at once."""
    result = ladder(2.0, GrassCode.BERMUDA, notch=1.0, damaged=False)

    assert (result.cuts, result.reason_code) == ((), LadderReason.NOTCH_TOO_COARSE)


def test_exactly_a_third_is_allowed() -> None:
    """Three inches to two is a third and may be cut."""
    result = ladder(3.0, GrassCode.CENTIPEDE, notch=1.0, damaged=True)

    assert [cut.to_in for cut in result.cuts] == [2.0]


@pytest.mark.parametrize(("current", "notch"), [(0.2, 0.5), (12.5, 0.5), (3.0, 0.05), (3.0, 2.5), (float("nan"), 0.5)])
def test_slips_of_the_pen_are_refused(current: float, notch: float) -> None:
    """A height outside 0.25 to 12 in or a notch outside 0.1 to 2 in is an error."""
    with pytest.raises(OutOfRange):
        ladder(current, GrassCode.BERMUDA, notch=notch, damaged=True)


def test_unknown_cultivar_is_refused() -> None:
    """A ladder is not made for a cultivar that does not exist."""
    with pytest.raises(NotEnoughData):
        ladder(3.0, GrassCode.BERMUDA, damaged=True, named="lawnking")


def test_brown_stem_stops_lowering_for_the_spring() -> None:
    """Every stop sign has a rule; stem showing raises the mower and stops, weather only waits."""
    assert set(STOP_RULES) == set(StopSign)
    assert STOP_RULES[StopSign.BROWN_STEM].action is StopAction.RAISE_ONE_NOTCH_AND_STOP
    assert STOP_RULES[StopSign.WET].action is StopAction.WAIT_UNTIL_DRY
    assert STOP_RULES[StopSign.FROZEN].action is StopAction.WAIT_UNTIL_THAWED


@given(heights_in)
def test_cutting_at_half_as_much_again_keeps_the_third(target: float) -> None:
    """Cut at 1.5 times the height set, a cut takes exactly a third: the two rules are one."""
    if cut_when_in(target) <= 12:
        assert one_third_height_in(cut_when_in(target)) == pytest.approx(target)


def test_a_rotary_mower_is_not_sent_below_an_inch() -> None:
    """Fine bermuda at 2 in comes down to 1 in; only a mower that stands lower already, a reel, goes to its floor."""
    rotary = ladder(2.0, GrassCode.BERMUDA, notch=0.25, damaged=False, named="tifway")
    reel = ladder(0.75, GrassCode.BERMUDA, notch=0.25, damaged=False, named="tifway")

    assert [cut.to_in for cut in rotary.cuts] == [1.75, 1.5, 1.25, 1.0]
    assert [cut.to_in for cut in reel.cuts] == [0.5]
