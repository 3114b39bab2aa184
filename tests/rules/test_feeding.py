"""How much to feed: no dose breaks a cap, refusals say why, and what somebody was told is weighed."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rules.errors import OutOfRange
from rules.feeding import (
    BIOSTIMULANT,
    SCHOOLS,
    CapCode,
    FedLawn,
    FeedDose,
    FeedNote,
    FeedRefusal,
    Label,
    School,
    Tier,
    check_told_dose,
    dose,
    iron_for_yellowing,
    phosphorus_rule,
    total_n_cap_lb_per_1000_sqft,
)
from rules.grasses import GrassCode, nitrogen_limit_lb_per_1000_sqft
from tests.rules.strategies import fed_lawns, labels

LAWN = FedLawn(grass=GrassCode.ST_AUGUSTINE, state="GA")
SLOW_16_4_8 = Label(n_percent=16, p2o5_percent=4, k2o_percent=8, slow_n_percent=5)
LIGHT = (Tier.LIGHT, Tier.LIGHT_REPEAT)
HIGHEST = {Tier.LIGHT: 0.5, Tier.LIGHT_REPEAT: 0.35, Tier.NORMAL: 1.0, Tier.NEW_TURF: 0.5}
CLOSE = 1e-9

tiers = st.sampled_from([tier for tier in Tier if tier is not Tier.NONE])
sizes = st.none() | st.floats(4, 200_000)


def given_dose(label: Label, tier: Tier, lawn: FedLawn, area: float | None = 5000) -> FeedDose:
    result = dose(label, tier, lawn, area)
    assert isinstance(result, FeedDose), result
    return result


def refusal(label: Label, tier: Tier, lawn: FedLawn) -> FeedRefusal:
    result = dose(label, tier, lawn, 5000)
    assert isinstance(result, FeedRefusal), result
    return result


@given(label=labels(), tier=tiers, lawn=fed_lawns, area=sizes)
def test_no_dose_ever_breaks_a_cap(label: Label, tier: Tier, lawn: FedLawn, area: float | None) -> None:
    """Whatever the label, the tier, the place and the history: every cap holds, or there is no dose."""
    result = dose(label, tier, lawn, area)
    if isinstance(result, FeedRefusal):
        assert result.reasons
        return
    rate = result.rate

    assert rate.n_lb <= HIGHEST[tier] + CLOSE
    assert rate.n_lb <= (0.9 if lawn.state == "NJ" else 1.0) + CLOSE
    assert rate.soluble_n_lb <= 0.7 + CLOSE
    assert rate.k2o_lb <= 1.0 + CLOSE
    assert rate.p2o5_lb <= (1.0 if lawn.has_soil_test_for_p else 0.25) + CLOSE
    if not lawn.has_soil_test_for_p and rate.p2o5_lb > 0:
        assert lawn.p2o5_this_year_lb_per_1000_sqft + rate.p2o5_lb <= 0.5 + CLOSE
    year = nitrogen_limit_lb_per_1000_sqft(lawn.grass, lawn.state).value
    assert lawn.n_this_year_lb_per_1000_sqft + rate.n_lb <= year + CLOSE
    if tier in LIGHT:
        assert lawn.light_n_lb_per_1000_sqft + rate.n_lb <= 1.0 + CLOSE
        assert rate.slow_n_lb >= 0.30 * rate.n_lb - CLOSE


@given(label=labels(), tier=tiers, lawn=fed_lawns, area=sizes)
def test_a_dose_and_what_is_told_of_it_agree(label: Label, tier: Tier, lawn: FedLawn, area: float | None) -> None:
    """Weighing our own dose as if somebody had told it finds no broken cap and the same rate."""
    result = dose(label, tier, lawn, area)
    if isinstance(result, FeedDose) and result.product_lb is not None and area is not None and result.product_lb < 2000:
        told = check_told_dose(label, result.product_lb, area, lawn, tier)

        assert told.broken == ()
        assert told.rate.n_lb == pytest.approx(result.rate.n_lb)
        assert result.passes is not None
        assert result.passes.count * result.passes.each_lb == pytest.approx(result.product_lb)


@given(label=labels(), tier=tiers, lawn=fed_lawns)
def test_a_refusal_is_never_given_where_a_dose_would_do(label: Label, tier: Tier, lawn: FedLawn) -> None:
    """Each reason of a refusal really is broken by the smallest dose: its value lies beyond its limit."""
    result = dose(label, tier, lawn, None)
    if isinstance(result, FeedRefusal):
        for reason in result.reasons:
            if reason.code is CapCode.SLOW_SHARE:
                assert reason.value < reason.limit
            elif reason.code is not CapCode.NO_NITROGEN:
                assert reason.value > reason.limit
        if result.best_n_lb_per_1000_sqft is not None:
            best = check_told_dose(label, result.best_n_lb_per_1000_sqft / label.n_percent * 100, 1000, lawn, tier)
            assert best.broken == ()


def test_light_feed_of_the_usual_bag() -> None:
    """0.35 lb of nitrogen from 16-4-8 on 5,000 sq ft is 10.9 lb of product, in two passes."""
    result = given_dose(SLOW_16_4_8, Tier.LIGHT, LAWN)

    assert result.rate.n_lb == pytest.approx(0.35)
    assert result.rate.p2o5_lb == pytest.approx(0.0875)
    assert result.rate.k2o_lb == pytest.approx(0.175)
    assert result.product_lb == pytest.approx(10.9375)
    assert result.notes == ()


def test_unknown_size_gives_rates_only() -> None:
    """Without an area there is a rate, and no amount that somebody could spread on the wrong lawn."""
    result = given_dose(SLOW_16_4_8, Tier.LIGHT, LAWN, None)

    assert (result.product_lb, result.passes) == (None, None)
    assert result.product_lb_per_1000_sqft == pytest.approx(2.1875)


def test_light_feed_needs_a_known_slow_release_share() -> None:
    """A bag that does not say, or says under 30 %, is refused, and no smaller dose is offered."""
    silent = refusal(replace(SLOW_16_4_8, slow_n_percent=None), Tier.LIGHT, LAWN)
    little = refusal(replace(SLOW_16_4_8, slow_n_percent=4.7), Tier.LIGHT, LAWN)
    enough = dose(replace(SLOW_16_4_8, slow_n_percent=4.8), Tier.LIGHT, LAWN, 5000)

    for result in (silent, little):
        assert [reason.code for reason in result.reasons] == [CapCode.SLOW_SHARE]
        assert result.best_n_lb_per_1000_sqft is None
    assert isinstance(enough, FeedDose)


def test_ten_ten_ten_is_cut_down_to_the_phosphate_cap() -> None:
    """0.35 lb of nitrogen from 10-10-10 would carry 0.35 lb of phosphate; a quarter pound keeps the cap."""
    result = given_dose(Label(n_percent=10, p2o5_percent=10, k2o_percent=10, slow_n_percent=3), Tier.LIGHT, LAWN)

    assert result.rate.n_lb == pytest.approx(0.25)
    assert result.bound_by is CapCode.P2O5
    assert FeedNote.SMALLER_THAN_USUAL in result.notes


def test_starter_is_refused_for_its_phosphate() -> None:
    """18-24-12 cannot give even a quarter pound of nitrogen under the phosphate cap; the best it could is named."""
    result = refusal(Label(n_percent=18, p2o5_percent=24, k2o_percent=12, slow_n_percent=6), Tier.LIGHT, LAWN)

    assert [reason.code for reason in result.reasons] == [CapCode.P2O5]
    assert result.reasons[0].value == pytest.approx(0.25 * 24 / 18)
    assert result.best_n_lb_per_1000_sqft == pytest.approx(0.25 * 18 / 24)


def test_every_reason_of_a_refusal_is_named() -> None:
    """A soluble high-potash bag on a lawn at its yearly limit is refused for all of it at once."""
    spent = replace(LAWN, n_this_year_lb_per_1000_sqft=2.5)
    result = refusal(Label(n_percent=5, p2o5_percent=10, k2o_percent=30), Tier.LIGHT, spent)

    codes = {reason.code for reason in result.reasons}
    assert codes == {CapCode.SLOW_SHARE, CapCode.K2O, CapCode.YEAR_N, CapCode.P2O5}


def test_soil_test_lets_phosphate_through_and_says_so() -> None:
    """With a soil test the starter bag may be used, with a note that the test is the reason."""
    starter = Label(n_percent=18, p2o5_percent=24, k2o_percent=12, slow_n_percent=6)
    result = given_dose(starter, Tier.LIGHT, replace(LAWN, has_soil_test_for_p=True))

    assert result.rate.p2o5_lb == pytest.approx(0.35 * 24 / 18)
    assert FeedNote.P_BY_SOIL_TEST in result.notes


def test_phosphorus_states_want_a_soil_test() -> None:
    """In Virginia any phosphate on an old lawn needs a test; new turf is exempt; Georgia keeps our own cap."""
    in_virginia = replace(LAWN, state="va")
    result = refusal(SLOW_16_4_8, Tier.LIGHT, in_virginia)

    assert [reason.code for reason in result.reasons] == [CapCode.P2O5_BY_LAW]
    assert isinstance(dose(SLOW_16_4_8, Tier.NEW_TURF, in_virginia, 1000), FeedDose)
    assert isinstance(dose(SLOW_16_4_8, Tier.LIGHT, replace(in_virginia, has_soil_test_for_p=True), 1000), FeedDose)
    assert phosphorus_rule("VA").source is not None
    assert not phosphorus_rule("GA").is_restricted


def test_soluble_nitrogen_keeps_the_florida_limit() -> None:
    """Half a pound, all soluble, is a normal feed; ten light feeds' worth is not."""
    urea = Label(n_percent=46, p2o5_percent=0, k2o_percent=0, slow_n_percent=0)
    told = check_told_dose(urea, 2.0, 1000, LAWN, Tier.NORMAL)

    assert given_dose(urea, Tier.NORMAL, LAWN).rate.soluble_n_lb == pytest.approx(0.5)
    assert [reason.code for reason in told.broken] == [CapCode.SOLUBLE_N]


def test_ammonium_sulfate_as_a_column_once_advised_is_over_both_nitrogen_caps() -> None:
    """6 lb of 21-0-0 per 1,000 sq ft is 1.26 lb of nitrogen, all soluble."""
    told = check_told_dose(Label(n_percent=21, p2o5_percent=0, k2o_percent=0), 6, 1000, LAWN, Tier.NORMAL)

    assert told.rate.n_lb == pytest.approx(1.26)
    assert {reason.code for reason in told.broken} == {CapCode.TOTAL_N, CapCode.SOLUBLE_N}


def test_fifteen_pounds_from_the_store_on_a_small_lawn() -> None:
    """15 lb of 16-4-8 on 1,200 sq ft is 2 lb of nitrogen per 1,000: nearly six light feeds, and over five limits."""
    told = check_told_dose(Label(n_percent=16, p2o5_percent=4, k2o_percent=8), 15, 1200, LAWN)

    assert told.rate.n_lb == pytest.approx(2.0)
    assert told.times_light == pytest.approx(2.0 / 0.35)
    assert {reason.code for reason in told.broken} == {
        CapCode.SLOW_SHARE,
        CapCode.TOTAL_N,
        CapCode.SOLUBLE_N,
        CapCode.P2O5,
        CapCode.LIGHT_TOTAL,
    }


def test_no_tier_and_no_nitrogen_are_refused_plainly() -> None:
    """A shut gate gives no dose, and a bag of potash is no feed."""
    assert [r.code for r in refusal(SLOW_16_4_8, Tier.NONE, LAWN).reasons] == [CapCode.NO_TIER]
    potash = Label(n_percent=0, p2o5_percent=0, k2o_percent=50)
    assert [r.code for r in refusal(potash, Tier.LIGHT, LAWN).reasons] == [CapCode.NO_NITROGEN]


def test_second_light_feed_keeps_the_running_total() -> None:
    """After 0.70 lb of light feeds, only 0.30 of the usual 0.35 is left under one pound."""
    fed = replace(LAWN, light_n_lb_per_1000_sqft=0.70, n_this_year_lb_per_1000_sqft=0.70)
    result = given_dose(SLOW_16_4_8, Tier.LIGHT_REPEAT, fed)

    assert result.rate.n_lb == pytest.approx(0.30)
    assert result.bound_by is CapCode.LIGHT_TOTAL


def test_centipede_and_buffalo_have_small_feeds_of_their_own() -> None:
    """Centipede never more than half a pound at once; buffalo its 0.3 lb and no more in the year."""
    centipede = given_dose(SLOW_16_4_8, Tier.NORMAL, FedLawn(grass=GrassCode.CENTIPEDE, state="GA"))
    buffalo = FedLawn(grass=GrassCode.BUFFALO, state="TX")

    assert centipede.rate.n_lb == pytest.approx(0.5)
    assert given_dose(SLOW_16_4_8, Tier.NORMAL, buffalo).rate.n_lb == pytest.approx(0.3)
    assert isinstance(
        dose(SLOW_16_4_8, Tier.NORMAL, replace(buffalo, n_this_year_lb_per_1000_sqft=0.3), 1000), FeedRefusal
    )


def test_new_jersey_is_stricter() -> None:
    """0.9 lb at once there, and a note that the state's limit was used."""
    assert total_n_cap_lb_per_1000_sqft("nj").value == 0.9
    assert FeedNote.STATE_CAP in given_dose(SLOW_16_4_8, Tier.LIGHT, replace(LAWN, state="NJ")).notes


def test_unbelievable_areas_are_refused() -> None:
    """A dose for no lawn, or for a farm, is an error."""
    for area in (0.0, 3.9, 300_000.0):
        with pytest.raises(OutOfRange):
            dose(SLOW_16_4_8, Tier.LIGHT, LAWN, area)
        with pytest.raises(OutOfRange):
            check_told_dose(SLOW_16_4_8, 10, area, LAWN)


def test_iron_follows_the_area() -> None:
    """Two ounces of ferrous sulfate in three to five gallons per 1,000 sq ft."""
    iron = iron_for_yellowing(2500)

    assert (iron.ferrous_sulfate_oz, iron.water_low_gal, iron.water_high_gal) == (5.0, 7.5, 12.5)


def test_both_schools_are_told_with_their_speakers() -> None:
    """Each school has reasons and at least three sources; the two share no reason."""
    by_school = {view.school: view for view in SCHOOLS}

    assert set(by_school) == set(School)
    assert all(len(view.sources) >= 3 and view.reasons for view in SCHOOLS)
    assert not set(SCHOOLS[0].reasons) & set(SCHOOLS[1].reasons)


def test_seaweed_counts_as_no_nitrogen() -> None:
    """Optional, unproven after a freeze, and not in any sum."""
    assert BIOSTIMULANT.is_optional
    assert not BIOSTIMULANT.counts_as_nitrogen
    assert BIOSTIMULANT.after_freeze == "none_found"
