"""Figures for watering: dormant winters, the spring after a freeze, the growing season, and new sod."""

from __future__ import annotations

from rules.facts.care_sources import (
    AGRILIFE_RICHARDSON,
    CLEMSON_WINTER_WATER,
    FREEZE_UTILITY,
    UF_PASCO_2011,
    UF_SOD_WATER,
    UGA_LANDRY,
)
from rules.facts.fact import Fact, FactRange
from rules.facts.sources import (
    AGRILIFE_RICHTER,
    COMMON_PRACTICE,
    EXPERT_JUDGEMENT,
    FROM_MEMORY,
    LSU_BOCK_2012,
    NC_BERMUDA,
)

# --- dormant -------------------------------------------------------------------------------------------------------

WINTER_DRY_DAYS = Fact(
    value=21, unit="days without rain", low=21, high=28, source=CLEMSON_WINTER_WATER, note="rule of thumb 3 to 4 weeks"
)
WINTER_WATER_IN = Fact(value=1.0, unit="in", low=0.5, high=1.0, source=CLEMSON_WINTER_WATER)
FLORIDA_WINTER_DRY_DAYS = Fact(
    value=14, unit="days", low=10, high=14, source=UF_PASCO_2011, note="November to February"
)
FLORIDA_WINTER_RAIN_IN = Fact(
    value=0.75, unit="in", low=0.75, high=0.75, source=UF_PASCO_2011, note="less rain than this counts as dry"
)
FLORIDA_WINTER_WATER_IN = Fact(
    value=0.5, unit="in", low=0.5, high=0.75, source=AGRILIFE_RICHTER, note="one event; no winter amount is printed"
)
ANY_RAIN_IN = Fact(
    value=0.25, unit="in", low=0.1, high=0.5, source=EXPERT_JUDGEMENT, note="less does not end a dry spell"
)

# --- before a freeze -----------------------------------------------------------------------------------------------

WATER_BEFORE_FREEZE_ABOVE_F = Fact(
    value=45.0, unit="degF air", low=40.0, high=50.0, source=AGRILIFE_RICHARDSON, note="dry soil only, the day before"
)
CONTROLLER_OFF_AT_F = Fact(
    value=35.0, unit="degF air", low=32.0, high=40.0, source=FREEZE_UTILITY, note="ice on walks and streets"
)

# --- the spring after a hard freeze --------------------------------------------------------------------------------

HALF_GREEN_FRACTION = Fact(value=0.5, unit="fraction", low=0.5, high=0.5, source=UGA_LANDRY)
SPRING_BEFORE_IN = Fact(value=0.25, unit="in a week", low=0.0, high=0.25, source=UGA_LANDRY)
SPRING_AFTER_IN = Fact(value=0.5, unit="in a week", low=0.5, high=1.0, source=UGA_LANDRY)
SEASON_IN = Fact(
    value=1.0,
    unit="in a week",
    low=0.5,
    high=1.25,
    source=NC_BERMUDA,
    others=((1.25, LSU_BOCK_2012), (0.5, AGRILIFE_RICHTER)),
    note="rain counts; Florida waters 0.5 to 0.75 in an event by the look of the leaves",
)
WATER_IN_AFTER_FEED_IN = Fact(value=0.25, unit="in", low=0.1, high=0.25, source=FROM_MEMORY)
MORNING_HOURS = FactRange(
    low=5, high=9, unit="o'clock in the morning", source=LSU_BOCK_2012, note="NC State says 2 to 8"
)

# --- measuring -----------------------------------------------------------------------------------------------------

CATCH_CANS = FactRange(low=5, high=9, unit="cans", source=COMMON_PRACTICE, note="straight sides, spread over the lawn")
CATCH_MINUTES = FactRange(low=15, high=30, unit="minutes", source=COMMON_PRACTICE)
RUN_MINUTES_MAX = Fact(
    value=6000.0, unit="minutes", low=600.0, high=6000.0, source=EXPERT_JUDGEMENT, note="beyond: a slip of the pen"
)
DEPTH_MAX_IN = Fact(value=6.0, unit="in", low=2.0, high=6.0, source=EXPERT_JUDGEMENT, note="beyond: a slip of the pen")
FLOW_GPM = FactRange(low=0.1, high=200.0, unit="gal per minute", source=EXPERT_JUDGEMENT, note="a hose to a big line")

# --- new sod -------------------------------------------------------------------------------------------------------

SOD_STAGE_DAYS = Fact(
    value=10,
    unit="days",
    low=7,
    high=10,
    source=UF_SOD_WATER,
    note="each of three stages; the long end, 30 days in all",
)
SOD_FIRST_TIMES_A_DAY = FactRange(low=2, high=3, unit="times a day", source=UF_SOD_WATER)
SOD_FIRST_MINUTES = FactRange(low=5, high=10, unit="minutes", source=UF_SOD_WATER)
SOD_SECOND_IN = Fact(value=0.25, unit="in a day", low=0.25, high=0.25, source=UF_SOD_WATER)
SOD_THIRD_IN = Fact(value=0.5, unit="in every other day", low=0.5, high=0.5, source=UF_SOD_WATER)
