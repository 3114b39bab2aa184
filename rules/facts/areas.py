"""Measures of lawns: what a pace is worth, which sizes are believable, and the area that rates are written for."""

from __future__ import annotations

from rules.facts.fact import Fact, FactRange
from rules.facts.sources import COMMON_PRACTICE, EXPERT_JUDGEMENT
from rules.units import SQFT_PER_ACRE

RATE_AREA_SQFT = Fact(
    value=1000.0,
    unit="sq ft",
    low=1000.0,
    high=1000.0,
    source=COMMON_PRACTICE,
    note="rates and laws for lawns are written for this area",
)
PACE_FT = Fact(
    value=2.5, unit="ft", low=2.2, high=3.0, source=EXPERT_JUDGEMENT, note="an ordinary adult step, heel to heel"
)
LAWN_SQFT = FactRange(
    low=4.0,
    high=5 * SQFT_PER_ACRE,
    unit="sq ft",
    source=EXPERT_JUDGEMENT,
    note="a patch two feet square up to five acres; outside: a slip of the pen",
)
LENGTH_FT = FactRange(low=0.5, high=1000.0, unit="ft", source=EXPERT_JUDGEMENT, note="one side of a home lawn")
PACES = FactRange(low=1, high=400, unit="paces", source=EXPERT_JUDGEMENT, note="one side of a home lawn")
