"""What hypothesis draws for the agronomic rules: labels, lawns with a history, and days with their gates."""

from __future__ import annotations

from hypothesis import strategies as st

from rules.feed_gates import FedLawn, FeedGates
from rules.grasses import GrassCode
from rules.label import Label

STATES = ("GA", "FL", "NJ", "TX", "VA", "md", "fl", "LA", "")


@st.composite
def labels(draw: st.DrawFn) -> Label:
    """Any label that could be printed, common ones more often."""
    usual = (
        (16, 4, 8),
        (10, 10, 10),
        (18, 24, 12),
        (15, 0, 15),
        (21, 0, 0),
        (0, 0, 50),
        (46, 0, 0),
        (6, 4, 0),
        (5, 5, 15),
    )
    if draw(st.booleans()):
        n, p, k = (float(part) for part in draw(st.sampled_from(usual)))
    else:
        hundredths = draw(st.integers(50, 6000))
        n = hundredths / 100
        p = draw(st.integers(0, 10_000 - hundredths)) / 100
        k = draw(st.integers(0, 10_000 - hundredths - round(p * 100))) / 100
    slow = draw(st.none() | st.integers(0, round(n * 100)).map(lambda part: part / 100))
    return Label(n_percent=n, p2o5_percent=p, k2o_percent=k, slow_n_percent=slow)


fed_lawns = st.builds(
    FedLawn,
    grass=st.sampled_from(GrassCode),
    state=st.sampled_from(STATES),
    n_this_year_lb_per_1000_sqft=st.floats(0, 5) | st.just(0.0),
    light_n_lb_per_1000_sqft=st.floats(0, 1.2) | st.just(0.0),
    p2o5_this_year_lb_per_1000_sqft=st.floats(0, 0.6) | st.just(0.0),
    days_since_feed=st.none() | st.integers(0, 120),
    has_soil_test_for_p=st.booleans(),
)

feed_gates = st.builds(
    FeedGates,
    lawn=fed_lawns,
    month=st.integers(1, 12),
    is_last_frost_past=st.booleans(),
    is_freeze_forecast=st.booleans(),
    warm_soil_days=st.none() | st.integers(0, 60),
    is_soil_falling=st.booleans(),
    has_active_disease=st.booleans(),
    is_weather_right=st.booleans(),
    is_blackout=st.booleans(),
    live_plants_per_sqft=st.none() | st.floats(0, 5),
    green_fraction=st.none() | st.floats(0, 1),
    has_cover_risen=st.booleans(),
    mowings=st.integers(0, 5),
    days_since_laid=st.none() | st.integers(0, 200),
)
