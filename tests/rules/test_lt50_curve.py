"""The survival curve for a chart: against the odds of a single lawn, monotone, and what was seen beside it."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from rules.combine import PotTest
from rules.grasses import GrassCode, tolerance
from rules.lt50_curve import Share, survival_curve
from rules.lt50_evidence import Way
from rules.lt50_fit import fit_limit
from rules.lt50_lawns import LawnOutcome, mean_alive, table_of
from rules.site_cold import SpotTraits
from rules.survival import survival
from tests.rules.invented_region import InventedRegion
from tests.rules.test_lt50_fit import cold, lawn

REGION_SD_DC = 0.5


@pytest.mark.parametrize("code", [GrassCode.ST_AUGUSTINE, GrassCode.BERMUDA])
@pytest.mark.parametrize("crown_c", [-11.0, -8.0, -6.0, -3.0])
def test_the_expected_share_is_that_of_the_odds(code: GrassCode, crown_c: float) -> None:
    """With no common error taken out, lawns like this show on average what `survival` expects of one."""
    traits = SpotTraits(is_wet=True)
    known = tolerance(code, "celebration" if code is GrassCode.BERMUDA else "tamstar")
    cultivar = "celebration" if code is GrassCode.BERMUDA else "tamstar"
    each = LawnOutcome(
        cultivar=cultivar, cold=cold(crown_c), traits=traits, way=Way.POT_TEST, piece=PotTest(alive=3, total=6, weeks=4)
    )
    doubtful = table_of(code, [each], region_sd_dc=0.0)
    doubts = np.random.default_rng(1).normal(0.0, known.sd_dc, 4000)
    shown = float(mean_alive(doubtful, doubts).mean())

    assert shown == pytest.approx(survival(cold(crown_c), code, known, traits).mean_fraction, abs=0.02)


@pytest.mark.parametrize("code", [GrassCode.ST_AUGUSTINE, GrassCode.BERMUDA])
def test_curves_rise_with_the_minimum_and_ranges_hold_their_middle(code: GrassCode) -> None:
    """The milder the crown's minimum, the more lives, in every line; low, middle and high stand in order."""
    lawns = InventedRegion(code=code, shift_dc=1.0).lawns(np.random.default_rng(2), 400)
    curve = survival_curve(code, fit_limit(code, lawns).grass, lawns, region_sd_dc=REGION_SD_DC)

    def lines(share: Share) -> tuple[float, float, float]:
        return share.low_fraction, share.middle_fraction, share.high_fraction

    for one, next_one in pairwise(curve.points):
        assert one.crown_min_c < next_one.crown_min_c
        for kind in ("found", "published"):
            before, after = lines(getattr(one, kind)), lines(getattr(next_one, kind))
            assert list(before) == sorted(before)
            assert all(low <= high + 1e-12 for low, high in zip(before, after, strict=True))
    assert all(0 <= each <= 1 for point in curve.points for each in lines(point.found))


def test_a_softer_grass_lies_under_its_published_curve_and_near_what_was_seen() -> None:
    """With an LT50 1.5 degC too warm the found curve lies under the published one, and nearer to most dots."""
    code = GrassCode.ST_AUGUSTINE
    lawns = InventedRegion(code=code, shift_dc=1.5).lawns(np.random.default_rng(4), 3000)
    found = fit_limit(code, lawns).grass
    curve = survival_curve(code, found, lawns, region_sd_dc=REGION_SD_DC)

    assert curve.found_c == pytest.approx(curve.published_c + found.found.middle_dc)
    assert all(each.found.middle_fraction <= each.published.middle_fraction for each in curve.points)
    crowns = [each.crown_min_c for each in curve.points]
    off = {
        kind: np.mean(
            [
                abs(
                    np.interp(dot.crown_min_c, crowns, [getattr(each, kind).middle_fraction for each in curve.points])
                    - dot.seen.middle_fraction
                )
                for dot in curve.seen
            ]
        )
        for kind in ("found", "published")
    }
    assert off["found"] < 0.06 < off["published"]


def test_without_lawns_the_curve_is_the_published_one_twice() -> None:
    """No outcome: both lines are one, nothing was seen."""
    code = GrassCode.CENTIPEDE
    curve = survival_curve(code, fit_limit(code, []).grass, [], region_sd_dc=REGION_SD_DC)

    assert curve.seen == ()
    assert all(each.found == each.published for each in curve.points)
    assert curve.published_c == tolerance(code).lt50_c


def test_few_lawns_make_no_dot() -> None:
    """A handful of lawns that got as cold say nothing as a dot."""
    code = GrassCode.ST_AUGUSTINE
    lawns = [lawn(-7.0, 3)] * 4 + [lawn(-10.5, 0)] * 6
    curve = survival_curve(code, fit_limit(code, lawns).grass, lawns, region_sd_dc=REGION_SD_DC)

    assert [each.lawns for each in curve.seen] == [6.0]
    assert curve.seen[0].seen.middle_fraction < 0.1
