"""Lawns whose fate is known, and how likely that fate is for every shift of the LT50.

The picture is that of `survival.py`: crowns of a lawn die along a logistic curve around the LT50, grasses with
rhizomes come back from either layer, other losses and a wrong picture are possible. Integrated over, for each lawn by
itself: the error of its own minimum, how far its hardening lies off, and which cultivar it is where nobody knows.
These are taken as one normal error that all its depths share.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache, lru_cache

import numpy as np
from numpy.typing import NDArray

from rules.combine import Evidence
from rules.errors import NotEnoughData, require_range
from rules.facts import cold as cold_facts
from rules.facts import lt50 as facts
from rules.grasses import GrassCode, grass, tolerance
from rules.lt50_evidence import Way
from rules.lt50_shift import unknown_cultivar_sd_dc
from rules.site_cold import SiteCold, SpotTraits
from rules.survival import GRID_STEPS, effective_lt50_c, other_loss_probability

Array = NDArray[np.float64]
_ODDS_KEPT = 4096  # likelihoods that are remembered: the same counts come again and again


@dataclass(frozen=True, slots=True, kw_only=True)
class LawnOutcome:
    """One spot after one freeze: what it felt, and what came of it.

    cultivar : its code, None where nobody knows
    cold, traits : as `survival` takes them
    way, piece : how it became known, and what was found; the surest alone, since two ways are not off alike
    weight_fraction : a lawn judged in several spots counts once: each of its spots by its part, over 0 to 1
    """

    cultivar: str | None
    cold: SiteCold
    traits: SpotTraits
    way: Way
    piece: Evidence
    weight_fraction: float = 1.0

    def __post_init__(self) -> None:
        require_range("weight_fraction", self.weight_fraction, 1e-9, 1.0, "")


@dataclass(frozen=True, slots=True, kw_only=True)
class LawnTable:
    """Lawns of one group as columns; rows are lawns. Temperatures in degC, differences as standard deviations.

    published_c : LT50 as published
    limit_c : the same with the hours held and the hardening of each lawn
    felt_c, felt_sd_dc : [lawn, layer], the crown first; what only this lawn is off, its LT50's own doubt included
    share : [lawn, layer] of the growing points below; the crown's is not used, and is alone without rhizomes
    likelihood : [lawn, 101] of what was seen at each alive fraction
    """

    published_c: Array
    limit_c: Array
    felt_c: Array
    felt_sd_dc: Array
    share: Array
    other_loss: Array
    likelihood: Array
    weight: Array

    @property
    def lawns(self) -> float:
        """How many lawns these are, parts of a lawn as parts."""
        return float(self.weight.sum())

    @property
    def is_near(self) -> NDArray[np.bool_]:
        """Which of them got so cold that the limit decided. Source: `NEAR_LIMIT_DC`, expert judgement."""
        near: NDArray[np.bool_] = np.abs(self.felt_c[:, 0] - self.limit_c) <= facts.NEAR_LIMIT_DC.value
        return near

    @property
    def near(self) -> float:
        """How many lawns that is."""
        return float(self.weight[self.is_near].sum())


def table_of(code: GrassCode, lawns: Sequence[LawnOutcome], *, region_sd_dc: float) -> LawnTable:
    """The columns of some lawns of one grass.

    Parameters
    ----------
    code : GrassCode
        Their grass.
    lawns : sequence of LawnOutcome
        One or more, of one cultivar or all of unknown ones.
    region_sd_dc : float
        The part of each minimum's doubt that all lawns share; taken out here, since `lt50_fit` adds it once. [degC]

    Returns
    -------
    LawnTable

    Source
    ------
    rules/survival.py for what the figures mean.
    """
    layers = [(each.cold.crown, *(each.cold.rhizomes if grass(code).has_rhizomes else ())) for each in lawns]
    limits = [effective_lt50_c(each.cold, code, tolerance(code, each.cultivar)) for each in lawns]
    own_sd = np.array([_own_limit_sd_dc(code, each) for each in lawns])[:, None]
    felt_sd = np.array([[layer.sd_dc for layer in each] for each in layers])
    return LawnTable(
        published_c=np.array([tolerance(code, each.cultivar).lt50_c for each in lawns]),
        limit_c=np.array([limit_c for limit_c, _ in limits]),
        felt_c=np.array([[layer.min_c for layer in each] for each in layers]),
        felt_sd_dc=np.sqrt(np.maximum(felt_sd**2 - region_sd_dc**2, 0.0) + own_sd**2),
        share=np.array([[layer.share_fraction for layer in each] for each in layers]),
        other_loss=np.array([other_loss_probability(each.traits) for each in lawns]),
        likelihood=np.array([likelihood_of((each.piece,)) for each in lawns]),
        weight=np.array([each.weight_fraction for each in lawns]),
    )


def _own_limit_sd_dc(code: GrassCode, lawn: LawnOutcome) -> float:
    """How far this lawn's LT50 may lie off its group's: its hardening, and its cultivar where nobody knows it."""
    known = tolerance(code, lawn.cultivar)
    hardening_sd_dc = known.unhardened_shift_dc * cold_facts.HARDENED_SD_FRACTION.value
    return math.hypot(hardening_sd_dc, unknown_cultivar_sd_dc(code) if lawn.cultivar is None else 0.0)


@lru_cache(maxsize=_ODDS_KEPT)
def likelihood_of(findings: tuple[Evidence, ...]) -> tuple[float, ...]:
    """How likely all findings together are at each alive fraction 0.00 ... 1.00; the largest 1.

    Raises NotEnoughData where they exclude every fraction.
    """
    given = [math.prod(at) for at in zip(*(each.likelihood() for each in findings), strict=True)]
    best = max(given)
    if best <= 0:
        raise NotEnoughData("what was found of a lawn excludes every alive fraction")
    return tuple(each / best for each in given)


def log_likelihoods(table: LawnTable, shifts_dc: Array, misseen_probability: Array, readiness: Array) -> Array:
    """[misseen, shift] Log of how likely what came of all these lawns is, given that their owners answered.

    Parameters
    ----------
    table : LawnTable
        The lawns.
    shifts_dc : array
        Of the LT50. [degC]
    misseen_probability : array
        How often what was said has nothing to do with what lives.
    readiness : array
        How readily an owner answers at each alive fraction 0.00 ... 1.00, in any unit.
    """
    total = np.zeros((len(misseen_probability), len(shifts_dc)))
    for first in range(0, len(table.limit_c), int(facts.BLOCK_LAWNS.value)):
        rows = slice(first, first + int(facts.BLOCK_LAWNS.value))
        seen = table.likelihood[rows]
        chances = _expected(table, rows, shifts_dc, seen * readiness)
        if np.ptp(readiness) > 0:
            chances /= _expected(table, rows, shifts_dc, np.broadcast_to(readiness, seen.shape))
        else:
            chances /= readiness[0]
        by_chance = seen.mean(axis=1, keepdims=True)
        for row, misseen in enumerate(misseen_probability):
            total[row] += table.weight[rows] @ np.log((1 - misseen) * chances + misseen * by_chance)
    return total


def _expected(table: LawnTable, rows: slice, shifts_dc: Array, of_alive: Array) -> Array:
    """[lawn, shift] The mean of something given at each alive fraction, over what may be alive of each lawn."""
    nodes, shares = _nodes()
    position = alive_fractions(table, rows, shifts_dc, nodes) * GRID_STEPS
    low = np.minimum(position.astype(np.int32), GRID_STEPS - 1)
    position -= low
    low += (np.arange(len(of_alive), dtype=np.int32) * (GRID_STEPS + 1))[:, None, None]
    position *= np.diff(of_alive, append=0.0).ravel()[low]
    position += of_alive.ravel()[low]
    by_cold = np.einsum("n,lns->ls", shares, position)
    other, wrong = table.other_loss[rows, None], cold_facts.PICTURE_WRONG_PROBABILITY.value
    mean: Array = (1 - other - wrong) * by_cold + other * of_alive[:, :1]
    mean += wrong * of_alive.mean(axis=1, keepdims=True)
    return mean


def mean_alive(table: LawnTable, shifts_dc: Array) -> Array:
    """[lawn, shift] The share alive that lawns like these show on average at each shift. [degC]"""
    nodes, shares = _nodes()
    by_cold = np.einsum("n,lns->ls", shares, alive_fractions(table, slice(None), shifts_dc, nodes))
    wrong = cold_facts.PICTURE_WRONG_PROBABILITY.value
    shown: Array = (1 - table.other_loss[:, None] - wrong) * by_cold + wrong * 0.5
    return shown


def alive_fractions(table: LawnTable, rows: slice, shifts_dc: Array, nodes: Array) -> Array:
    """[lawn, node, shift] The fraction alive where a lawn's own error is so many standard deviations."""
    scale = cold_facts.LOGISTIC_SCALE_DC.value
    limit, moved = table.limit_c[rows, None], np.exp(shifts_dc / scale)

    def alive_at(layer: int) -> Array:
        felt = table.felt_c[rows, layer, None] + table.felt_sd_dc[rows, layer, None] * nodes
        odds: Array = np.exp((limit - felt) / scale)[:, :, None] * moved
        odds += 1
        np.reciprocal(odds, out=odds)
        return odds

    top = alive_at(0)
    depths = table.share.shape[1]
    if depths == 1:
        return top
    below = np.zeros_like(top)
    for layer in range(1, depths):
        below += table.share[rows, layer, None, None] * alive_at(layer)
    alive: Array = top + below - top * below  # what died on top may come back from below
    return alive


@cache
def _nodes() -> tuple[Array, Array]:
    """Points of a standard normal and their shares: evenly spaced, which is nearly exact for smooth curves."""
    reach, step = facts.NODE_REACH_SDS.value, facts.NODE_STEP_SDS.value
    nodes = np.linspace(-reach, reach, round(2 * reach / step) + 1)
    shares = np.exp(-nodes * nodes / 2)
    return nodes, shares / shares.sum()
