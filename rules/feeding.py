"""Whether, and how much, a lawn may be fed after a freeze.

Two schools disagree (see `SCHOOLS`). Both say: nothing on dormant or dead turf, and only roots that can take it up.
So gates come first, then a dose, then caps that no dose passes whatever the label, the tier or the wish:

1. total nitrogen and soluble nitrogen of one application; the light feeds of one spring together; the species' year;
2. phosphate of one application and of the year, unless a soil test asks for it; none while a local code bans it;
   potash of one application;
3. a light feed needs at least 30 % of its nitrogen slow-release; a bag that does not say counts as none.

A dose that would break a cap becomes the largest one that keeps them all, if that still lies in its tier's range.
Otherwise it is refused with every reason. Dead ground is never part of the area that is fed.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from rules.areas import require_lawn_sqft
from rules.errors import require_range
from rules.facts import feeding as facts
from rules.facts.areas import RATE_AREA_SQFT
from rules.facts.fact import Fact, Source
from rules.facts.feeding_schools import BIOSTIMULANT, SCHOOLS, BiostimulantView, School, SchoolReason, SchoolView
from rules.feed_gates import FedLawn, FeedGate, FeedGates, Tier, TierDecision, feeding_tier
from rules.grasses import GrassCode, nitrogen_limit_lb_per_1000_sqft
from rules.label import (
    Label,
    Nutrients,
    Passes,
    bag_contents,
    bags_to_buy,
    elemental_k_lb,
    elemental_p_lb,
    nutrients,
    potash_product_lb_per_1000_sqft,
    product_for_area_lb,
    product_lb_per_1000_sqft,
    slow_share_fraction,
    two_passes,
)

__all__ = [
    "BIOSTIMULANT",
    "SCHOOLS",
    "BiostimulantView",
    "CapCode",
    "FedLawn",
    "FeedDose",
    "FeedGate",
    "FeedGates",
    "FeedNote",
    "FeedRefusal",
    "IronDose",
    "Label",
    "Nutrients",
    "Passes",
    "PhosphorusRule",
    "RefusalReason",
    "School",
    "SchoolReason",
    "SchoolView",
    "Tier",
    "TierDecision",
    "ToldDose",
    "bag_contents",
    "bags_to_buy",
    "check_told_dose",
    "dose",
    "elemental_k_lb",
    "elemental_p_lb",
    "feeding_tier",
    "iron_for_yellowing",
    "nutrients",
    "phosphorus_rule",
    "potash_product_lb_per_1000_sqft",
    "product_for_area_lb",
    "product_lb_per_1000_sqft",
    "slow_share_fraction",
    "total_n_cap_lb_per_1000_sqft",
    "two_passes",
]


class CapCode(StrEnum):
    """What limits, or refuses, a dose."""

    NO_TIER = "no_tier"
    NO_NITROGEN = "no_nitrogen"
    SLOW_SHARE = "slow_share"
    TOTAL_N = "total_n"
    SOLUBLE_N = "soluble_n"
    P2O5 = "p2o5"
    P2O5_YEAR = "p2o5_year"
    P2O5_BY_LAW = "p2o5_by_law"
    P2O5_LOCAL = "p2o5_local"
    K2O = "k2o"
    LIGHT_TOTAL = "light_total"
    YEAR_N = "year_n"


class FeedNote(StrEnum):
    """What should be said with a dose."""

    SMALLER_THAN_USUAL = "smaller_than_usual"
    SLOW_SHARE_UNKNOWN = "slow_share_unknown"
    P_BY_SOIL_TEST = "p_by_soil_test"
    STATE_CAP = "state_cap"


@dataclass(frozen=True, slots=True, kw_only=True)
class RefusalReason:
    """One cap that a dose would break: what it would come to, and the limit. Units as the cap's own fact."""

    code: CapCode
    value: float
    limit: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FeedDose:
    """A dose that keeps every cap. Rates in lb per 1,000 sq ft; `product_lb` and `passes` when the size is known."""

    tier: Tier
    rate: Nutrients
    product_lb_per_1000_sqft: float
    area_sqft: float | None
    product_lb: float | None
    passes: Passes | None
    notes: tuple[FeedNote, ...] = ()
    bound_by: CapCode | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FeedRefusal:
    """No dose: every reason, and the most nitrogen this label could give within all caps, if any. [lb per 1,000]"""

    reasons: tuple[RefusalReason, ...]
    best_n_lb_per_1000_sqft: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldDose:
    """What an amount somebody was told would mean. [lb per 1,000 sq ft] `times_light`: against a light feed."""

    rate: Nutrients
    broken: tuple[RefusalReason, ...]
    times_light: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PhosphorusRule:
    """What a state's law says of phosphorus on established lawns. `source` is None where no state law is known."""

    state: str
    is_restricted: bool
    exempt: tuple[str, ...]
    starter_cap: Fact
    source: Source | None


@dataclass(frozen=True, slots=True, kw_only=True)
class IronDose:
    """Ferrous sulfate against yellowing, sprayed in water. [oz, US gal]"""

    ferrous_sulfate_oz: float
    water_low_gal: float
    water_high_gal: float


def dose(label: Label, tier: Tier, lawn: FedLawn, area_sqft: float | None) -> FeedDose | FeedRefusal:
    """How much of this product to give, or why none.

    Parameters
    ----------
    label : Label
        What the bag says. Nitrogen counts as soluble where the bag does not say.
    tier : Tier
        From `feeding_tier`.
    lawn : FedLawn
        The grass, the state, and what was given this year.
    area_sqft : float or None
        The living area to feed. [sq ft] 4 to 217,800; None when it is not known: rates only.

    Returns
    -------
    FeedDose or FeedRefusal
        A dose never breaks a cap. A refusal names every cap that the tier's smallest dose would break.

    Raises
    ------
    OutOfRange
        An area outside its range.

    Source
    ------
    Caps and ranges in rules/facts/feeding.py: Marion County code, UF EP353, Rutgers, and our own where marked.

    Checked
    -------
    tests/rules/test_feeding.py: no dose breaks a cap, for any label, tier, history and state.
    """
    if area_sqft is not None:
        require_lawn_sqft(area_sqft)
    if tier is Tier.NONE:
        return FeedRefusal(reasons=(RefusalReason(code=CapCode.NO_TIER, value=0.0, limit=0.0),))
    if not label.n_percent:
        return FeedRefusal(reasons=(RefusalReason(code=CapCode.NO_NITROGEN, value=0.0, limit=0.0),))
    a_pound = nutrients(label, product_lb_per_1000_sqft(label, 1.0))
    caps = _caps(a_pound, tier, lawn)
    bound = min(caps, key=lambda cap: cap.most)
    span = _span(tier, lawn.grass)
    reasons = _share_reason(label, tier) + tuple(cap.reason(span.low) for cap in caps if cap.is_broken_by(span.low))
    if reasons:
        is_hopeless = any(reason.code is CapCode.SLOW_SHARE for reason in reasons) or bound.most <= 0
        best = None if is_hopeless else min(bound.most, span.high)
        return FeedRefusal(reasons=reasons, best_n_lb_per_1000_sqft=best)
    n_lb = min(span.usual, bound.most)
    is_bound = n_lb < span.usual and not math.isclose(n_lb, span.usual)
    return _feed_dose(label, tier, lawn, area_sqft, n_lb, bound.code if is_bound else None)


def check_told_dose(
    label: Label, product_lb: float, area_sqft: float, lawn: FedLawn, tier: Tier = Tier.LIGHT
) -> ToldDose:
    """What an amount of product that somebody named would mean on this lawn.

    Parameters
    ----------
    label : Label
        What the bag says.
    product_lb : float
        Product for the whole area. [lb] 0 to 2,000
    area_sqft : float
        Over which it would be spread. [sq ft] 4 to 217,800; 1,000 for an amount named as a rate.
    lawn : FedLawn
        The grass, the state, and what was given this year.
    tier : Tier
        What it is measured against; a light feed unless said otherwise.

    Returns
    -------
    ToldDose
        The rates, every cap it would break, and how many light feeds it amounts to.

    Raises
    ------
    OutOfRange
        An amount or area outside its range.

    Source
    ------
    As `dose`.
    """
    require_range("product_lb", product_lb, 0.0, facts.BAG_MAX_LB.value, "lb")
    rate = nutrients(label, product_lb / require_lawn_sqft(area_sqft) * RATE_AREA_SQFT.value)
    broken = tuple(cap.reason(1.0) for cap in _caps(rate, tier, lawn) if cap.is_broken_by(1.0))
    if rate.n_lb > 0:
        broken = _share_reason(label, tier) + broken
    return ToldDose(rate=rate, broken=broken, times_light=rate.n_lb / facts.LIGHT_N.value)


def total_n_cap_lb_per_1000_sqft(state: str) -> Fact:
    """The most nitrogen of one application. [lb per 1,000 sq ft] New Jersey's law is stricter than our default.

    Source: Marion County, Florida, code 19-247; Rutgers for New Jersey. `state` is two letters, any case.
    """
    return facts.NEW_JERSEY_N_CAP if state.upper() == "NJ" else facts.TOTAL_N_CAP


def phosphorus_rule(state: str) -> PhosphorusRule:
    """What a state's law says of phosphorus on established lawns, as far as we know it. Local rules may be stricter.

    A restricted state allows it with a soil test that asks for it and for new turf. Elsewhere our own caps hold.
    Source: rules/facts/feeding.py, `PHOSPHORUS_LAWS`; that others have no such law is from memory.
    """
    law = facts.PHOSPHORUS_LAWS.get(state.upper())
    return PhosphorusRule(
        state=state.upper(),
        is_restricted=law is not None,
        exempt=("soil_test", "new_turf"),
        starter_cap=facts.STARTER_P2O5_CAP,
        source=law,
    )


def iron_for_yellowing(area_sqft: float) -> IronDose:
    """Ferrous sulfate for a yellow lawn that must not have nitrogen yet. [oz, US gal] Area 4 to 217,800 sq ft.

    It stains walks and walls. Raises OutOfRange for an unbelievable area. Source: UF/IFAS Baker County.
    """
    shares = require_lawn_sqft(area_sqft) / RATE_AREA_SQFT.value
    return IronDose(
        ferrous_sulfate_oz=shares * facts.IRON_SULFATE_OZ_PER_1000_SQFT.value,
        water_low_gal=shares * facts.IRON_WATER_GAL_PER_1000_SQFT.low,
        water_high_gal=shares * facts.IRON_WATER_GAL_PER_1000_SQFT.high,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Span:
    """A tier's smallest, usual and largest dose. [lb N per 1,000 sq ft]"""

    low: float
    usual: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class _Cap:
    """A limit: what one unit of the dose adds, what was used before, and how far it may go."""

    code: CapCode
    adds: float
    used: float
    limit: float

    @property
    def most(self) -> float:
        """Units of the dose that still fit. 0 or more."""
        return max(0.0, self.limit - self.used) / self.adds if self.adds > 0 else math.inf

    def is_broken_by(self, units: float) -> bool:
        """Whether this many units go over the limit."""
        after = self.used + self.adds * units
        return self.adds * units > 0 and after > self.limit and not math.isclose(after, self.limit)

    def reason(self, units: float) -> RefusalReason:
        """This cap as a reason, at this many units."""
        return RefusalReason(code=self.code, value=self.used + self.adds * units, limit=self.limit)


def _caps(rate: Nutrients, tier: Tier, lawn: FedLawn) -> tuple[_Cap, ...]:
    """Every cap for a rate of nutrients. A unit of the dose is that rate."""
    year = nitrogen_limit_lb_per_1000_sqft(lawn.grass, lawn.state).value
    n_total = total_n_cap_lb_per_1000_sqft(lawn.state).value
    given = lawn.n_this_year_lb_per_1000_sqft
    caps = [
        _Cap(code=CapCode.TOTAL_N, adds=rate.n_lb, used=0.0, limit=n_total),
        _Cap(code=CapCode.SOLUBLE_N, adds=rate.soluble_n_lb, used=0.0, limit=facts.SOLUBLE_N_CAP.value),
        _Cap(code=CapCode.K2O, adds=rate.k2o_lb, used=0.0, limit=facts.K2O_CAP.value),
        _Cap(code=CapCode.YEAR_N, adds=rate.n_lb, used=given, limit=year),
        *_phosphate_caps(rate, tier, lawn),
    ]
    if tier in (Tier.LIGHT, Tier.LIGHT_REPEAT):
        light, limit = lawn.light_n_lb_per_1000_sqft, facts.LIGHT_N_ALTOGETHER.value
        caps.append(_Cap(code=CapCode.LIGHT_TOTAL, adds=rate.n_lb, used=light, limit=limit))
    return tuple(caps)


def _phosphate_caps(rate: Nutrients, tier: Tier, lawn: FedLawn) -> tuple[_Cap, ...]:
    """What limits phosphate. A local ban excepts nobody: what its code excepts, only its own office can say."""
    adds = rate.p2o5_lb
    banned = (_Cap(code=CapCode.P2O5_LOCAL, adds=adds, used=0.0, limit=0.0),) if lawn.is_p_banned else ()
    if lawn.has_soil_test_for_p:
        return (_Cap(code=CapCode.P2O5, adds=adds, used=0.0, limit=facts.P2O5_SOIL_TEST_CAP.value), *banned)
    given = lawn.p2o5_this_year_lb_per_1000_sqft
    caps = [
        _Cap(code=CapCode.P2O5, adds=adds, used=0.0, limit=facts.P2O5_CAP.value),
        _Cap(code=CapCode.P2O5_YEAR, adds=adds, used=given, limit=facts.P2O5_YEAR_CAP.value),
    ]
    if phosphorus_rule(lawn.state).is_restricted and tier is not Tier.NEW_TURF:
        caps.append(_Cap(code=CapCode.P2O5_BY_LAW, adds=adds, used=0.0, limit=0.0))
    return (*caps, *banned)


def _share_reason(label: Label, tier: Tier) -> tuple[RefusalReason, ...]:
    share, needed = slow_share_fraction(label), facts.SLOW_SHARE_MIN_FRACTION.value
    is_light = tier in (Tier.LIGHT, Tier.LIGHT_REPEAT)
    if not is_light or share >= needed or math.isclose(share, needed):
        return ()
    return (RefusalReason(code=CapCode.SLOW_SHARE, value=share, limit=needed),)


def _span(tier: Tier, grass: GrassCode) -> _Span:
    if grass is GrassCode.BUFFALO:
        once = facts.BUFFALO_N_RANGE
        return _Span(low=once.low, usual=once.high, high=once.high)
    if tier is Tier.LIGHT:
        return _Span(low=facts.LIGHT_N_RANGE.low, usual=facts.LIGHT_N.value, high=facts.LIGHT_N_RANGE.high)
    if tier is Tier.LIGHT_REPEAT:
        again = facts.LIGHT_REPEAT_N_RANGE
        return _Span(low=again.low, usual=again.high, high=again.high)
    if tier is Tier.NEW_TURF:
        first = facts.NEW_TURF_N_RANGE
        return _Span(low=first.low, usual=facts.NEW_TURF_N.value, high=first.high)
    if grass is GrassCode.CENTIPEDE:
        return _Span(low=facts.CENTIPEDE_N_RANGE.low, usual=facts.NORMAL_N.value, high=facts.CENTIPEDE_N_RANGE.high)
    return _Span(low=facts.NORMAL_N_RANGE.low, usual=facts.NORMAL_N.value, high=facts.NORMAL_N_RANGE.high)


def _feed_dose(
    label: Label, tier: Tier, lawn: FedLawn, area_sqft: float | None, n_lb: float, bound_by: CapCode | None
) -> FeedDose:
    product = product_lb_per_1000_sqft(label, n_lb)
    whole = None if area_sqft is None else product_for_area_lb(product, area_sqft)
    notes = (
        (FeedNote.SMALLER_THAN_USUAL, bound_by is not None),
        (FeedNote.SLOW_SHARE_UNKNOWN, label.slow_n_percent is None),
        (FeedNote.P_BY_SOIL_TEST, lawn.has_soil_test_for_p and label.p2o5_percent > 0),
        (FeedNote.STATE_CAP, total_n_cap_lb_per_1000_sqft(lawn.state) is not facts.TOTAL_N_CAP),
    )
    return FeedDose(
        tier=tier,
        rate=nutrients(label, product),
        product_lb_per_1000_sqft=product,
        area_sqft=area_sqft,
        product_lb=whole,
        passes=None if whole is None else two_passes(whole),
        notes=tuple(note for note, applies in notes if applies),
        bound_by=bound_by,
    )
