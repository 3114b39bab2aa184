"""Which feeding tier is open."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given

from rules.errors import OutOfRange
from rules.feed_gates import FedLawn, FeedGate, FeedGates, Tier, feeding_tier
from rules.grasses import GrassCode
from tests.rules.strategies import feed_gates

LAWN = FedLawn(grass=GrassCode.ST_AUGUSTINE, state="GA")
OPEN_FOR_LIGHT = FeedGates(
    lawn=LAWN,
    month=4,
    is_last_frost_past=True,
    is_freeze_forecast=False,
    warm_soil_days=14,
    is_soil_falling=False,
    has_active_disease=False,
    is_weather_right=True,
    green_fraction=0.5,
)
OPEN_FOR_NORMAL = replace(OPEN_FOR_LIGHT, green_fraction=0.95, mowings=2, month=6)


@given(feed_gates)
def test_no_tier_opens_before_the_gates_everybody_agrees_on(gates: FeedGates) -> None:
    """Frost past, none forecast, two warm weeks, no disease, right weather, no blackout: for every tier."""
    decision = feeding_tier(gates)

    if decision.tier is not Tier.NONE:
        assert gates.is_last_frost_past
        assert not gates.is_freeze_forecast
        assert gates.warm_soil_days is not None
        assert gates.warm_soil_days >= 14
        assert not (gates.is_soil_falling or gates.has_active_disease or gates.is_blackout)
        assert gates.is_weather_right


@given(feed_gates)
def test_centipede_is_never_fed_lightly_nor_in_spring(gates: FeedGates) -> None:
    """Centipede has no light tier, and none at all from March to May."""
    centipede = replace(gates, lawn=replace(gates.lawn, grass=GrassCode.CENTIPEDE))
    decision = feeding_tier(centipede)

    assert decision.tier not in (Tier.LIGHT, Tier.LIGHT_REPEAT)
    assert not (gates.month in (3, 4, 5) and decision.tier is not Tier.NONE)


@given(feed_gates)
def test_a_shut_tier_says_what_it_waits_for(gates: FeedGates) -> None:
    """No tier without a reason; an open normal tier waits for nothing."""
    decision = feeding_tier(gates)

    assert (decision.tier is Tier.NONE) <= bool(decision.open_gates)
    assert (decision.tier is Tier.NORMAL) <= (decision.open_gates == ())


@given(feed_gates)
def test_young_turf_waits_for_roots(gates: FeedGates) -> None:
    """Unfed new turf gets nothing for 30 days, and the new-turf tier at the most until it was fed."""
    is_unfed = gates.days_since_laid is not None and (
        gates.lawn.days_since_feed is None or gates.lawn.days_since_feed >= gates.days_since_laid
    )
    decision = feeding_tier(gates)

    if is_unfed:
        assert decision.tier in (Tier.NONE, Tier.NEW_TURF)
        assert not (decision.tier is Tier.NEW_TURF and (gates.days_since_laid or 0) < 30)
    else:
        assert decision.tier is not Tier.NEW_TURF


def test_light_opens_at_half_green_or_one_live_plant_a_square_foot() -> None:
    """Either sign of living turf is enough; neither keeps it shut."""
    plants = replace(OPEN_FOR_LIGHT, green_fraction=None, live_plants_per_sqft=1.0)
    nothing = replace(OPEN_FOR_LIGHT, green_fraction=0.49, live_plants_per_sqft=0.9)

    assert feeding_tier(OPEN_FOR_LIGHT).tier is Tier.LIGHT
    assert feeding_tier(plants).tier is Tier.LIGHT
    assert feeding_tier(nothing).open_gates == (FeedGate.GREEN_SHOOTS,)


@pytest.mark.parametrize(
    ("shut", "gate"),
    [
        ({"is_last_frost_past": False}, FeedGate.LAST_FROST),
        ({"is_freeze_forecast": True}, FeedGate.FREEZE_FORECAST),
        ({"warm_soil_days": 13}, FeedGate.WARM_SOIL),
        ({"is_soil_falling": True}, FeedGate.SOIL_FALLING),
        ({"has_active_disease": True}, FeedGate.ACTIVE_DISEASE),
        ({"is_weather_right": False}, FeedGate.WEATHER),
        ({"is_blackout": True}, FeedGate.BLACKOUT),
    ],
)
def test_each_common_gate_alone_shuts_feeding(shut: dict[str, Any], gate: FeedGate) -> None:
    """One gate that is not yet so is enough for no feed at all, and it is the one that is named."""
    for otherwise_open in (OPEN_FOR_LIGHT, replace(OPEN_FOR_LIGHT, days_since_laid=90)):
        decision = feeding_tier(replace(otherwise_open, **shut))

        assert (decision.tier, decision.open_gates) == (Tier.NONE, (gate,))


def test_unknown_soil_keeps_feeding_shut() -> None:
    """What is not known is not so."""
    decision = feeding_tier(replace(OPEN_FOR_LIGHT, warm_soil_days=None))

    assert (decision.tier, decision.open_gates) == (Tier.NONE, (FeedGate.WARM_SOIL,))


def test_light_feed_is_repeated_after_two_weeks_if_cover_rose() -> None:
    """A second light feed needs 14 days, more green, and room under one pound."""
    once = replace(LAWN, light_n_lb_per_1000_sqft=0.35, n_this_year_lb_per_1000_sqft=0.35, days_since_feed=14)
    risen = replace(OPEN_FOR_LIGHT, lawn=once, has_cover_risen=True)
    too_soon = replace(risen, lawn=replace(once, days_since_feed=13))
    full = replace(risen, lawn=replace(once, light_n_lb_per_1000_sqft=0.8))

    assert feeding_tier(risen).tier is Tier.LIGHT_REPEAT
    assert feeding_tier(replace(risen, has_cover_risen=False)).open_gates == (FeedGate.COVER_RISEN,)
    assert feeding_tier(too_soon).open_gates == (FeedGate.REST_SINCE_FEED,)
    assert feeding_tier(full).open_gates == (FeedGate.LIGHT_TOTAL,)


def test_normal_needs_full_green_two_mowings_and_a_month_of_rest() -> None:
    """Each of the three on its own holds a lawn in the light tier."""
    rested = replace(LAWN, days_since_feed=29, light_n_lb_per_1000_sqft=0.0)

    assert feeding_tier(OPEN_FOR_NORMAL).tier is Tier.NORMAL
    assert feeding_tier(replace(OPEN_FOR_NORMAL, green_fraction=0.89)).open_gates == (FeedGate.FULLY_GREEN,)
    assert feeding_tier(replace(OPEN_FOR_NORMAL, mowings=1)).open_gates == (FeedGate.TWO_MOWINGS,)
    assert feeding_tier(replace(OPEN_FOR_NORMAL, lawn=rested)).open_gates == (FeedGate.REST_SINCE_FEED,)


def test_centipede_in_june_may_have_its_normal_feed() -> None:
    """In May it is refused for the month, in June it is fed if fully green and mown."""
    centipede = replace(OPEN_FOR_NORMAL, lawn=FedLawn(grass=GrassCode.CENTIPEDE, state="GA"))
    in_may = feeding_tier(replace(centipede, month=5))

    assert feeding_tier(centipede).tier is Tier.NORMAL
    assert in_may.tier is Tier.NONE
    assert FeedGate.CENTIPEDE_SPRING in in_may.open_gates


def test_new_turf_is_fed_at_sixty_days_or_at_thirty_after_two_mowings() -> None:
    """Roots first: 60 days, or 30 when it was mown twice."""
    days = {29: Tier.NONE, 30: Tier.NEW_TURF, 59: Tier.NEW_TURF}
    for laid, tier in days.items():
        assert feeding_tier(replace(OPEN_FOR_LIGHT, days_since_laid=laid, mowings=2)).tier is tier
    unmown = replace(OPEN_FOR_LIGHT, days_since_laid=59)

    assert feeding_tier(unmown).open_gates == (FeedGate.TURF_TOO_YOUNG,)
    assert feeding_tier(replace(unmown, days_since_laid=60)).tier is Tier.NEW_TURF


def test_impossible_days_are_refused() -> None:
    """A thirteenth month, more than all green, or a negative history."""
    with pytest.raises(OutOfRange):
        replace(OPEN_FOR_LIGHT, month=13)
    with pytest.raises(OutOfRange):
        replace(OPEN_FOR_LIGHT, green_fraction=1.1)
    with pytest.raises(OutOfRange):
        FedLawn(grass=GrassCode.BERMUDA, state="GA", n_this_year_lb_per_1000_sqft=-0.1)
    with pytest.raises(OutOfRange):
        FedLawn(grass=GrassCode.BERMUDA, state="GA", days_since_feed=-1)
