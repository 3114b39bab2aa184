"""What the cold probably did: the fraction of growing points alive, as a distribution, and three kinds of injury.

Two things are unknown and both are integrated over numerically: the temperature the growing points really felt
(one shared error for all depths) and the tolerance of this grass (the spread between laboratories and our doubt).
Given both, crowns of one lawn die along a logistic curve around the LT50. Stolon-only grasses have their crowns and
nothing else. Grasses with rhizomes come back from either, so a spot is lost only where both died.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from statistics import NormalDist

from rules.errors import NotEnoughData, require_range
from rules.facts import cold as facts
from rules.grasses import GrassCode, Tolerance, grass
from rules.site_cold import Layer, SiteCold, SpotTraits

GRID_STEPS = 100  # alive fractions 0.00, 0.01 ... 1.00
_NODES = 25  # points of equal probability for each of two unknowns
_NODES_ALONE = 225  # and for one alone
_ODDS_KEPT = 2048  # worked-out odds that are remembered


@dataclass(frozen=True, slots=True)
class AliveOdds:
    """A probability for each alive fraction 0.00, 0.01 ... 1.00 of a spot's growing points.

    `weights` has 101 entries that add up to 1. Valid for one spot after one freeze.
    """

    weights: tuple[float, ...]

    def __post_init__(self) -> None:
        if len(self.weights) != GRID_STEPS + 1 or not math.isclose(sum(self.weights), 1.0, abs_tol=1e-6):
            raise NotEnoughData("alive odds need 101 weights that add up to 1")

    @property
    def mean_fraction(self) -> float:
        """Expected alive fraction."""
        return sum(weight * step / GRID_STEPS for step, weight in enumerate(self.weights))

    def quantile_fraction(self, probability: float) -> float:
        """The alive fraction below which the given probability lies (0..1)."""
        require_range("probability", probability, 0.0, 1.0, "")
        total = 0.0
        for step, weight in enumerate(self.weights):
            total += weight
            if total >= probability - 1e-12:
                return step / GRID_STEPS
        return 1.0

    def below_probability(self, fraction: float) -> float:
        """Probability that the alive fraction is at most `fraction`."""
        require_range("fraction", fraction, 0.0, 1.0, "")
        last = math.floor(fraction * GRID_STEPS + 1e-9)
        return min(1.0, sum(self.weights[: last + 1]))

    @staticmethod
    def mixed(odds: Sequence[AliveOdds]) -> AliveOdds:
        """Odds when it is not known which of several cases holds, each taken as equally likely. One or more."""
        if not odds:
            raise NotEnoughData("nothing to mix")
        columns = zip(*(each.weights for each in odds), strict=True)
        return AliveOdds(_normalised([sum(column) for column in columns]))

    def updated(self, likelihood: tuple[float, ...]) -> AliveOdds:
        """These odds after a piece of evidence: multiply by its likelihood at each alive fraction and renormalise."""
        products = [weight * value for weight, value in zip(self.weights, likelihood, strict=True)]
        total = sum(products)
        if total <= 0:
            raise NotEnoughData("the evidence excludes every alive fraction")
        return AliveOdds(tuple(product / total for product in products))


@dataclass(frozen=True, slots=True, kw_only=True)
class Injuries:
    """Three kinds of injury as probabilities: blades dead, some of what grows on top lost, nearly all lost for good."""

    blades_probability: float
    some_lost_probability: float
    nearly_all_lost_probability: float


def survival(cold: SiteCold, code: GrassCode, tolerance: Tolerance, traits: SpotTraits) -> AliveOdds:
    """Odds of the alive fraction of one spot's growing points, from the cold alone.

    Parameters
    ----------
    cold : SiteCold
        What the spot felt. [degC, h]
    code : GrassCode
        Which grass: decides whether rhizomes count.
    tolerance : Tolerance
        LT50 of hardened tissue [degC], its spread, and how much warmer it lies when not hardened [degC].
    traits : SpotTraits
        Wet or windy spots have further ways to be lost.

    Returns
    -------
    AliveOdds
        101 weights over the alive fraction.

    Source
    ------
    Logistic spread and hold time: Anderson et al., longer exposure durations (derived, see facts). Two compartments:
    rhizome survival in Dunn et al. 1999, HortScience 34:96. Depths, other losses and doubt: expert judgement.

    Checked
    -------
    tests/rules/outcomes.py: field and laboratory outcomes. tests/rules/test_survival.py: a finer grid, a closed form,
    a Monte Carlo run.
    """
    layers = cold.rhizomes if grass(code).has_rhizomes else ()
    return _odds(cold, code, tolerance, traits, layers)


def top_survival(cold: SiteCold, code: GrassCode, tolerance: Tolerance, traits: SpotTraits) -> AliveOdds:
    """Odds of the alive fraction of what grows on top alone: what an owner sees and a mower meets.

    For grasses without rhizomes the same as `survival`; the others may come back from below what died on top.
    Arguments, result and source as there.
    """
    return _odds(cold, code, tolerance, traits, ())


@lru_cache(maxsize=_ODDS_KEPT)
def _odds(
    cold: SiteCold, code: GrassCode, tolerance: Tolerance, traits: SpotTraits, layers: tuple[Layer, ...]
) -> AliveOdds:
    """Kept for a while: the same lawn is asked about many times in one talk, and neighbours' lawns are often alike."""
    lt50 = effective_lt50_c(cold, code, tolerance)
    fractions = _alive_on_both(cold, lt50, layers) if layers else _alive_on_top(cold, lt50)
    return _with_what_is_left_out(AliveOdds(_normalised(_spread(fractions))), traits)


def _alive_on_top(cold: SiteCold, lt50_c: tuple[float, float]) -> list[float]:
    """What grows on top: only the difference of crown and limit counts, and that of two normals is a normal.

    Alive fractions, all of them equally likely.
    """
    middle, limit_sd = lt50_c
    scale = facts.LOGISTIC_SCALE_DC.value
    spread = math.hypot(limit_sd, cold.crown.sd_dc)
    return [_logistic((cold.crown.min_c - middle + node * spread) / scale) for node in _normal_nodes(_NODES_ALONE)]


def _alive_on_both(cold: SiteCold, lt50: tuple[float, float], layers: tuple[Layer, ...]) -> list[float]:
    """What grows on top and what lies below, each layer of it as cold as it got there.

    Alive fractions, all of them equally likely.
    """
    lt50_c, lt50_sd = lt50
    scale = facts.LOGISTIC_SCALE_DC.value
    nodes = _normal_nodes(_NODES)
    # A logistic of (felt - limit) needs exp(-felt) * exp(limit): the two are worked out apart, once for each node.
    limits = [math.exp((doubt * lt50_sd) / scale) for doubt in nodes]
    fractions = []
    for felt in nodes:
        surface = math.exp((lt50_c - cold.crown.min_c - felt * cold.crown.sd_dc) / scale)
        deep = [
            (layer.share_fraction, math.exp((lt50_c - layer.min_c - felt * layer.sd_dc) / scale)) for layer in layers
        ]
        for limit in limits:
            below = 0.0
            for share_fraction, colder in deep:
                below += share_fraction / (1 + colder * limit)
            fractions.append(1 - (1 - 1 / (1 + surface * limit)) * (1 - below))
    return fractions


def effective_lt50_c(cold: SiteCold, code: GrassCode, tolerance: Tolerance) -> tuple[float, float]:
    """LT50 of this grass in this freeze and its standard deviation. [degC, degC]

    Warmer than the laboratory's by the hours held near the minimum and by what hardening was missing.
    """
    soft = 1 - cold.hardened_fraction
    shift = tolerance.unhardened_shift_dc
    lt50_c = tolerance.lt50_c + hold_shift_dc(cold.hours_near_min, code) + shift * soft
    return lt50_c, math.hypot(tolerance.sd_dc, shift * facts.HARDENED_SD_FRACTION.value)


def hold_shift_dc(hours_near_min: float, code: GrassCode) -> float:
    """How much warmer the LT50 lies after the crown spent some hours near its minimum. [degC] 0 to 3.2

    `hours_near_min` [h] 0 or more, within 1 degC of the minimum. Hours that the laboratory tests already held do not
    count again (bermuda 0, others about 3).
    """
    require_range("hours_near_min", hours_near_min, 0.0, math.inf, "h")
    is_bermuda = code is GrassCode.BERMUDA
    held = facts.LAB_HOLD_HOURS_BERMUDA if is_bermuda else facts.LAB_HOLD_HOURS_OTHERS
    beyond = max(0.0, hours_near_min - held.value)
    shift = facts.HOLD_SLOPE_DC.value * math.log10(1 + facts.HOLD_FACTOR_PER_HOUR.value * beyond)
    return min(shift, facts.HOLD_CAP_DC.value)


def injuries(cold: SiteCold, odds: AliveOdds, top: AliveOdds) -> Injuries:
    """The three kinds of injury told to an owner: blades from the air minimum, some loss from the odds of what grows
    on top, nearly all lost from the odds of the whole.
    """
    warmth = (cold.air_min_c - facts.BLADES_HALF_KILLED_AT_C.value) / facts.BLADES_SCALE_DC.value
    return Injuries(
        blades_probability=1 - _logistic(warmth),
        some_lost_probability=top.below_probability(1 - facts.SOME_LOSS_FRACTION.value),
        nearly_all_lost_probability=odds.below_probability(facts.NEARLY_ALL_LOST_ALIVE_FRACTION.value),
    )


def other_loss_probability(traits: SpotTraits) -> float:
    """How likely a spot is lost whole in another way: drying, standing water, disease. Source: rules/facts/cold.py."""
    other = facts.OTHER_LOSS_PROBABILITY.value
    if traits.is_windy:
        other = max(other, facts.OTHER_LOSS_WINDY_PROBABILITY.value)
    if traits.is_wet:
        other = max(other, facts.OTHER_LOSS_WET_PROBABILITY.value)
    return other


def _with_what_is_left_out(odds: AliveOdds, traits: SpotTraits) -> AliveOdds:
    """Losses that have nothing to do with the night's cold, and a little doubt about the whole picture."""
    other = other_loss_probability(traits)
    wrong = facts.PICTURE_WRONG_PROBABILITY.value
    anywhere = wrong / len(odds.weights)
    weights = [weight * (1 - other - wrong) + anywhere for weight in odds.weights]
    weights[0] += other
    return AliveOdds(tuple(weights))


def _spread(fractions: list[float]) -> list[float]:
    """Equally likely alive fractions as weights, each split linearly between the two nearest grid steps."""
    weights, share, last = [0.0] * (GRID_STEPS + 1), 1.0 / len(fractions), GRID_STEPS - 1
    for fraction in fractions:
        position = max(fraction, 0.0) * GRID_STEPS
        low = int(position)
        if low > last:
            position, low = GRID_STEPS, last
        above = position - low
        weights[low] += share * (1 - above)
        weights[low + 1] += share * above
    return weights


def _normalised(weights: list[float]) -> tuple[float, ...]:
    total = sum(weights)
    return tuple(weight / total for weight in weights)


@cache
def _normal_nodes(count: int) -> tuple[float, ...]:
    standard = NormalDist()
    return tuple(standard.inv_cdf((index + 0.5) / count) for index in range(count))


def _logistic(x: float) -> float:
    if x >= 0:
        return 1 / (1 + math.exp(-x))
    grown = math.exp(x)
    return grown / (1 + grown)
