"""Odds and evidence: the closed form where there is one, any order, and what each piece did."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import beta

from rules.combine import Evidence, OperatorFinding, PotTest, PullTest, Sign, StillBare, combine
from rules.errors import NotEnoughData, OutOfRange
from rules.evidence import sign_codes
from rules.survival import GRID_STEPS, AliveOdds

EVEN = AliveOdds(tuple(1 / (GRID_STEPS + 1) for _ in range(GRID_STEPS + 1)))

pieces = st.one_of(
    st.sampled_from(sign_codes()).map(Sign),
    st.integers(1, 10).flatmap(
        lambda total: st.builds(PotTest, alive=st.integers(0, total), total=st.just(total), weeks=st.integers(2, 8))
    ),
    st.integers(0, 100).map(StillBare),
    st.booleans().map(PullTest),
    st.builds(OperatorFinding, alive_fraction=st.floats(0, 1), sd_fraction=st.floats(0.05, 0.3)),
)


@given(st.lists(pieces, max_size=5), st.randoms())
def test_the_order_of_evidence_does_not_matter(given_pieces: list[Evidence], chance: object) -> None:
    """Exactly the same odds, whatever came first."""
    shuffled = list(given_pieces)
    chance.shuffle(shuffled)  # type: ignore[attr-defined]

    assert combine(EVEN, shuffled).odds.weights == pytest.approx(combine(EVEN, given_pieces).odds.weights, abs=1e-12)


@pytest.mark.parametrize(("dead", "alive"), [(1, 0), (6, 0), (3, 3), (0, 6), (9, 1)])
def test_plain_counts_equal_the_beta_binomial(dead: int, alive: int) -> None:
    """With an even prior and a perfect test the odds are a beta distribution: mean and 90 % interval agree."""

    class Plain:
        def likelihood(self) -> tuple[float, ...]:
            return tuple((s / GRID_STEPS) ** alive * (1 - s / GRID_STEPS) ** dead for s in range(GRID_STEPS + 1))

    told = combine(EVEN, [Plain()]).odds
    exact = beta(1 + alive, 1 + dead)

    assert told.mean_fraction == pytest.approx(exact.mean(), abs=0.01)
    for probability in (0.05, 0.5, 0.95):
        assert told.quantile_fraction(probability) == pytest.approx(exact.ppf(probability), abs=0.015)


def test_a_pull_proves_nothing() -> None:
    """Easy lifting or firm holding leaves the odds as they were."""
    for lifts in (True, False):
        told = combine(EVEN, [PullTest(lifts)])

        assert told.odds.weights == pytest.approx(EVEN.weights)
        assert told.effects[0].moved_fraction == pytest.approx(0)


def test_each_piece_can_be_told_apart() -> None:
    """Firm runners raise the odds, none of six plugs lowers them more; the strongest comes first."""
    told = combine(EVEN, [Sign("firm_runners"), PotTest(alive=0, total=6, weeks=4), Sign("straw_blades")])
    moved = {effect.piece: effect.moved_fraction for effect in told.effects}

    assert moved[Sign("firm_runners")] > 0
    assert moved[PotTest(alive=0, total=6, weeks=4)] < -0.2
    assert abs(moved[Sign("straw_blades")]) < 0.02
    assert told.effects[0].piece == PotTest(alive=0, total=6, weeks=4)


def test_the_same_piece_counts_once() -> None:
    """Reported twice is not seen twice."""
    once, twice = (combine(EVEN, [Sign("firm_runners")] * times).odds.weights for times in (1, 2))

    assert once == twice


def test_an_operator_who_looked_outweighs_signs() -> None:
    """A trained eye finds nine tenths dead: the odds go there, doubt and all."""
    told = combine(EVEN, [Sign("firm_runners"), OperatorFinding(alive_fraction=0.1)]).odds

    assert told.mean_fraction == pytest.approx(0.15, abs=0.06)
    assert math.isclose(sum(told.weights), 1)


def test_impossible_evidence_is_refused() -> None:
    """More plugs alive than potted, a fraction over one, a sign nobody knows."""
    for piece in (PotTest(alive=7, total=6, weeks=4), OperatorFinding(alive_fraction=1.2)):
        with pytest.raises(OutOfRange):
            combine(EVEN, [piece])
    with pytest.raises(NotEnoughData):
        combine(EVEN, [Sign("glowing")])
