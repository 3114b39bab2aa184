"""The posterior over level and growth of one spot's cover, on a grid that is laid where the readings put it.

The step of another kind of upload is averaged over for each kind by itself (kinds are independent given the line), so
no further axis is needed and the average is exact.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from rules.facts import recovery as facts
from rules.recovery import CoverRange, Likely, Reading, Trend, error_variance, step_sd_percent

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Posterior:
    """Points of the grid, flat: logit of the cover on the middle day, growth a warm day, and their weights (sum 1)."""

    level: Array
    growth_per_day: Array
    weight: Array
    middle_warm_days: float

    def logit_at(self, warm_days: float) -> Array:
        """Logit of the cover on a day, for each point."""
        return self.level + self.growth_per_day * (warm_days - self.middle_warm_days)

    def probability(self, holds: NDArray[np.bool_]) -> float:
        """Weight of the points for which something holds."""
        return min(1.0, float(self.weight[holds].sum()))

    def quantiles(self, values: Array, probability: Sequence[float]) -> list[float]:
        """Weighted quantiles, straight between the points; points of one value (one level, one pace) count as one."""
        order = np.argsort(values)
        ordered = values[order]
        starts = np.flatnonzero(np.concatenate([[True], np.diff(ordered) > 1e-9]))
        weight = np.add.reduceat(self.weight[order], starts)
        below = np.cumsum(weight) - weight / 2
        return [float(each) for each in np.interp(probability, below, ordered[starts])]


def posterior_of(readings: Sequence[Reading]) -> Posterior:
    """Posterior of level and growth. Readings: one or more. Source and checks: `rules.recovery.trend_of`."""
    middle = sum(each.warm_days for each in readings) / len(readings)
    levels = (logit_of(facts.LEVEL_LOW_PERCENT.value), logit_of(facts.LEVEL_HIGH_PERCENT.value))
    growths = (facts.GROWTH_LOW_PER_DAY.value, facts.GROWTH_HIGH_PER_DAY.value)
    for _ in range(2):  # the second time where the first found it
        search = _Box(levels, growths, int(facts.SEARCH_LEVELS.value), int(facts.SEARCH_GROWTHS.value))
        levels, growths = search.where_likely(readings, middle)
    return _Box(levels, growths, int(facts.GRID_LEVELS.value), int(facts.GRID_GROWTHS.value)).posterior(
        readings, middle
    )


def worked_out(readings: tuple[Reading, ...]) -> Trend:
    """What the posterior says as of the newest reading. Readings in order of time, one or more."""
    found = posterior_of(readings)
    now = readings[-1].warm_days
    cover_now = percent_of(found.logit_at(now))
    cover_later = percent_of(found.logit_at(now + facts.OUTLOOK_WARM_DAYS.value))
    growth = found.quantiles(found.growth_per_day, _tails(facts.INTERVAL_PROBABILITY.value))
    return Trend(
        readings=readings,
        growing_probability=found.probability(found.growth_per_day >= facts.GROWING_PER_DAY.value),
        growth_per_day=Likely(low=growth[0], middle=growth[1], high=growth[2]),
        cover_now=_cover_range(found, cover_now),
        cover_later=_cover_range(found, cover_later),
        half_cover_in_warm_days=_half_cover_in(found, now),
        recovered_probability=found.probability(cover_now >= facts.RECOVERED_PERCENT.value),
        bare_probability=found.probability(cover_now < facts.BARE_PERCENT.value),
    )


def log_likelihood(readings: Sequence[Reading], course_percent: Callable[[float], Array]) -> Array:
    """Log of how likely the readings are, for each of many courses of the cover over warm days.

    `course_percent(warm_days)` gives the cover of every course on that day. Steps between kinds of upload are
    averaged over, against the kind with most readings. Source: rules/facts/recovery.py, expert judgement.
    """
    first, *others = _by_upload(readings)
    total: Array = np.sum([_log_one(each, course_percent(each.warm_days), 0.0) for each in first], axis=0)
    steps, chances = _step_nodes()
    for kind in others:
        covers = [course_percent(each.warm_days) for each in kind]
        by_step = [
            np.sum([_log_one(each, cover, step) for each, cover in zip(kind, covers, strict=True)], axis=0)
            for step in steps
        ]
        total = total + _log_mean(np.array(by_step), chances)
    return total


def _log_one(reading: Reading, cover_percent: Array, step: float) -> Array:
    """A normal error, and now and then a large one."""
    off = cover_percent - reading.grass_percent
    if step:
        off += step * step_sd_percent(cover_percent)
    off *= off
    off *= -0.5
    variance = error_variance(cover_percent, reading)
    wide = variance + facts.OUTLIER_SD.value**2
    rare = facts.OUTLIER_PROBABILITY.value
    usual = (1 - rare) / np.sqrt(variance) * np.exp(off / variance)
    logs: Array = np.log(usual + rare / np.sqrt(wide) * np.exp(off / wide))
    return logs


def _by_upload(readings: Sequence[Reading]) -> list[list[Reading]]:
    """Readings of each kind of upload, the kind with most of them first."""
    kinds: dict[str, list[Reading]] = {}
    for each in readings:
        kinds.setdefault(each.upload, []).append(each)
    return [kinds[name] for name in sorted(kinds, key=lambda name: (-len(kinds[name]), name))]


@cache
def _step_nodes() -> tuple[tuple[float, ...], Array]:
    """Points and chances of a standard normal (Gauss-Hermite)."""
    nodes, weights = np.polynomial.hermite_e.hermegauss(int(facts.STEP_NODES.value))
    return tuple(float(each) for each in nodes), weights / weights.sum()


def _log_mean(logs: Array, chances: Array) -> Array:
    best = logs.max(axis=0)
    mean: Array = best + np.log(np.einsum("i,i...->...", chances, np.exp(logs - best)))
    return mean


class _Box:
    """A box of levels and growths with the middles of its cells, none of which lies across the pace called growing."""

    def __init__(
        self, levels: tuple[float, float], growths: tuple[float, float], level_points: int, growth_points: int
    ) -> None:
        self._level_edges = np.linspace(*levels, level_points + 1)
        self._growth_edges = _edges_around(growths, growth_points)
        self._level = _middles(self._level_edges)
        self._growth = _middles(self._growth_edges)

    def _log_weight(self, readings: Sequence[Reading], middle_warm_days: float) -> Array:
        """[level, growth], not normalised."""
        level, growth = self._level[:, None], self._growth[None, :]

        def course_percent(warm_days: float) -> Array:
            return percent_of(level + growth * (warm_days - middle_warm_days))

        before = np.log(np.diff(self._growth_edges) * _density_before(self._growth))
        return log_likelihood(readings, course_percent) + before

    def where_likely(
        self, readings: Sequence[Reading], middle_warm_days: float
    ) -> tuple[tuple[float, float], tuple[float, float]]:
        """The part of the box outside which next to nothing lies, a cell wider on each side."""
        logs = self._log_weight(readings, middle_warm_days)
        kept = logs >= logs.max() - facts.SEARCH_KEEPS_LOG.value
        return _hull(self._level_edges, kept.any(axis=1)), _hull(self._growth_edges, kept.any(axis=0))

    def posterior(self, readings: Sequence[Reading], middle_warm_days: float) -> Posterior:
        logs = self._log_weight(readings, middle_warm_days)
        weight = np.exp(logs - logs.max())
        level, growth = np.broadcast_arrays(self._level[:, None], self._growth[None, :])
        return Posterior(
            level=level.ravel(),
            growth_per_day=growth.ravel(),
            weight=(weight / weight.sum()).ravel(),
            middle_warm_days=middle_warm_days,
        )


def _edges_around(growths: tuple[float, float], points: int) -> Array:
    """Edges of cells, one of them at the pace called growing where that lies inside."""
    low, high = growths
    cut = facts.GROWING_PER_DAY.value
    if not low < cut < high:
        return np.linspace(low, high, points + 1)
    below = min(points - 1, max(1, round(points * (cut - low) / (high - low))))
    return np.concatenate([np.linspace(low, cut, below + 1), np.linspace(cut, high, points - below + 1)[1:]])


def _density_before(growth_per_day: Array) -> Array:
    """Before any photo: as likely growing as not, each even over its paces."""
    cut, chance = facts.GROWING_PER_DAY.value, facts.GROWING_BEFORE_PROBABILITY.value
    growing = chance / (facts.GROWTH_HIGH_PER_DAY.value - cut)
    still = (1 - chance) / (cut - facts.GROWTH_LOW_PER_DAY.value)
    return np.where(growth_per_day >= cut, growing, still)


def _hull(edges: Array, kept: NDArray[np.bool_]) -> tuple[float, float]:
    (where,) = np.nonzero(kept)
    return float(edges[max(0, where[0] - 1)]), float(edges[min(len(edges) - 1, where[-1] + 2)])


def _middles(edges: Array) -> Array:
    return (edges[1:] + edges[:-1]) / 2


def percent_of(logit: Array) -> Array:
    """Cover in percent from its logit."""
    percent: Array = 100 / (1 + np.exp(-logit))
    return percent


def logit_of(cover_percent: float) -> float:
    """Logit of a cover in percent, above 0 and below 100."""
    return math.log(cover_percent / (100 - cover_percent))


def _tails(probability: float) -> tuple[float, float, float]:
    return (1 - probability) / 2, 0.5, (1 + probability) / 2


def _cover_range(found: Posterior, cover_percent: Array) -> CoverRange:
    low, middle, high = found.quantiles(cover_percent, _tails(facts.INTERVAL_PROBABILITY.value))
    return CoverRange(low_percent=low, middle_percent=middle, high_percent=high)


def _half_cover_in(found: Posterior, now_warm_days: float) -> Likely:
    furthest = facts.FURTHEST_WARM_DAYS.value
    to_go = np.maximum(0.0, -found.logit_at(now_warm_days))
    pace = np.maximum(found.growth_per_day, 1e-9)
    days = np.minimum(to_go / pace, furthest)
    told = found.quantiles(days, _tails(facts.HALF_COVER_INTERVAL_PROBABILITY.value))
    low, middle, high = (None if each >= furthest - 1e-6 else each for each in told)
    return Likely(low=low, middle=middle, high=high)
