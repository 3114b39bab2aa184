"""The grid posterior against an independent integrator, with the error written out anew."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.special import expit, logit
from scipy.stats import norm

from rules.recovery import Reading, Weeds, trend_of

LOW, HIGH, CUT = -0.05, 0.20, 0.015
SERIES = {
    "growing": [(0, 4), (7, 6), (14, 7), (21, 12), (28, 15)],
    "bare": [(0, 1), (7, 0), (14, 2), (21, 0), (28, 1), (35, 0), (42, 1)],
    "one": [(14, 30)],
    "closing": [(0, 20), (7, 33), (14, 52), (21, 66), (28, 80), (35, 88)],
    "outlier": [(0, 10), (7, 12), (14, 45), (21, 17), (28, 21)],
}


def sides(readings: Sequence[Reading]) -> list[float]:
    """Weight of not growing and of growing: adaptive quadrature over the level, Gauss-Legendre over the pace.

    Prior and error are written from their description, not from the code.
    """
    middle = sum(each.warm_days for each in readings) / len(readings)
    nodes, gauss = np.polynomial.legendre.leggauss(60)

    def side(low: float, high: float, chance: float) -> float:
        growth = (high + low) / 2 + (high - low) / 2 * nodes

        def at(level: float) -> float:
            value = np.ones_like(growth)
            for each in readings:
                cover = 100 * expit(level + growth * (each.warm_days - middle))
                spread = np.sqrt(1 + (0.1 * np.minimum(cover, 100 - cover) + 1) ** 2 + 4 / each.photos)
                off = each.cover_percent - cover
                value *= 0.95 * norm.pdf(off, scale=spread) + 0.05 * norm.pdf(off, scale=np.hypot(spread, 15))
            return float(value @ gauss) / 2 * chance * 1e9

        return float(quad(at, logit(0.0005), logit(0.995), limit=400, epsabs=0, epsrel=1e-6)[0])

    return [side(LOW, CUT, 0.25), side(CUT, HIGH, 0.75)]


@pytest.mark.parametrize("name", SERIES)
def test_odds_of_growth_equal_those_of_an_independent_integrator(name: str) -> None:
    """Odds of growth within half a point of adaptive quadrature."""
    readings = [Reading(warm_days=day, cover_percent=cover) for day, cover in SERIES[name]]

    still, growing = sides(readings)

    assert trend_of(readings).growing_probability == pytest.approx(growing / (growing + still), abs=0.005)


def fine(readings: Sequence[Reading], points: int = 500) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Brute force: one fine grid over the whole box, in plain loops over readings; steps by a sum over 21 steps."""
    middle = sum(each.warm_days for each in readings) / len(readings)
    level = np.linspace(logit(0.0005), logit(0.995), points + 1)
    level = ((level[1:] + level[:-1]) / 2)[:, None]
    growth = np.concatenate([np.linspace(LOW, CUT, 61), np.linspace(CUT, HIGH, 181)])
    edges = np.unique(growth)
    growth = ((edges[1:] + edges[:-1]) / 2)[None, :]
    weight = np.where(growth >= CUT, 0.75 / (HIGH - CUT), 0.25 / (CUT - LOW)) * np.diff(edges)[None, :]
    weight = np.broadcast_to(weight, (points, growth.size)).copy()
    kinds = sorted({each.upload for each in readings}, key=lambda k: (-sum(e.upload == k for e in readings), k))
    steps = np.linspace(-4, 4, 21)
    for kind in kinds:
        shifts, chances = ([0.0], [1.0]) if kind == kinds[0] else (steps, norm.pdf(steps) / norm.pdf(steps).sum())
        total = 0.0
        for shift, chance in zip(shifts, chances, strict=True):
            product = np.full(weight.shape, chance)
            for each in (e for e in readings if e.upload == kind):
                cover = 100 * expit(level + growth * (each.warm_days - middle))
                spread = np.sqrt(1 + (0.1 * np.minimum(cover, 100 - cover) + 1) ** 2 + 4 / each.photos)
                spread = spread + (3 if kind == "mms" else 0)
                kept, unsure = {"none": (1, 0), "some": (0.7, 0.15)}[each.weeds]
                spread = np.hypot(spread, unsure * each.cover_percent)
                off = kept * each.cover_percent - cover - shift * (0.07 * cover + 0.5)
                product *= 0.95 * norm.pdf(off, scale=spread) + 0.05 * norm.pdf(off, scale=np.hypot(spread, 15))
            total = total + product
        weight *= total
    now = max(each.warm_days for each in readings)
    cover = 100 * expit(level + growth * (now - middle))
    return cover.ravel(), np.broadcast_to(growth, cover.shape).ravel(), (weight / weight.sum()).ravel()


def quantile(values: np.ndarray, weight: np.ndarray, probability: float) -> float:
    order = np.argsort(values)
    return float(values[order][np.searchsorted(np.cumsum(weight[order]), probability)])


MIXED = [
    Reading(warm_days=0, cover_percent=10, upload="photo"),
    Reading(warm_days=7, cover_percent=12, upload="photo"),
    Reading(warm_days=14, cover_percent=21, upload="mms"),
    Reading(warm_days=21, cover_percent=22, upload="photo", weeds=Weeds.SOME),
    Reading(warm_days=28, cover_percent=24, upload="file", photos=3),
    Reading(warm_days=35, cover_percent=31, upload="file", photos=3),
]
SHARP = [Reading(warm_days=3.0 * at, cover_percent=50 + at, photos=5) for at in range(12)]


@pytest.mark.parametrize(
    "readings",
    [*([Reading(warm_days=d, cover_percent=c) for d, c in rows] for rows in SERIES.values()), MIXED, SHARP],
    ids=[*SERIES, "mixed uploads and weeds", "sharp"],
)
def test_intervals_equal_those_of_a_grid_many_times_finer(readings: list[Reading]) -> None:
    """Cover now and growth: the ends of the 90 % intervals lie within a twenty-fifth of the interval's width."""
    told = trend_of(readings)
    cover, growth, weight = fine(readings)

    for values, low, middle, high in (
        (cover, told.cover_now.low_percent, told.cover_now.middle_percent, told.cover_now.high_percent),
        (growth, told.growth_per_day.low, told.growth_per_day.middle, told.growth_per_day.high),
    ):
        exact = [quantile(values, weight, each) for each in (0.05, 0.5, 0.95)]
        assert [low, middle, high] == pytest.approx(exact, abs=0.04 * (exact[2] - exact[0]))
    assert told.growing_probability == pytest.approx(weight[growth >= CUT].sum(), abs=0.005)
    assert told.recovered_probability == pytest.approx(weight[cover >= 75].sum(), abs=0.01)
    assert told.bare_probability == pytest.approx(weight[cover < 5].sum(), abs=0.01)


def test_half_cover_lies_where_the_line_crosses() -> None:
    """Readings on a plain line of 0.06 a day from 10 %: the crossing lies within its range, 0 once it is there."""
    covers = [100 * float(expit(logit(0.10) + 0.06 * 7 * at)) for at in range(5)]
    told = trend_of(Reading(warm_days=7.0 * at, cover_percent=cover) for at, cover in enumerate(covers))
    days = told.half_cover_in_warm_days

    assert days.low is not None
    assert days.middle is not None
    assert days.high is not None
    assert days.low < -logit(0.10) / 0.06 - 28 < days.high
    assert days.middle == pytest.approx(-logit(0.10) / 0.06 - 28, abs=3)
    assert told.cover_later.low_percent < 100 * expit(logit(0.10) + 0.06 * 56) < told.cover_later.high_percent
    there = trend_of([Reading(warm_days=7.0 * at, cover_percent=85) for at in range(4)])
    assert there.half_cover_in_warm_days.high == 0
    never = trend_of([Reading(warm_days=7.0 * at, cover_percent=10) for at in range(12)])
    assert never.half_cover_in_warm_days.high is None
