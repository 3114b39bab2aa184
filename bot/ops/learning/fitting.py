"""From lawns whose season is over to what they say about a grass: shifts, curve, and what other owners would change."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from bot.ops.learning.outcomes import Gathered, LawnEnd
from rules.facts.lt50 import ANSWERS_TIMES, REGION_MINIMA_SD_DC
from rules.grasses import GrassCode
from rules.lt50_curve import SurvivalCurve, survival_curve
from rules.lt50_evidence import Way
from rules.lt50_fit import Answering, FoundShift, LimitFit, fit_limit
from rules.lt50_lawns import LawnOutcome


@dataclass(frozen=True, slots=True, kw_only=True)
class Learned:
    """What came out for one grass.

    told, silent : lawns whose owners told how it ended, and lawns whose owners did not
    ways : how many lawns were known how; winters : the years of their springs
    if_living_answer, if_dead_answer : the grass's middle shift, did owners of living (of dead) lawns answer twice as
    often as the others [degC]
    """

    fit: LimitFit
    told: int
    silent: int
    ways: Mapping[Way, int]
    winters: tuple[int, ...]
    if_living_answer_dc: float
    if_dead_answer_dc: float

    @property
    def code(self) -> GrassCode:
        """The grass."""
        return self.fit.code

    @property
    def all(self) -> tuple[FoundShift, ...]:
        """The grass, then its cultivars."""
        return (self.fit.grass, *self.fit.cultivars)


def learn(code: GrassCode, gathered: Gathered) -> Learned:
    """What the lawns of one grass say. Takes up to a few seconds for tens of thousands: call it in a thread."""
    lawns = gathered.of(code)
    told = [each for each in lawns if each.spots]
    outcomes = [outcome for each in told for outcome in outcomes_of_lawn(each)]
    times = ANSWERS_TIMES.value
    return Learned(
        fit=fit_limit(code, outcomes),
        told=len(told),
        silent=len(lawns) - len(told),
        ways=Counter(min((spot.seen.way for spot in each.spots), key=list(Way).index) for each in told),
        winters=tuple(sorted({each.winter for each in told})),
        if_living_answer_dc=_middle_dc(code, outcomes, Answering(living=times)),
        if_dead_answer_dc=_middle_dc(code, outcomes, Answering(dead=times)),
    )


def curve_of(code: GrassCode, found: FoundShift, gathered: Gathered) -> SurvivalCurve:
    """The survival curve of a grass (all its lawns) or of one cultivar (its own)."""
    lawns = [each for end in gathered.of(code) for each in outcomes_of_lawn(end)]
    own = [each for each in lawns if found.cultivar in (None, each.cultivar)]
    return survival_curve(code, found, own, region_sd_dc=REGION_MINIMA_SD_DC.value)


def outcomes_of_lawn(end: LawnEnd) -> Sequence[LawnOutcome]:
    """A lawn as the rules take it: each spot by its part, since the spots of a lawn share a grass and a night."""
    return [
        LawnOutcome(
            cultivar=spot.cultivar,
            cold=spot.cold,
            traits=spot.traits,
            way=spot.seen.way,
            piece=spot.seen.piece,
            weight_fraction=1 / len(end.spots),
        )
        for spot in end.spots
    ]


def _middle_dc(code: GrassCode, outcomes: Sequence[LawnOutcome], answering: Answering) -> float:
    return fit_limit(code, outcomes, answering=answering).grass.found.middle_dc
