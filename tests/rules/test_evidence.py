"""Evidence: order does not matter, closed forms hold, and a pull is no evidence."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import beta, binom, binomtest

from rules.combine import Sign, combine
from rules.errors import NotEnoughData, OutOfRange
from rules.evidence import (
    plug_interval,
    pot_test_likelihood,
    sign_codes,
    sign_likelihood,
    still_bare_likelihood,
)
from rules.facts import evidence as facts
from rules.survival import AliveOdds

EVEN = AliveOdds(tuple(1 / 101 for _ in range(101)))


@given(st.permutations(list(sign_codes())).flatmap(lambda codes: st.integers(0, len(codes)).map(lambda n: codes[:n])))
def test_order_of_signs_does_not_matter(codes: list[str]) -> None:
    """The same signs in any order, or told twice, give the same odds."""
    forward = combine(EVEN, map(Sign, tuple(codes))).odds
    backward = combine(EVEN, map(Sign, tuple(reversed(codes)) + tuple(codes[:1]))).odds

    assert forward.weights == backward.weights


def test_firm_runners_raise_and_slimy_runners_lower_the_odds() -> None:
    """Martin, Oklahoma State: firm is alive, soft and brown is dead. Straw-coloured blades say next to nothing."""
    firm = combine(EVEN, map(Sign, ("firm_runners",))).odds.mean_fraction
    slimy = combine(EVEN, map(Sign, ("slimy_runners",))).odds.mean_fraction
    straw = combine(EVEN, map(Sign, ("straw_blades",))).odds.mean_fraction

    assert slimy < 0.4 < 0.6 < firm
    assert straw == pytest.approx(EVEN.mean_fraction, abs=0.02)


@given(st.integers(1, 20).flatmap(lambda total: st.tuples(st.integers(0, total), st.just(total))), st.integers(2, 8))
def test_pot_test_equals_the_binomial(counted: tuple[int, int], weeks: int) -> None:
    """At each alive fraction the likelihood is the binomial with the sensitivity of that week."""
    alive, total = counted
    shows = facts.POT_SENSITIVITY[min(weeks, 4)].value
    noise = facts.POT_FALSE_ALIVE.value

    likelihood = pot_test_likelihood(alive, total, weeks)

    for step in (0, 37, 100):
        p = step / 100 * shows + (1 - step / 100) * noise
        exact = (
            math.exp(math.lgamma(total + 1) - math.lgamma(alive + 1) - math.lgamma(total - alive + 1))
            * p**alive
            * (1 - p) ** (total - alive)
        )
        assert likelihood[step] == pytest.approx(exact, rel=1e-9, abs=1e-300)


def test_pot_posterior_is_near_the_beta_binomial_closed_form() -> None:
    """From even odds, 3 of 6 alive at four weeks: close to the mean of Beta(4, 4) but for the sensitivity."""
    posterior = EVEN.updated(pot_test_likelihood(3, 6, 4)).mean_fraction

    assert posterior == pytest.approx(0.5 / facts.POT_SENSITIVITY[4].value, abs=0.02)


def test_an_early_count_weighs_less_against_life() -> None:
    """None of six after two weeks lowers the odds less than none of six after four."""
    two = EVEN.updated(pot_test_likelihood(0, 6, 2)).mean_fraction
    four = EVEN.updated(pot_test_likelihood(0, 6, 4)).mean_fraction

    assert four < two < EVEN.mean_fraction


@given(st.integers(0, 200))
def test_bare_ground_only_ever_lowers_the_odds_and_more_so_later(warm_days: int) -> None:
    """No green after warm days never raises the odds; before two warm weeks it says nothing."""
    now = EVEN.updated(still_bare_likelihood(warm_days)).mean_fraction
    later = EVEN.updated(still_bare_likelihood(warm_days + 20)).mean_fraction

    assert later <= now <= EVEN.mean_fraction + 1e-9
    if warm_days < 14:
        assert now == pytest.approx(EVEN.mean_fraction)


def test_a_pull_is_no_evidence() -> None:
    """Frozen grass stays anchored at first, so there is no sign for it."""
    assert not any("pull" in code or "tug" in code or "anchored" in code for code in sign_codes())
    with pytest.raises(NotEnoughData):
        sign_likelihood("pull")


def test_impossible_counts_are_refused() -> None:
    """More alive than there are, no plugs at all, and a count after one week are errors."""
    for alive, total, weeks in ((7, 6, 4), (0, 0, 4), (0, 6, 1)):
        with pytest.raises(OutOfRange):
            pot_test_likelihood(alive, total, weeks)


counts = st.integers(1, 60).flatmap(lambda total: st.tuples(st.integers(0, total), st.just(total)))


@given(counts)
def test_the_share_of_live_plugs_has_the_exact_interval(counted: tuple[int, int]) -> None:
    """Clopper and Pearson 1934, from two independent places: quantiles of the beta, and a test turned over."""
    alive, total = counted
    low, high = plug_interval(alive, total)
    turned = binomtest(alive, total).proportion_ci(0.95, method="exact")

    assert (low, high) == pytest.approx((turned.low, turned.high), abs=1e-7)
    assert low == pytest.approx(beta.ppf(0.025, alive, total - alive + 1) if alive else 0, abs=1e-7)
    assert low <= alive / total <= high


@pytest.mark.parametrize("share", [0.02, 0.1, 0.3, 0.5, 0.8, 0.97])
@pytest.mark.parametrize("total", [4, 6, 10, 25])
def test_it_holds_the_true_share_95_times_in_100_or_more(share: float, total: int) -> None:
    """Whatever the share is: the chances of all counts whose interval holds it."""
    held = sum(
        binom.pmf(alive, total, share)
        for alive in range(total + 1)
        if plug_interval(alive, total)[0] <= share <= plug_interval(alive, total)[1]
    )

    assert held >= 0.95 - 1e-9


def test_none_of_six_plugs_still_leaves_room_for_nearly_half() -> None:
    """More plugs narrow it; all and none mirror each other."""
    assert plug_interval(0, 6)[1] == pytest.approx(0.459, abs=0.001)
    assert plug_interval(6, 6)[0] == pytest.approx(1 - plug_interval(0, 6)[1])
    assert plug_interval(0, 12)[1] < plug_interval(0, 6)[1]
    for alive, total in ((7, 6), (-1, 6), (0, 0)):
        with pytest.raises(OutOfRange):
            plug_interval(alive, total)
