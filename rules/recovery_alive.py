"""What photos say about the share of growing points alive: a likelihood over alive fractions 0.00 ... 1.00.

Assumptions, all expert judgement, none published for lawns:

- Where a tenth or more is alive a spot returns; with less the chance falls in a straight line to none, as for a spot
  reported still bare.
- A spot that returns shows nothing for a while (most start within a few warm weeks, some later), then the logit of its
  cover rises steadily. The more is alive, the sooner it starts, the greener and the faster. A few green and then stall.
- Dead ground shows up to 2 % of green that is no grass, and now and then weeds that look like a slow return.

So silence for four warm weeks says little, silence for ten a lot, and growth nearly settles it.
"""

from __future__ import annotations

import math
from functools import cache

import numpy as np

from rules.facts import evidence as evidence_facts
from rules.facts import recovery as facts
from rules.recovery import Reading
from rules.recovery_grid import Array, log_likelihood, logit_of, percent_of
from rules.survival import GRID_STEPS


def photos_likelihood(readings: tuple[Reading, ...]) -> tuple[float, ...]:
    """Likelihood of the readings at each alive fraction, the largest 1. Readings: one or more, in any order.

    Source: module docstring, expert judgement.
    """
    returning = _of_returning(readings)
    still = _log_mean(_log_of_still(readings), _dead_chances())
    best = max(float(returning.max()), float(still))
    weeds = facts.DEAD_WEEDS_PROBABILITY.value
    living = np.exp(returning - best)
    dead = (1 - weeds) * np.exp(still - best) + weeds * living[0]
    fractions = np.linspace(0, 1, GRID_STEPS + 1)
    returns = np.minimum(1.0, fractions / evidence_facts.RETURNS_FROM_ALIVE_FRACTION.value)
    likelihood = (1 - returns) * dead + returns * living
    return tuple(float(each) for each in likelihood / likelihood.max())


def _of_returning(readings: tuple[Reading, ...]) -> Array:
    """Log of the likelihood at each alive fraction where the spot returns."""
    start, pace, lag = _starts()[:, None, None], _paces()[None, :, None], _lags()[None, None, :]
    grown = log_likelihood(readings, lambda day: percent_of(start + pace * np.maximum(0.0, day - lag)))
    stalled = log_likelihood(readings, lambda _: percent_of(_starts()))
    best = max(float(grown.max()), float(stalled.max()))
    start_chances, pace_chances, lag_chances = _chances()
    grows = np.einsum("fs,fp,fl,spl->f", start_chances, pace_chances, lag_chances, np.exp(grown - best), optimize=True)
    stalls = start_chances @ np.exp(stalled - best)
    share = facts.STALLS_PROBABILITY.value
    logs: Array = best + np.log((1 - share) * grows + share * stalls)
    return logs


def _log_of_still(readings: tuple[Reading, ...]) -> Array:
    return log_likelihood(readings, lambda _: percent_of(_dead_levels()))


def _log_mean(logs: Array, chances: Array) -> float:
    best = float(logs.max())
    return best + math.log(float(chances @ np.exp(logs - best)))


@cache
def _starts() -> Array:
    """Logits of the cover at which growth starts."""
    low, high = logit_of(facts.START_LOW_PERCENT.value), logit_of(facts.START_HIGH_ALIVE_PERCENT.value)
    return np.linspace(low, high, int(facts.ALIVE_STARTS.value))


@cache
def _paces() -> Array:
    return np.geomspace(facts.PACE_LOW_PER_DAY.value, facts.GROWTH_HIGH_PER_DAY.value, int(facts.ALIVE_PACES.value))


@cache
def _lags() -> Array:
    return np.linspace(0.0, facts.LAG_LONGEST_WARM_DAYS.value, int(facts.ALIVE_LAGS.value))


@cache
def _dead_levels() -> Array:
    low, high = logit_of(facts.LEVEL_LOW_PERCENT.value), logit_of(facts.DEAD_GREEN_HIGH_PERCENT.value)
    return np.linspace(low, high, int(facts.ALIVE_STARTS.value))


@cache
def _dead_chances() -> Array:
    """Even over the cover itself, not its logit: next to none and 2 % are as likely."""
    cover = percent_of(_dead_levels())
    chances: Array = cover / cover.sum()
    return chances


@cache
def _chances() -> tuple[Array, Array, Array]:
    """Chances of start, pace and lag at each alive fraction: [fraction, point], rows add up to 1."""
    fraction = np.linspace(0, 1, GRID_STEPS + 1)[:, None]
    high = _between(facts.START_HIGH_PERCENT.value, facts.START_HIGH_ALIVE_PERCENT.value, fraction)
    step = _starts()[1] - _starts()[0]
    expected = _rows(np.clip((np.log(high / (100 - high)) - _starts()) / step + 0.5, 0.0, 1.0))
    start = _between(1 / len(_starts()), expected, 1 - facts.START_ANY_PROBABILITY.value)
    median = _between(facts.PACE_MEDIAN_PER_DAY.value, facts.PACE_MEDIAN_ALIVE_PER_DAY.value, fraction)
    pace = np.exp(-0.5 * (np.log(_paces() / median) / facts.PACE_LOG_SD.value) ** 2)
    mean = facts.LAG_MEAN_WARM_DAYS.value - facts.LAG_SOONER_WARM_DAYS.value * fraction
    lag = np.exp(-_lags() / mean)
    return _rows(start), _rows(pace), _rows(lag)


def _between(none: float, whole: float | Array, fraction: float | Array) -> Array:
    return np.asarray(none + (whole - none) * fraction)


def _rows(chances: Array) -> Array:
    rows: Array = chances / chances.sum(axis=1, keepdims=True)
    return rows
