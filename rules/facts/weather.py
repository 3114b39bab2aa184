"""What weather readings can be at all, how gaps in them are treated, and which cold counts as a freeze."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from rules.facts.fact import Fact, FactRange, Source, SourceKind
from rules.facts.sources import COMMON_PRACTICE, EXPERT_JUDGEMENT

RECORDS = Source(
    key="weather-records",
    who="records of rain, snow and sun known for the earth, rounded outward",
    kind=SourceKind.FROM_MEMORY,
)

# --- what a reading can be --------------------------------------------------------------------------------------

AIR_C = FactRange(low=-60.0, high=60.0, unit="degC", source=EXPERT_JUDGEMENT)
SOIL_C = FactRange(low=-40.0, high=60.0, unit="degC", source=EXPERT_JUDGEMENT)
DAY_RAIN_MM = FactRange(low=0.0, high=2000.0, unit="mm", source=RECORDS, note="most in a day 1,825 mm")
HOUR_RAIN_MM = FactRange(low=0.0, high=500.0, unit="mm", source=RECORDS, note="most in an hour about 400 mm")
SNOW_CM = FactRange(low=0.0, high=1200.0, unit="cm", source=RECORDS, note="deepest 1,182 cm")
DAY_SOLAR_MJ_M2 = FactRange(
    low=-1.0, high=50.0, unit="MJ/m2", source=EXPERT_JUDGEMENT, note="above the air at most 45; sensors drift below 0"
)
HOUR_SOLAR_W_M2 = FactRange(
    low=-20.0, high=1600.0, unit="W/m2", source=EXPERT_JUDGEMENT, note="edges of clouds add to 1361; drift below 0"
)
MOISTURE_FRACTION = FactRange(
    low=0.0, high=1.0, unit="m3/m3", source=EXPERT_JUDGEMENT, note="no soil holds more than its own volume"
)

_BOTH: Mapping[str, FactRange] = {
    "snow_depth_cm": SNOW_CM,
    "soil_moisture_2in_fraction": MOISTURE_FRACTION,
    "soil_2in_c": SOIL_C,
    "soil_4in_c": SOIL_C,
}
DAY_LIMITS: Mapping[str, FactRange] = MappingProxyType(
    {
        "air_min_c": AIR_C,
        "air_max_c": AIR_C,
        "air_mean_c": AIR_C,
        "rain_mm": DAY_RAIN_MM,
        "solar_mj_per_m2": DAY_SOLAR_MJ_M2,
        **_BOTH,
    }
)
HOUR_LIMITS: Mapping[str, FactRange] = MappingProxyType(
    {"air_c": AIR_C, "rain_mm": HOUR_RAIN_MM, "solar_w_per_m2": HOUR_SOLAR_W_M2, **_BOTH}
)

# --- gaps -------------------------------------------------------------------------------------------------------

LEAST_HOURS = Fact(
    value=18,
    unit="hours of a day",
    low=18,
    high=24,
    source=EXPERT_JUDGEMENT,
    note="with fewer the coldest hour is likely among the missing ones",
)
LONGEST_GAP_DAYS = Fact(
    value=3, unit="days", low=1, high=5, source=EXPERT_JUDGEMENT, note="a cold front passes in about three days"
)

# --- freezes ----------------------------------------------------------------------------------------------------

FROST_F = Fact(value=32.0, unit="degF", low=32.0, high=36.0, source=COMMON_PRACTICE, note="frost")
HARD_FREEZE_F = Fact(value=28.0, unit="degF", low=24.0, high=28.0, source=COMMON_PRACTICE, note="hard freeze")
DAMAGING_COLD_F = Fact(
    value=20.0,
    unit="degF",
    low=10.0,
    high=25.0,
    source=EXPERT_JUDGEMENT,
    note="air in which the least hardy warm-season lawns begin to lose runners",
)
MILD_DAYS_BETWEEN = Fact(
    value=2, unit="days", low=1, high=4, source=EXPERT_JUDGEMENT, note="a shorter thaw leaves the ground cold"
)
RECORDS_DC = Fact(
    value=0.1,
    unit="Celsius degrees",
    low=0.1,
    high=0.1,
    source=COMMON_PRACTICE,
    note="records are kept in tenths: 28 degF stands there as -2.2 degC",
)
