"""How far the readings of a weather station hold for a lawn away from it."""

from __future__ import annotations

from rules.facts.cold import USCRN
from rules.facts.fact import Fact
from rules.facts.sources import EXPERT_JUDGEMENT

REACH_KM = Fact(
    value=100.0, unit="km", low=40.0, high=150.0, source=EXPERT_JUDGEMENT, note="farther readings are not used"
)
REACH_HEIGHT_M = Fact(
    value=300.0, unit="m", low=150.0, high=500.0, source=EXPERT_JUDGEMENT, note="higher or lower stations are not used"
)
HEIGHT_TOLD_FROM_M = Fact(
    value=60.0, unit="m", low=30.0, high=150.0, source=EXPERT_JUDGEMENT, note="200 ft: from here on it is told"
)
KM_FOR_100M_HEIGHT = Fact(
    value=25.0,
    unit="km",
    low=10.0,
    high=60.0,
    source=EXPERT_JUDGEMENT,
    note="in choosing a station, 100 m of height counts as much as this distance",
)
KM_FOR_NO_THERMOMETER = Fact(
    value=40.0,
    unit="km",
    low=15.0,
    high=80.0,
    source=EXPERT_JUDGEMENT,
    note="a model's grid cell over the lawn counts as a station at this distance",
)
KM_FOR_WHOLE_FREEZE = Fact(
    value=20.0,
    unit="km",
    low=10.0,
    high=40.0,
    source=EXPERT_JUDGEMENT,
    note="a station that read every day of the freeze is taken before one this much nearer that missed some; much "
    "farther may be another climate, as inland of a coast",
)
HEIGHT_HOLDS_KM = Fact(
    value=15.0,
    unit="km",
    low=5.0,
    high=30.0,
    source=EXPERT_JUDGEMENT,
    note="the mean height of a model's grid cell is taken as a lawn's height within this distance",
)
LEAD_KM = Fact(
    value=50.0,
    unit="km",
    low=20.0,
    high=100.0,
    source=EXPERT_JUDGEMENT,
    note="a grid cell this near may stand in for the weeks before a station's record begins: only the ground's memory",
)
AIR_SD_NEAR_DC = Fact(
    value=1.0,
    unit="degC",
    low=0.6,
    high=2.0,
    source=EXPERT_JUDGEMENT,
    note="lowest air of a freezing night, from street to street",
)
AIR_SD_PER_KM_DC = Fact(
    value=0.010,
    unit="degC per km",
    low=0.006,
    high=0.014,
    source=USCRN,
    note="lowest air of two stations on nights below -5 degC: the difference varies by 1.4 to 2.8 degC (SD, 10 pairs "
    "172 to 299 km apart, our reading of winters 2010 to 2020)",
)
AIR_SD_PER_100M_DC = Fact(
    value=0.8,
    unit="degC per 100 m",
    low=0.5,
    high=1.3,
    source=EXPERT_JUDGEMENT,
    note="cold pools in valleys on clear nights, falls with height on windy ones: only the doubt is stated",
)
FILLED_AIR_SD_DC = Fact(
    value=2.5, unit="degC", low=1.5, high=4.0, source=EXPERT_JUDGEMENT, note="a day filled from the days around it"
)
MODEL_AIR_SD_DC = Fact(
    value=1.5,
    unit="degC",
    low=1.0,
    high=2.5,
    source=EXPERT_JUDGEMENT,
    note="lowest air of a freezing night in a grid cell of a weather model, against a thermometer in it",
)
