"""Bases of heat sums. No published sum to green-up of a frozen warm-season lawn was found, so there is none here."""

from __future__ import annotations

from rules.facts.care_sources import FLOURNOY_2017, MSU_GDD
from rules.facts.fact import Fact

BASE_AIR_F = Fact(
    value=50.0, unit="degF air", low=22.0, high=50.0, source=MSU_GDD, note="bases in use on turf: 22, 32 and 50"
)
BASE_GROWTH_C = Fact(
    value=12.5,
    unit="degC",
    low=12.5,
    high=13.2,
    source=FLOURNOY_2017,
    note="clipping yield of bermuda and zoysia; our soil sums use it to rank springs, never as a threshold",
)
