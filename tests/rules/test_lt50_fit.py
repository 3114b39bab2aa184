"""The shift of an LT50 out of what came of lawns: independent integration, known shifts, and what must not matter."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import simpson
from scipy.special import expit
from scipy.stats import norm

from rules.combine import OperatorFinding, PotTest
from rules.errors import NotEnoughData, OutOfRange
from rules.facts import lt50 as facts
from rules.grasses import GrassCode, tolerance
from rules.lt50_evidence import CameOf, Judged, Way
from rules.lt50_fit import Answering, FoundShift, LimitFit, fit_limit
from rules.lt50_grids import Spread
from rules.lt50_lawns import LawnOutcome
from rules.lt50_shift import LimitShift, corrected, shift_of_lawn, unknown_cultivar_sd_dc
from rules.site_cold import Basis, Layer, SiteCold, SpotTraits
from rules.survival import effective_lt50_c, survival, top_survival
from tests.rules.invented_region import InventedRegion

CODE = GrassCode.ST_AUGUSTINE
REGION_SD, CULTIVAR_SD = facts.REGION_MINIMA_SD_DC.value, facts.CULTIVAR_SD_DC.value
GRASS_SD = math.hypot(tolerance(CODE).sd_dc, facts.LAB_TO_LAWN_SD_DC.value)


def cold(crown_c: float, *, sd_dc: float = 2.5, soil_c: float = 0.0) -> SiteCold:
    layers = tuple(
        Layer(depth_in=d, share_fraction=s, min_c=soil_c + p * (crown_c - soil_c), sd_dc=1.7 + p * (sd_dc - 1.7))
        for d, s, p in ((0.5, 0.25, 0.65), (1.0, 0.5, 0.4), (2.0, 0.25, 0.0))
    )
    return SiteCold(
        air_min_c=crown_c - 4,
        crown=Layer(depth_in=0.0, share_fraction=1.0, min_c=crown_c, sd_dc=sd_dc),
        rhizomes=layers,
        soil_2in_min_c=soil_c,
        soil_2in_sd_dc=1.7,
        hours_near_min=6.0,
        hardened_fraction=0.85,
        snow_in=0.0,
        basis=Basis.MODELLED,
    )


def lawn(
    crown_c: float, alive: int, *, cultivar: str | None = None, total: int = 6, weight: float = 1.0
) -> LawnOutcome:
    return LawnOutcome(
        cultivar=cultivar,
        cold=cold(crown_c),
        traits=SpotTraits(),
        way=Way.POT_TEST,
        piece=PotTest(alive=alive, total=total, weeks=4),
        weight_fraction=weight,
    )


FEW = (lawn(-6.5, 5), lawn(-7.0, 2), lawn(-8.0, 1), lawn(-5.5, 6), lawn(-9.0, 0))


def same(one: Spread, other: Spread, within_dc: float = 1e-9) -> bool:
    pairs = zip((one.low_dc, one.middle_dc, one.high_dc), (other.low_dc, other.middle_dc, other.high_dc), strict=True)
    return all(math.isclose(a, b, abs_tol=within_dc) for a, b in pairs)


# --- against an independent integrator --------------------------------------------------------------------------------


def chances_of(each: LawnOutcome, shifts_dc: np.ndarray) -> np.ndarray:
    """How likely a pot count is at each shift: Simpson's rule over the lawn's own error, written anew."""
    known = tolerance(CODE, each.cultivar)
    limit_c = effective_lt50_c(each.cold, CODE, known)[0]
    own_sd = math.sqrt(each.cold.crown.sd_dc**2 - REGION_SD**2 + (0.2 * known.unhardened_shift_dc) ** 2)
    if each.cultivar is None:
        own_sd = math.hypot(own_sd, unknown_cultivar_sd_dc(CODE))
    table = np.array(each.piece.likelihood())
    table /= table.max()
    errors = np.linspace(-8, 8, 2001)[:, None]
    alive = expit((each.cold.crown.min_c + errors * own_sd - limit_c - shifts_dc) / 0.8)
    by_cold = simpson(norm.pdf(errors) * np.interp(alive, np.linspace(0, 1, 101), table), x=errors[:, 0], axis=0)
    return 0.95 * by_cold + 0.02 * table[0] + 0.03 * table.mean()


def quantiles(lawns: Sequence[LawnOutcome], shift_sd_dc: float) -> tuple[float, ...]:
    """5, 50 and 95 % of a shift by a brute sum over it and the common error."""
    shifts, errors = np.linspace(-6, 6, 601), np.linspace(-2.5, 2.5, 101)
    shown = np.linspace(-9, 9, 181)
    logs = sum(np.log(chances_of(each, shown)) for each in lawns)
    weights = np.exp(np.interp(shifts[:, None] - errors[None, :], shown, logs))
    weights *= norm.pdf(shifts, scale=shift_sd_dc)[:, None] * norm.pdf(errors, scale=REGION_SD)[None, :]
    total = np.cumsum(weights.sum(axis=1))
    return tuple(float(each) for each in np.interp((0.05, 0.5, 0.95), total / total[-1], shifts + 0.01))


def test_few_lawns_agree_with_an_independent_integral() -> None:
    """Low, middle and high of the grass's shift come out as a brute sum over shift and common error has them."""
    found = fit_limit(CODE, FEW).grass.found

    assert quantiles(FEW, GRASS_SD) == pytest.approx((found.low_dc, found.middle_dc, found.high_dc), abs=0.01)


def test_a_cultivar_leans_on_its_grass_as_the_three_levels_say() -> None:
    """With lawns of one cultivar alone, its shift has the prior of grass and own part, less the common error."""
    lawns = [lawn(-6.5, alive, cultivar="floratam") for alive in (4, 2, 5)]
    found = fit_limit(CODE, lawns).cultivars[0].found
    expected = quantiles(lawns, math.hypot(GRASS_SD, CULTIVAR_SD))

    assert expected == pytest.approx((found.low_dc, found.middle_dc, found.high_dc), abs=0.01)


def test_what_was_seen_by_eye_agrees_with_an_independent_integral() -> None:
    """A pot test and lawns by eye: a sum over shift, common error, the eye's step and what was misseen."""
    tested = [lawn(-6.5, 2)]
    eyed = [
        replace(lawn(crown, 0), way=Way.BY_EYE, piece=Judged(came_of))
        for crown, came_of in ((-7.0, CameOf.BACK), (-8.0, CameOf.PARTLY), (-6.0, CameOf.DEAD), (-5.0, CameOf.BACK))
    ]
    found = fit_limit(CODE, [*tested, *eyed]).grass.found
    shifts, errors, steps = np.linspace(-6, 6, 241), np.linspace(-2, 2, 41), np.linspace(-3, 3, 61)
    shown = np.linspace(-12, 12, 241)
    chances = [chances_of(each, shown) for each in eyed]
    means = [float(np.mean(np.array(each.piece.likelihood()) / max(each.piece.likelihood()))) for each in eyed]
    by_pot = np.interp(shifts[:, None] - errors, shown, np.log(chances_of(tested[0], shown)))
    by_shift = np.zeros(len(shifts))
    for misseen in (fact.value for fact in facts.MISSEEN_PROBABILITY):
        logs = sum(np.log((1 - misseen) * at + misseen * mean) for at, mean in zip(chances, means, strict=True))
        by_eye = np.interp(shifts[:, None, None] - errors[:, None] + steps, shown, logs)
        weights = np.exp(by_pot)[:, :, None] * np.exp(by_eye) * norm.pdf(steps, scale=facts.SEEN_SD_DC.value)
        by_shift += (weights.sum(axis=2) * norm.pdf(errors, scale=REGION_SD)).sum(axis=1)
    total = np.cumsum(by_shift * norm.pdf(shifts, scale=GRASS_SD))
    expected = np.interp((0.05, 0.5, 0.95), total / total[-1], shifts + 0.025)

    assert (found.low_dc, found.middle_dc, found.high_dc) == pytest.approx(expected, abs=0.02)


def test_with_everything_known_but_the_levels_it_is_the_normal_of_the_books() -> None:
    """Very many lawns pin what a cultivar shows; what is left of its shift is the common error, shrunk by the prior."""
    region = InventedRegion(code=CODE, shift_dc=0.5, cultivars={"floratam": 0.0}, unknown=0.0, ways=(0.0, 1.0, 0.0))
    many = [replace(each, weight_fraction=1.0) for each in region.lawns(np.random.default_rng(3), 400)] * 25
    found = fit_limit(CODE, many).of("floratam")
    kept = (GRASS_SD**2 + CULTIVAR_SD**2) / (GRASS_SD**2 + CULTIVAR_SD**2 + REGION_SD**2)

    assert found is not None
    assert found.found.sd_dc == pytest.approx(REGION_SD * math.sqrt(kept), abs=0.02)


# --- what outcomes do -------------------------------------------------------------------------------------------------


def test_no_lawns_give_the_prior_back() -> None:
    """Without outcomes the shift is as wide as papers and lawns may lie apart, and nothing may be adopted."""
    fit = fit_limit(CODE, [])

    assert fit.grass.found == fit.grass.prior
    assert fit.grass.prior.sd_dc == GRASS_SD
    assert fit.grass.prior.high_dc == pytest.approx(norm.ppf(0.95, scale=GRASS_SD))
    assert fit.cultivars == ()
    assert not fit.grass.is_enough


def test_lawns_that_say_nothing_give_the_prior_back() -> None:
    """An outcome as likely at every alive fraction moves neither grass nor cultivar."""
    dumb = OperatorFinding(alive_fraction=0.5, sd_fraction=0.5)
    nothing = tuple(1.0 for _ in dumb.likelihood())

    class Silent:
        def likelihood(self) -> tuple[float, ...]:
            return nothing

    quiet = [replace(lawn(-7.0, 3, cultivar=name), piece=Silent()) for name in (None, "raleigh", "floratam")]
    fit = fit_limit(CODE, quiet)

    for each in (fit.grass, *fit.cultivars):
        assert same(each.found, each.prior, 0.005)
        assert each.found.sd_dc == pytest.approx(each.prior.sd_dc, abs=1e-3)


@pytest.mark.parametrize("shift_dc", [-1.5, 0.0, 1.5])
@pytest.mark.parametrize("code", [CODE, GrassCode.BERMUDA])
def test_a_known_shift_is_found(code: GrassCode, shift_dc: float) -> None:
    """Two thousand invented lawns bring the middle within half a degree of the truth, and may be adopted."""
    region = InventedRegion(code=code, shift_dc=shift_dc)
    fit = fit_limit(code, region.lawns(np.random.default_rng(11), 2000))

    assert fit.grass.found.middle_dc == pytest.approx(shift_dc, abs=0.5)
    assert fit.grass.found.low_dc <= shift_dc <= fit.grass.found.high_dc
    assert fit.grass.is_enough


def test_thirty_lawns_are_not_enough() -> None:
    """Thirty lawns give a shift, and may not be adopted."""
    fit = fit_limit(CODE, InventedRegion(code=CODE, shift_dc=1.5).lawns(np.random.default_rng(5), 30))

    assert fit.grass.has_few_lawns
    assert not fit.grass.is_enough


def test_mild_lawns_do_not_count_however_many_they_are() -> None:
    """Lawns far from the limit live whatever it is: thousands of them say little and are not enough."""
    fit = fit_limit(CODE, [lawn(6.0, 6)] * 3000)

    assert fit.grass.near == 0
    assert fit.grass.lawns == 3000
    assert not fit.grass.is_enough


def test_the_common_error_is_never_learned() -> None:
    """The wider all minima may be off together, the wider the result, however many lawns there are."""
    lawns = InventedRegion(code=CODE, shift_dc=0.0).lawns(np.random.default_rng(7), 1500)
    widths = [fit_limit(CODE, lawns, region_sd_dc=sd).grass.found.width_dc for sd in (0.2, 0.5, 1.0)]

    assert widths == sorted(widths)
    assert widths[2] > 2 * widths[0]


def test_pot_tests_put_right_what_eyes_misjudge() -> None:
    """Owners who call nothing back before most of it is green: pot tests in the same region show it."""
    chance = np.random.default_rng(17)
    tested = InventedRegion(code=CODE, shift_dc=0.0, ways=(0.0, 1.0, 0.0)).lawns(chance, 600)
    eyed = InventedRegion(code=CODE, shift_dc=1.0, ways=(1.0, 0.0, 0.0)).lawns(chance, 1500)  # as if all were harsher
    alone, both = fit_limit(CODE, eyed).grass, fit_limit(CODE, [*tested, *eyed]).grass

    assert alone.found.middle_dc > 0.6
    assert abs(both.found.middle_dc) < 0.3
    assert both.found.width_dc < alone.found.width_dc
    assert (alone.tested, both.tested > 100) == (0, True)


def test_a_cultivar_with_few_lawns_takes_after_its_grass() -> None:
    """A cultivar's shift lies between its own lawns' and its grass's, nearer its own the more lawns it has."""
    chance = np.random.default_rng(9)
    grass = InventedRegion(code=CODE, shift_dc=1.2).lawns(chance, 1500)
    own = InventedRegion(code=CODE, shift_dc=0.0, cultivars={"raleigh": -1.0}, unknown=0.0).lawns(chance, 1500)
    middles = [raleigh(fit_limit(CODE, [*grass, *own[:count]])).found.middle_dc for count in (5, 60, 1500)]

    assert middles == sorted(middles, reverse=True)
    assert middles[0] > 0.4
    assert middles[2] == pytest.approx(-1.0, abs=0.6)


def raleigh(fit: LimitFit) -> FoundShift:
    found = fit.of("raleigh")
    assert found is not None
    return found


@pytest.mark.parametrize("came_of", [CameOf.PARTLY, CameOf.DEAD])
def test_worse_outcomes_mean_a_warmer_limit(came_of: CameOf) -> None:
    """Turning a lawn that came back into one that did not never makes the grass hardier."""
    back = [replace(each, way=Way.BY_EYE, piece=Judged(CameOf.BACK)) for each in FEW]
    worse = [replace(back[0], piece=Judged(came_of)), *back[1:]]

    assert fit_limit(CODE, worse).grass.found.middle_dc > fit_limit(CODE, back).grass.found.middle_dc


def test_more_living_plugs_mean_a_hardier_grass() -> None:
    """The middle falls with every further plug that lives."""
    middles = [fit_limit(CODE, [*FEW, lawn(-7.0, alive)]).grass.found.middle_dc for alive in range(7)]

    assert middles == sorted(middles, reverse=True)


# --- what must not matter ---------------------------------------------------------------------------------------------


def test_order_does_not_matter() -> None:
    """The same lawns in another order give the same fit."""
    mixed = [*FEW, lawn(-7.0, 3, cultivar="raleigh"), lawn(-6.0, 3, cultivar="floratam")]
    one, other = fit_limit(CODE, mixed), fit_limit(CODE, reversed(mixed))

    for each in (None, "raleigh", "floratam"):
        assert same(one.of(each).found, other.of(each).found)  # type: ignore[union-attr]


def test_a_lawn_in_two_spots_counts_once() -> None:
    """Two halves of a lawn with the same outcome weigh as much as the lawn."""
    halves = [replace(each, weight_fraction=0.5) for each in FEW for _ in range(2)]
    whole, split = fit_limit(CODE, FEW), fit_limit(CODE, halves)

    assert same(whole.grass.found, split.grass.found)
    assert split.grass.lawns == pytest.approx(whole.grass.lawns)


def test_how_a_likelihood_is_scaled_does_not_matter() -> None:
    """The same evidence with another constant before it, and readiness to answer in another unit, change nothing."""

    class Scaled:
        def likelihood(self) -> tuple[float, ...]:
            return tuple(7.0 * each for each in PotTest(alive=5, total=6, weeks=4).likelihood())

    scaled = [replace(FEW[0], piece=Scaled()), *FEW[1:]]

    assert same(fit_limit(CODE, FEW).grass.found, fit_limit(CODE, scaled).grass.found)
    habit = fit_limit(CODE, FEW, answering=Answering(living=2.0, dead=1.0)).grass.found
    assert same(habit, fit_limit(CODE, FEW, answering=Answering(living=6.0, dead=3.0)).grass.found, 1e-6)


def test_only_the_distance_from_the_limit_matters() -> None:
    """A hardier cultivar whose lawns got colder by as much, with nothing else apart, is off by the same."""
    apart_dc = tolerance(CODE, "fx_332").lt50_c - tolerance(CODE, "floratam").lt50_c
    soft = [tolerance(CODE, name).unhardened_shift_dc for name in ("floratam", "fx_332")]
    floratam = fit_limit(CODE, [lawn(crown, 3, cultivar="floratam") for crown in (-6.0, -7.0)])
    other = fit_limit(CODE, [lawn(crown + apart_dc, 3, cultivar="fx_332") for crown in (-6.0, -7.0)])

    assert soft[0] == soft[1]
    assert same(floratam.cultivars[0].found, other.cultivars[0].found, 1e-6)


def test_readiness_to_answer_moves_the_result_the_right_way() -> None:
    """If owners of living lawns answer oftener, the lawns that answered look better than the region is."""
    alike = fit_limit(CODE, FEW).grass.found.middle_dc
    living = fit_limit(CODE, FEW, answering=Answering(living=2.0, dead=1.0)).grass.found.middle_dc
    dead = fit_limit(CODE, FEW, answering=Answering(living=1.0, dead=2.0)).grass.found.middle_dc

    assert dead < alike < living


def test_a_known_habit_of_answering_is_made_good() -> None:
    """Owners of dead lawns answer half as often: told so, the fit finds the shift; else it finds a hardier grass."""
    region = InventedRegion(code=CODE, shift_dc=1.0, dead_answer=0.5)
    lawns = region.lawns(np.random.default_rng(13), 2000)
    told = fit_limit(CODE, lawns, answering=Answering(living=2.0, dead=1.0)).grass.found.middle_dc
    untold = fit_limit(CODE, lawns).grass.found.middle_dc

    assert told == pytest.approx(1.0, abs=0.5)
    assert untold < told - 0.4


# --- refusals, and what becomes of it ---------------------------------------------------------------------------------


class Impossible:
    def likelihood(self) -> tuple[float, ...]:
        return (0.0,) * 101


def test_what_cannot_be_is_refused() -> None:
    """A cultivar of another grass, a width of nothing, a finding that cannot be."""
    with pytest.raises(NotEnoughData, match=r"Tifway"):
        fit_limit(CODE, [lawn(-6.0, 3, cultivar="tifway")])
    with pytest.raises(OutOfRange):
        fit_limit(CODE, FEW, region_sd_dc=0.0)
    with pytest.raises(NotEnoughData):
        fit_limit(CODE, [replace(FEW[0], piece=Impossible())])
    with pytest.raises(OutOfRange):
        replace(FEW[0], weight_fraction=0.0)


def test_what_is_said_by_eye_is_always_one_of_three() -> None:
    """At every alive fraction the three verdicts by eye add up to 1; back grows with what lives, dead falls."""
    back, partly, dead = (Judged(each).likelihood() for each in (CameOf.BACK, CameOf.PARTLY, CameOf.DEAD))

    assert all(sum(at) == pytest.approx(1.0) for at in zip(back, partly, dead, strict=True))
    assert list(back) == sorted(back)
    assert list(dead) == sorted(dead, reverse=True)


@pytest.mark.parametrize("code", [CODE, GrassCode.BERMUDA])
def test_a_corrected_tolerance_gives_better_odds_where_the_grass_is_hardier(code: GrassCode) -> None:
    """A negative shift raises what is expected to live, no correction changes nothing at all."""
    published = tolerance(code)
    hardier = corrected(published, LimitShift(shift_dc=-1.5, sd_dc=0.8))
    site, traits = cold(-7.5), SpotTraits()

    assert corrected(published, None) is published
    assert survival(site, code, hardier, traits).mean_fraction > survival(site, code, published, traits).mean_fraction
    assert (
        top_survival(site, code, hardier, traits).mean_fraction
        > top_survival(site, code, published, traits).mean_fraction
    )


def test_the_doubt_that_is_left_depends_on_what_is_known_of_a_lawn() -> None:
    """A cultivar's own shift leaves least doubt, its grass's more, an unknown cultivar most."""
    own, taken, unknown = (
        shift_of_lawn(GrassCode.BERMUDA, name, found_dc=1.0, found_sd_dc=0.4, is_own=is_own)
        for name, is_own in (("tifway", True), ("tifway", False), (None, True))
    )

    assert own.sd_dc == 0.4
    assert own.sd_dc < taken.sd_dc < unknown.sd_dc
    assert LimitShift(shift_dc=-0.5, sd_dc=0.4).is_worth_telling
    assert not LimitShift(shift_dc=0.2, sd_dc=0.4).is_worth_telling
