"""Odds and evidence: the closed form where there is one, any order, and what each piece did."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.polynomial import Polynomial
from scipy.stats import beta

from rules.combine import (
    Cover,
    Direction,
    Evidence,
    OperatorFinding,
    PotTest,
    PullTest,
    Sign,
    StillBare,
    combine,
)
from rules.errors import NotEnoughData, OutOfRange
from rules.evidence import sign_codes
from rules.facts import evidence as facts
from rules.grasses import GrassCode
from rules.recovery import Reading
from rules.survival import GRID_STEPS, AliveOdds
from tests.rules.outcomes import COLLEGE_STATION_1968, told_odds

EVEN = AliveOdds(tuple(1 / (GRID_STEPS + 1) for _ in range(GRID_STEPS + 1)))

pieces = st.one_of(
    st.sampled_from(sign_codes()).map(Sign),
    st.integers(1, 10).flatmap(
        lambda total: st.builds(PotTest, alive=st.integers(0, total), total=st.just(total), weeks=st.integers(2, 8))
    ),
    st.integers(0, 100).map(StillBare),
    st.lists(st.tuples(st.integers(0, 90), st.integers(0, 99)), min_size=1, max_size=3).map(
        lambda rows: Cover(tuple(Reading(warm_days=day, cover_percent=cover) for day, cover in rows))
    ),
    st.booleans().map(PullTest),
    st.builds(OperatorFinding, alive_fraction=st.floats(0, 1), sd_fraction=st.floats(0.05, 0.3)),
)


@given(st.lists(pieces, max_size=5), st.randoms())
@settings(deadline=None)
def test_the_order_of_evidence_does_not_matter(given_pieces: list[Evidence], chance: object) -> None:
    """Exactly the same odds, whatever came first."""
    shuffled = list(given_pieces)
    chance.shuffle(shuffled)  # type: ignore[attr-defined]

    told, again = combine(EVEN, given_pieces), combine(EVEN, shuffled)

    assert again.odds.weights == told.odds.weights
    assert [each.piece for each in again.effects] == [each.piece for each in told.effects]


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


@pytest.mark.parametrize(("alive", "total"), [(0, 6), (2, 6), (5, 8), (8, 8)])
def test_a_pot_test_equals_the_exact_sum_of_beta_distributions(alive: int, total: int) -> None:
    """With sensitivity and false alarms the odds from an even prior are a mixture of betas, worked out by itself.

    A plug is green with chance f s + (1 - f) e; the binomial of that is a polynomial in f, so its moments are exact.
    """
    shows, false_alive = facts.POT_SENSITIVITY[4].value, facts.POT_FALSE_ALIVE.value
    green = Polynomial([false_alive, shows - false_alive])
    likelihood = green**alive * (1 - green) ** (total - alive)
    whole, first = likelihood.integ(), (likelihood * Polynomial([0, 1])).integ()
    exact = (first(1) - first(0)) / (whole(1) - whole(0))

    told = combine(EVEN, [PotTest(alive=alive, total=total, weeks=4)]).odds

    assert told.mean_fraction == pytest.approx(exact, abs=0.005)  # half a step of the grid
    for fraction in (0.2, 0.5, 0.8):
        below = (whole(fraction) - whole(0)) / (whole(1) - whole(0))
        assert told.below_probability(fraction) == pytest.approx(below, abs=0.02)


def test_a_pot_test_read_early_says_less_against_life_and_more_for_it() -> None:
    """A plug that shows nothing at two weeks may still; one that is green early is as alive as one green late."""
    none = [combine(EVEN, [PotTest(alive=0, total=6, weeks=weeks)]).odds.mean_fraction for weeks in (2, 3, 4, 6)]
    half = [combine(EVEN, [PotTest(alive=3, total=6, weeks=weeks)]).odds.mean_fraction for weeks in (2, 3, 4, 6)]

    assert none[0] > none[1] > none[2] == none[3]
    assert half[0] > half[1] > half[2] == half[3]


@given(st.lists(pieces, max_size=4), st.booleans())
@settings(deadline=None)
def test_a_pull_proves_nothing(others: list[Evidence], lifts: bool) -> None:
    """Easy lifting or firm holding leaves the odds as they were, whatever else is known."""
    without, told = combine(EVEN, others), combine(EVEN, [*others, PullTest(lifts)])
    effect = next(each for each in told.effects if each.piece == PullTest(lifts))

    assert told.odds.weights == pytest.approx(without.odds.weights, abs=1e-12)
    assert effect.moved_fraction == pytest.approx(0)
    assert effect.direction is Direction.HARDLY


def test_each_piece_can_be_told_apart() -> None:
    """Firm runners raise the odds, none of six plugs lowers them more; the strongest comes first."""
    told = combine(EVEN, [Sign("firm_runners"), PotTest(alive=0, total=6, weeks=4), Sign("straw_blades")])
    moved = {effect.piece: effect.moved_fraction for effect in told.effects}

    assert moved[Sign("firm_runners")] > 0
    assert moved[PotTest(alive=0, total=6, weeks=4)] < -0.2
    assert abs(moved[Sign("straw_blades")]) < 0.02
    assert told.effects[0].piece == PotTest(alive=0, total=6, weeks=4)


def test_what_moved_the_odds_is_told_with_before_and_after() -> None:
    """The odds without a piece, with it, and which way; the odds without it are those of the others alone."""
    firm, none = Sign("firm_runners"), PotTest(alive=0, total=6, weeks=4)

    down, up = combine(EVEN, [firm, none]).effects

    assert (down.piece, down.direction) == (none, Direction.LESS_ALIVE)
    assert (up.piece, up.direction) == (firm, Direction.MORE_ALIVE)
    assert down.before.weights == combine(EVEN, [firm]).odds.weights
    assert down.after.weights == up.after.weights == combine(EVEN, [none, firm]).odds.weights
    assert down.moved_fraction == pytest.approx(down.after.mean_fraction - down.before.mean_fraction)


@given(st.lists(pieces, max_size=5))
@settings(deadline=None)
def test_each_piece_has_one_effect_and_what_says_nothing_has_none(given_pieces: list[Evidence]) -> None:
    """As many effects as different pieces, strongest first; without evidence the odds are those of the cold."""
    told = combine(EVEN, given_pieces)
    sizes = [abs(each.moved_fraction) for each in told.effects]

    assert {each.piece for each in told.effects} == set(given_pieces)
    assert len(told.effects) == len(set(given_pieces))
    assert all(one >= next_one - 1e-9 for one, next_one in pairwise(sizes))
    assert combine(EVEN, []).odds == EVEN
    assert combine(EVEN, []).effects == ()


@dataclass(frozen=True, slots=True)
class Elsewhere:
    """A kind of evidence made outside the rules, as a measured picture will be."""

    green_fraction: float

    def likelihood(self) -> tuple[float, ...]:
        return tuple(math.exp(-((step / GRID_STEPS - self.green_fraction) ** 2)) for step in range(GRID_STEPS + 1))


def test_any_other_kind_of_evidence_takes_its_place() -> None:
    """Whatever has a likelihood is combined and told like the rest."""
    told = combine(EVEN, [Elsewhere(1.0), Sign("straw_blades")])

    assert told.effects[0].piece == Elsewhere(1.0)
    assert told.effects[0].direction is Direction.MORE_ALIVE


@pytest.mark.parametrize(("found", "near"), [(0.1, 0.1), (0.5, 0.1), (0.9, 0.1)])
def test_what_is_found_on_the_spot_moves_odds_that_were_sure(found: float, near: float) -> None:
    """After a mild night the odds are near certainty; a trained eye that finds otherwise is believed."""
    mild = told_odds(COLLEGE_STATION_1968, GrassCode.BERMUDA, "tifgreen")
    assert mild.mean_fraction > 0.9

    assert combine(mild, [OperatorFinding(alive_fraction=found)]).odds.mean_fraction == pytest.approx(found, abs=near)


def test_one_living_plug_of_six_is_not_told_as_all_dead() -> None:
    """Something was green, so something lives, whatever the cold said."""
    mild = told_odds(COLLEGE_STATION_1968, GrassCode.BERMUDA, "tifgreen")

    told = combine(mild, [PotTest(alive=1, total=6, weeks=4)]).odds

    assert 0.05 < told.mean_fraction < 0.5
    assert told.below_probability(0.0) < 0.5


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
