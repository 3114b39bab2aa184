"""Alive share against crown minimum: as published, as outcomes have it, and what was seen. Plain numbers for a chart.

A curve is what lawns with that estimated minimum should show on average, not what one tissue does: it holds the doubt
about each lawn's minimum and the other ways to be lost, so that it can be laid over what was seen.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np

from rules.facts import cold as cold_facts
from rules.facts import lt50 as facts
from rules.grasses import GrassCode, tolerance
from rules.lt50_fit import FoundShift
from rules.lt50_lawns import Array, LawnOutcome, LawnTable, mean_alive, table_of
from rules.survival import GRID_STEPS


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """An alive share and where it lies nine times in ten, 0 to 1."""

    low_fraction: float
    middle_fraction: float
    high_fraction: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CurvePoint:
    """The alive share of lawns with one estimated crown minimum. [degC]"""

    crown_min_c: float
    published: Share
    found: Share


@dataclass(frozen=True, slots=True, kw_only=True)
class SeenPoint:
    """What was seen of some lawns with about that crown minimum. [degC]"""

    crown_min_c: float
    lawns: float
    seen: Share


@dataclass(frozen=True, slots=True, kw_only=True)
class SurvivalCurve:
    """The curve of one grass or cultivar.

    published_c, found_c : where half of typical crowns die, with their hours and hardening [degC]
    points : from cold to mild; seen : the same, as far as lawns reach
    """

    code: GrassCode
    cultivar: str | None
    published_c: float
    found_c: float
    points: tuple[CurvePoint, ...]
    seen: tuple[SeenPoint, ...]


def survival_curve(
    code: GrassCode, found: FoundShift, lawns: Sequence[LawnOutcome], *, region_sd_dc: float
) -> SurvivalCurve:
    """The survival curve of what was found, beside the published one and what was seen.

    Drawn for a lawn that is typical of these: medians of their doubts, hours, hardening and soil. What was seen of a
    lawn stands where it is as far from its own limit as the typical lawn from its. Without lawns: a crown alone.

    Parameters
    ----------
    code : GrassCode
        The grass.
    found : FoundShift
        Of the grass or of the cultivar these lawns are.
    lawns : sequence of LawnOutcome
        Those the shift was found from.
    region_sd_dc : float
        As in `fit_limit`. [degC]

    Returns
    -------
    SurvivalCurve

    Source
    ------
    rules/survival.py. Share seen: maximum likelihood over all mixtures of alive fractions, common practice.

    Checked
    -------
    tests/rules/test_lt50_curve.py: against `survival` itself; monotone.
    """
    tables = [table_of(code, group, region_sd_dc=region_sd_dc) for group in _by_cultivar(lawns)]
    limit_c = _typical_limit_c(code, found.cultivar, tables)
    shifts = [0.0, found.prior.low_dc, found.prior.high_dc]
    shifts += [found.found.middle_dc, found.found.low_dc, found.found.high_dc]
    reach, step = facts.CURVE_REACH_DC.value, facts.CURVE_STEP_DC.value
    crowns = limit_c + np.linspace(-reach, reach, round(2 * reach / step) + 1)
    shares = mean_alive(_typical(crowns, limit_c, tables), np.array(shifts))
    return SurvivalCurve(
        code=code,
        cultivar=found.cultivar,
        published_c=limit_c,
        found_c=limit_c + found.found.middle_dc,
        points=tuple(_point(float(crown), row) for crown, row in zip(crowns, shares, strict=True)),
        seen=tuple(_seen(tables, limit_c)),
    )


def _by_cultivar(lawns: Sequence[LawnOutcome]) -> list[list[LawnOutcome]]:
    groups: dict[str | None, list[LawnOutcome]] = {}
    for lawn in lawns:
        groups.setdefault(lawn.cultivar, []).append(lawn)
    return list(groups.values())


def _typical_limit_c(code: GrassCode, cultivar: str | None, tables: Sequence[LawnTable]) -> float:
    """The published LT50 with the hours and the hardening of a typical lawn. [degC]"""
    published_c = tolerance(code, cultivar).lt50_c
    warmer = [table.limit_c - table.published_c for table in tables]
    return published_c + (float(np.median(np.concatenate(warmer))) if warmer else 0.0)


def _typical(crowns_c: Array, limit_c: float, tables: Sequence[LawnTable]) -> LawnTable:
    """A lawn with each of these crown minima, like the others in everything else."""
    rows, sd, share, soil_c = len(crowns_c), np.zeros(1), np.zeros(1), 0.0
    if tables:
        sd = np.median(np.concatenate([table.felt_sd_dc for table in tables]), axis=0)
        share = np.median(np.concatenate([table.share for table in tables]), axis=0)
        soil_c = float(np.median(np.concatenate([table.felt_c[:, -1] for table in tables])))
    pulls = np.array((1.0, cold_facts.PULL_AT_SHALLOW_FRACTION.value, cold_facts.PULL_AT_MIDDLE_FRACTION.value, 0.0))
    return LawnTable(
        published_c=np.full(rows, limit_c),
        limit_c=np.full(rows, limit_c),
        felt_c=soil_c + pulls[: len(sd)] * (crowns_c[:, None] - soil_c),
        felt_sd_dc=np.tile(sd, (rows, 1)),
        share=np.tile(share, (rows, 1)),
        other_loss=np.full(rows, cold_facts.OTHER_LOSS_PROBABILITY.value),
        likelihood=np.ones((rows, GRID_STEPS + 1)),
        weight=np.ones(rows),
    )


def _point(crown_c: float, shares: Array) -> CurvePoint:
    """A warmer limit leaves less alive, so the upper end of a shift is the lower one of the share."""
    published, published_low, published_high, found, found_low, found_high = map(float, shares)
    return CurvePoint(
        crown_min_c=crown_c,
        published=Share(low_fraction=published_high, middle_fraction=published, high_fraction=published_low),
        found=Share(low_fraction=found_high, middle_fraction=found, high_fraction=found_low),
    )


# --- what was seen -------------------------------------------------------------------------------------------------


def _seen(tables: Sequence[LawnTable], limit_c: float) -> Iterator[SeenPoint]:
    """Lawns that got about as cold, together."""
    if not tables:
        return
    crowns = np.concatenate([table.felt_c[:, 0] - table.limit_c for table in tables]) + limit_c
    likelihood = np.concatenate([table.likelihood for table in tables])
    weight = np.concatenate([table.weight for table in tables])
    bins = np.floor(crowns / facts.BIN_DC.value).astype(int)
    for each in np.unique(bins):
        inside = bins == each
        lawns = float(weight[inside].sum())
        if lawns >= facts.BIN_LEAST_LAWNS.value:
            middle = float(np.average(crowns[inside], weights=weight[inside]))
            yield SeenPoint(crown_min_c=middle, lawns=lawns, seen=_share_seen(likelihood[inside], weight[inside]))


def _share_seen(likelihood: Array, weight: Array) -> Share:
    """The mean alive share of some lawns whose own shares are only roughly known, with what so few may be off."""
    fractions = np.linspace(0, 1, GRID_STEPS + 1)
    mixture = np.full(GRID_STEPS + 1, 1 / (GRID_STEPS + 1))
    for _ in range(int(facts.BIN_ROUNDS.value)):
        each = likelihood * mixture
        each /= each.sum(axis=1, keepdims=True)
        mixture = weight @ each / weight.sum()
    mean = float(mixture @ fractions)
    sd = math.sqrt(float(mixture @ (fractions - mean) ** 2) / float(weight.sum()))
    edge = NormalDist().inv_cdf((1 + facts.INTERVAL_PROBABILITY.value) / 2) * sd
    return Share(low_fraction=max(0.0, mean - edge), middle_fraction=mean, high_fraction=min(1.0, mean + edge))
