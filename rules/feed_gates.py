"""Which feeding tier is open on a day: the gates that everybody agrees on, and the ones between the two schools.

Nothing is fed on dormant or dead turf, nothing before the last frost and before warm soil has held. Between a light
feed and a normal one lie a full green-up, two mowings and a month. Centipede skips the light one altogether and gets
nothing from March to May. New sod and plugs wait for roots, whatever the rest says.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from rules.errors import require_range
from rules.facts import feeding as facts
from rules.grasses import GrassCode


class Tier(StrEnum):
    """How much a lawn may be given now."""

    NONE = "none"
    LIGHT = "light"
    LIGHT_REPEAT = "light_repeat"
    NORMAL = "normal"
    NEW_TURF = "new_turf"


class FeedGate(StrEnum):
    """What must be so before a tier is open. A code in `open_gates` says: not yet."""

    LAST_FROST = "last_frost"
    FREEZE_FORECAST = "freeze_forecast"
    WARM_SOIL = "warm_soil"
    SOIL_FALLING = "soil_falling"
    GREEN_SHOOTS = "green_shoots"
    ACTIVE_DISEASE = "active_disease"
    WEATHER = "weather"
    BLACKOUT = "blackout"
    CENTIPEDE_SPRING = "centipede_spring"
    CENTIPEDE_NO_LIGHT = "centipede_no_light"
    TWO_MOWINGS = "two_mowings"
    FULLY_GREEN = "fully_green"
    REST_SINCE_FEED = "rest_since_feed"
    COVER_RISEN = "cover_risen"
    LIGHT_TOTAL = "light_total"
    TURF_TOO_YOUNG = "turf_too_young"


@dataclass(frozen=True, slots=True, kw_only=True)
class FedLawn:
    """A lawn and what it was given this year. [lb per 1,000 sq ft]

    `state` is two letters. `days_since_feed` is None when nothing was given this year. `is_p_banned`: a local code
    forbids phosphate on this day.
    """

    grass: GrassCode
    state: str
    n_this_year_lb_per_1000_sqft: float = 0.0
    light_n_lb_per_1000_sqft: float = 0.0
    p2o5_this_year_lb_per_1000_sqft: float = 0.0
    days_since_feed: int | None = None
    has_soil_test_for_p: bool = False
    is_p_banned: bool = False

    def __post_init__(self) -> None:
        given = (
            ("n_this_year_lb_per_1000_sqft", self.n_this_year_lb_per_1000_sqft),
            ("light_n_lb_per_1000_sqft", self.light_n_lb_per_1000_sqft),
            ("p2o5_this_year_lb_per_1000_sqft", self.p2o5_this_year_lb_per_1000_sqft),
        )
        for name, value in given:
            require_range(name, value, 0.0, math.inf, "lb per 1,000 sq ft")
        if self.days_since_feed is not None:
            require_range("days_since_feed", self.days_since_feed, 0, math.inf, "days")


@dataclass(frozen=True, slots=True, kw_only=True)
class FeedGates:
    """How things stand on the day of a feeding.

    `month` is the local month, 1 to 12. `warm_soil_days` counts days in a row with a mean of 65 F or more at 4 in;
    None means unknown and keeps the gate shut. `green_fraction` is of the living area, 0..1. `is_weather_right`: dry
    leaves, calm air, no heavy rain ahead, soil neither frozen nor saturated. `days_since_laid` is None for old turf.
    `is_blackout`: a local code forbids feeding on this day.
    """

    lawn: FedLawn
    month: int
    is_last_frost_past: bool
    is_freeze_forecast: bool
    warm_soil_days: int | None
    is_soil_falling: bool
    has_active_disease: bool
    is_weather_right: bool
    is_blackout: bool = False
    live_plants_per_sqft: float | None = None
    green_fraction: float | None = None
    has_cover_risen: bool = False
    mowings: int = 0
    days_since_laid: int | None = None

    def __post_init__(self) -> None:
        require_range("month", self.month, 1, facts.MONTHS.high, "month")
        if self.green_fraction is not None:
            require_range("green_fraction", self.green_fraction, 0.0, 1.0, "fraction")


@dataclass(frozen=True, slots=True, kw_only=True)
class TierDecision:
    """The tier that is open, and what still keeps the next better one shut."""

    tier: Tier
    open_gates: tuple[FeedGate, ...] = ()


def feeding_tier(gates: FeedGates) -> TierDecision:
    """The best feeding tier that is open.

    Parameters
    ----------
    gates : FeedGates
        How things stand on the day. Anything unknown keeps its gate shut.

    Returns
    -------
    TierDecision
        The tier, and in `open_gates` what is not yet so: for `none` what the nearest tier waits for, for a light tier
        what the normal one waits for.

    Source
    ------
    Figures in rules/facts/feeding.py. The order of tiers joins the two schools and is expert judgement.
    """
    common = _common_gates(gates)
    if _is_unfed_new_turf(gates):
        missing = common + _new_turf_gates(gates)
        return TierDecision(tier=Tier.NONE if missing else Tier.NEW_TURF, open_gates=missing)
    for_normal = common + _normal_gates(gates)
    if not for_normal:
        return TierDecision(tier=Tier.NORMAL)
    if gates.lawn.grass is GrassCode.CENTIPEDE:
        return TierDecision(tier=Tier.NONE, open_gates=(*for_normal, FeedGate.CENTIPEDE_NO_LIGHT))
    for_light = common + _light_gates(gates)
    if for_light:
        return TierDecision(tier=Tier.NONE, open_gates=for_light)
    is_repeat = gates.lawn.light_n_lb_per_1000_sqft > 0
    return TierDecision(tier=Tier.LIGHT_REPEAT if is_repeat else Tier.LIGHT, open_gates=for_normal)


def _missing(*gates: tuple[FeedGate, bool]) -> tuple[FeedGate, ...]:
    return tuple(gate for gate, is_so in gates if not is_so)


def _common_gates(gates: FeedGates) -> tuple[FeedGate, ...]:
    return _missing(
        (FeedGate.LAST_FROST, gates.is_last_frost_past),
        (FeedGate.FREEZE_FORECAST, not gates.is_freeze_forecast),
        (FeedGate.WARM_SOIL, (gates.warm_soil_days or 0) >= facts.SOIL_HELD_DAYS.value),
        (FeedGate.SOIL_FALLING, not gates.is_soil_falling),
        (FeedGate.ACTIVE_DISEASE, not gates.has_active_disease),
        (FeedGate.WEATHER, gates.is_weather_right),
        (FeedGate.BLACKOUT, not gates.is_blackout),
        (FeedGate.CENTIPEDE_SPRING, not _is_centipede_spring(gates)),
    )


def _light_gates(gates: FeedGates) -> tuple[FeedGate, ...]:
    lawn = gates.lawn
    given = lawn.light_n_lb_per_1000_sqft
    after, most = given + facts.LIGHT_REPEAT_N_RANGE.low, facts.LIGHT_N_ALTOGETHER.value
    return _missing(
        (FeedGate.GREEN_SHOOTS, _has_green_shoots(gates)),
        (FeedGate.REST_SINCE_FEED, _has_rested(lawn, facts.BETWEEN_LIGHT_FEEDS_DAYS.value)),
        (FeedGate.COVER_RISEN, given == 0 or gates.has_cover_risen),
        (FeedGate.LIGHT_TOTAL, after < most or math.isclose(after, most)),
    )


def _normal_gates(gates: FeedGates) -> tuple[FeedGate, ...]:
    return _missing(
        (FeedGate.FULLY_GREEN, (gates.green_fraction or 0.0) >= facts.FULLY_GREEN_FRACTION.value),
        (FeedGate.TWO_MOWINGS, gates.mowings >= facts.MOWINGS_BEFORE_NORMAL.value),
        (FeedGate.REST_SINCE_FEED, _has_rested(gates.lawn, facts.BEFORE_NORMAL_FEED_DAYS.value)),
    )


def _new_turf_gates(gates: FeedGates) -> tuple[FeedGate, ...]:
    """Sixty days, or thirty with two mowings behind it."""
    laid = gates.days_since_laid or 0
    is_mown = gates.mowings >= facts.MOWINGS_BEFORE_NORMAL.value
    wait = facts.NEW_TURF_NEVER_BEFORE_DAYS if is_mown else facts.NEW_TURF_FIRST_FEED_DAYS
    return _missing((FeedGate.TURF_TOO_YOUNG, laid >= wait.value))


def _is_unfed_new_turf(gates: FeedGates) -> bool:
    laid, fed = gates.days_since_laid, gates.lawn.days_since_feed
    return laid is not None and (fed is None or fed >= laid)


def _is_centipede_spring(gates: FeedGates) -> bool:
    closed = facts.CENTIPEDE_CLOSED_MONTHS
    return gates.lawn.grass is GrassCode.CENTIPEDE and closed.low <= gates.month <= closed.high


def _has_green_shoots(gates: FeedGates) -> bool:
    plants = (gates.live_plants_per_sqft or 0.0) >= facts.LIVE_PLANTS_PER_SQFT.value
    return plants or (gates.green_fraction or 0.0) >= facts.GREEN_FOR_LIGHT_FRACTION.value


def _has_rested(lawn: FedLawn, days: float) -> bool:
    return lawn.days_since_feed is None or lawn.days_since_feed >= days
