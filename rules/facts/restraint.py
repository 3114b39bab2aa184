"""How long to leave things alone after a freeze."""

from __future__ import annotations

from rules.facts.fact import Fact
from rules.facts.sources import EXPERT_JUDGEMENT, NC_CENTIPEDE

GROWING_WELL_AFTER_WARM_SOIL_DAYS = Fact(
    value=28,
    unit="days",
    low=21,
    high=42,
    source=EXPERT_JUDGEMENT,
    note="live turf shows in two to four warm weeks; roots run by then",
)
WEED_CONTROL_AFTER_GREEN_UP_DAYS = Fact(
    value=21, unit="days after green-up", low=21, high=28, source=NC_CENTIPEDE, note="printed for centipede"
)
