"""What is left alone, and until when."""

from __future__ import annotations

from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from rules.facts.cautions import CAUTION_SOURCES, CAUTIONS, Caution, cautions_for
from rules.grasses import GrassCode, grass
from rules.restraint import Restraint, RestraintCode, RestraintGate, restraints

FROST = date(2027, 3, 12)
WARM = date(2027, 4, 10)
JUDGED = date(2027, 5, 22)
days = st.dates(date(2027, 2, 1), date(2027, 5, 15))


def by_code(code: GrassCode) -> dict[RestraintCode, Restraint]:
    return {each.code: each for each in restraints(code, FROST, WARM, JUDGED)}


@given(st.sampled_from(GrassCode), days, days)
def test_every_restraint_is_there_once_soonest_first(code: GrassCode, frost: date, warm: date) -> None:
    """All ten, ordered by day, those no date lifts last; none ends before the last frost or before warm soil."""
    found = restraints(code, frost, warm, warm + timedelta(days=42))
    dated = [each.until_on for each in found if each.until_on is not None]

    assert {each.code for each in found} == set(RestraintCode)
    assert len(found) == len(RestraintCode)
    assert [each.until_on for each in found] == [*sorted(dated), *[None] * (len(found) - len(dated))]
    work = [each.until_on for each in found if each.until_on and each.code is not RestraintCode.SOD_OR_SEED]
    assert all(day > warm for day in work)
    ground = [each for each in found if each.gate is RestraintGate.GROWING_WELL]
    assert all(each.until_on is not None and each.until_on >= frost for each in ground)


def test_nitrogen_waits_two_warm_weeks_and_centipede_until_june() -> None:
    """14 days after warm soil; centipede not in March, April or May."""
    assert by_code(GrassCode.BERMUDA)[RestraintCode.NITROGEN].until_on == WARM + timedelta(days=14)
    assert by_code(GrassCode.CENTIPEDE)[RestraintCode.NITROGEN].until_on == date(2027, 6, 1)


def test_a_late_frost_holds_nitrogen_back() -> None:
    """The last frost counts where it comes after two warm weeks."""
    late = WARM + timedelta(days=30)
    found = {each.code: each for each in restraints(GrassCode.ZOYSIA, late, WARM, JUDGED)}

    assert found[RestraintCode.NITROGEN].until_on == late


def test_root_pruning_weed_preventer_is_left_out_where_nothing_lives_below() -> None:
    """Stolon-only grasses get none this spring; the others not before they are judged."""
    for code in GrassCode:
        held = by_code(code)[RestraintCode.ROOT_PRUNING_PREEMERGENT]

        assert held.until_on == (JUDGED if grass(code).has_rhizomes else None)


def test_no_sod_before_the_judging_day() -> None:
    """Replacing what may still come back waits for the verdict."""
    assert by_code(GrassCode.ST_AUGUSTINE)[RestraintCode.SOD_OR_SEED].until_on == JUDGED


def test_weed_and_feed_has_no_date_this_spring() -> None:
    """It wants two times of the year at once."""
    held = by_code(GrassCode.BERMUDA)[RestraintCode.WEED_AND_FEED]

    assert (held.until_on, held.gate) == (None, RestraintGate.NEXT_SEASON)


def test_every_caution_has_a_source_and_a_use() -> None:
    """No caution is listed for nothing, and each says who gives it."""
    used = {caution for cautions in CAUTIONS.values() for caution in cautions}

    assert set(CAUTION_SOURCES) == set(Caution)
    assert used == set(Caution)


def test_blade_bag_spade_and_hose_carry_their_cautions() -> None:
    """The ones that must never be missing."""
    assert Caution.MOWER in cautions_for("cut")
    assert {Caution.FERTILIZER, Caution.KIDS_PETS, Caution.WATERWAYS} <= set(cautions_for("feed"))
    assert {Caution.PESTICIDE_LABEL, Caution.POISON_CONTROL} <= set(cautions_for("weed_control"))
    assert {Caution.HEAVY_SOD, Caution.DIGGING_811} <= set(cautions_for("sod"))
    assert Caution.DIGGING_811 in cautions_for("plugs")
    assert Caution.DIGGING_811 in cautions_for("pot_test")
    assert Caution.ICE in cautions_for("water")
    assert cautions_for("photo") == ()


def test_nitrogen_waits_for_the_plans_own_check() -> None:
    """Where most is lost the check waits for the judging day; what is said about nitrogen agrees with it."""
    found = {each.code: each for each in restraints(GrassCode.ST_AUGUSTINE, FROST, WARM, JUDGED, feed_check_on=JUDGED)}

    assert found[RestraintCode.NITROGEN].until_on == JUDGED
