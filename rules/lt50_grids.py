"""Numbers for `lt50_fit.py`: smooth curves through grids, where a density lies, the quantiles of a mixture."""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np

from rules.facts import lt50 as facts
from rules.lt50_lawns import Array

_FEW_NODES = 6  # of the curve that is drawn through the likelihood


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """A shift with its doubt: middle, and where it lies nine times in ten. [degC, warmer is positive]"""

    low_dc: float
    middle_dc: float
    high_dc: float
    sd_dc: float

    @property
    def width_dc(self) -> float:
        """From low to high."""
        return self.high_dc - self.low_dc


def log_normal(at: Array, sd_dc: float) -> Array:
    """Log of a normal density around 0, up to a constant. Closed form."""
    density: Array = -0.5 * (at / sd_dc) ** 2
    return density


def even(sd_dc: float, points: Array | None = None) -> Array:
    """Even points over all where a normal lies, or over the part that some points cover. [degC]"""
    reach = facts.REACH_SDS.value * sd_dc
    low, high = (-reach, reach) if points is None else (points[0], points[-1])
    return np.linspace(low, high, int(facts.FINE_POINTS.value))


def narrowed(points: Array, log_density: Array) -> Array:
    """As many even points over the part where a density lies at all. Refined so, a grid finds a narrow peak."""
    inside = np.flatnonzero(log_density > log_density.max() - facts.LOST_LOG.value)
    low, high = points[max(inside[0] - 1, 0)], points[min(inside[-1] + 1, len(points) - 1)]
    return np.linspace(low, high, len(points))


def through(grid: Array, values: Array, at: Array) -> Array:
    """A smooth curve through values on an even grid: at each point the polynomial through its nearest neighbours."""
    position = (at - grid[0]) / (grid[1] - grid[0])
    first = np.clip(np.floor(position).astype(np.intp) - _FEW_NODES // 2 + 1, 0, len(grid) - _FEW_NODES)
    inside = position - first
    found: list[Array] = [values[first + node] for node in range(_FEW_NODES)]
    for order in range(1, _FEW_NODES):
        for node in range(_FEW_NODES - order):
            found[node] = ((node + order - inside) * found[node] + (inside - node) * found[node + 1]) / order
    return found[0]


def normal_spread(sd_dc: float) -> Spread:
    """Of a normal around 0."""
    edge = NormalDist(0.0, sd_dc).inv_cdf((1 + facts.INTERVAL_PROBABILITY.value) / 2)
    return Spread(low_dc=-edge, middle_dc=0.0, high_dc=edge, sd_dc=sd_dc)


def mixed_spread(centres: Array, weights: Array, sd_dc: float) -> Spread:
    """Of a mixture of normals that are all as wide, at these centres. [degC]"""
    reach = facts.REACH_SDS.value * sd_dc
    at = np.linspace(centres.min() - reach, centres.max() + reach, int(facts.QUANTILE_POINTS.value))
    step = at[1] - at[0]
    side = math.ceil(reach / step)
    bell = np.exp(log_normal(step * np.arange(-side, side + 1), sd_dc))
    total = np.cumsum(np.convolve(_on_grid(centres, weights, at), bell, mode="same"))
    tail = (1 - facts.INTERVAL_PROBABILITY.value) / 2
    low, middle, high = np.interp((tail, 0.5, 1 - tail), total / total[-1], at + step / 2)
    mean = float(weights @ centres / weights.sum())
    variance = float(weights @ (centres - mean) ** 2 / weights.sum()) + sd_dc**2
    return Spread(low_dc=float(low), middle_dc=float(middle), high_dc=float(high), sd_dc=math.sqrt(variance))


def _on_grid(centres: Array, weights: Array, at: Array) -> Array:
    """Weights on an even grid, each split between its two neighbours."""
    position = (centres - at[0]) / (at[1] - at[0])
    low = np.minimum(np.floor(position).astype(np.intp), len(at) - 2)
    above: Array = position - low
    split = np.zeros(len(at))
    split += np.bincount(low, weights * (1 - above), len(at)) + np.bincount(low + 1, weights * above, len(at))
    return split
