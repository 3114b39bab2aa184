"""Figures for feeding: when, how much, what the label and the law allow, and what people disagree about.

Rates are pounds per 1,000 square feet, as the trade and the laws write them. P2O5 and K2O are the oxides that a label
prints; `P_IN_P2O5_FRACTION` and `K_IN_K2O_FRACTION` turn them into the elements.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from rules.facts.care_sources import (
    AGRILIFE_BEXAR_2008,
    CLEMSON_COLUMN,
    LSU_KOSKE_2005,
    MARION_CODE,
    MN_PHOSPHORUS,
    NC_LAWN_ENVIRONMENT,
    RUTGERS_SPREADER,
    TAHOE_PHOSPHORUS,
    UF_ALACHUA_2011,
    UF_BAKER,
    UF_DUVAL_2021,
    UF_ENH73_POTASH,
    UF_EP221,
    UF_EP353,
    UF_SOD_COPY,
    UGA_APPLING,
    UGA_EVANS,
    UGA_POTASH,
    UGA_ROCKDALE_2023,
    UGA_SOIL_65,
    UGA_TWO_MOWINGS,
    UGA_TWO_WEEKS,
    UK_2014,
    UMN_LABEL,
    VT_GOATLEY_2010,
)
from rules.facts.fact import Fact, FactRange, Source
from rules.facts.grass import GrassCode
from rules.facts.sources import (
    COMMON_PRACTICE,
    EXPERT_JUDGEMENT,
    FROM_MEMORY,
    LSU_ROGERS,
    NC_BERMUDA,
    NC_CENTIPEDE,
    NC_ZOYSIA,
    UF_NORTHWEST,
    UF_OKALOOSA,
)

LB_PER_1000 = "lb per 1,000 sq ft"
A_YEAR = "lb per 1,000 sq ft a year"


def _rate(value: float, source: Source, *, low: float | None = None, high: float | None = None, note: str = "") -> Fact:
    return Fact(
        value=value,
        unit=LB_PER_1000,
        low=value if low is None else low,
        high=value if high is None else high,
        source=source,
        note=note,
    )


# --- gates ---------------------------------------------------------------------------------------------------------

SOIL_TO_FEED_F = Fact(
    value=65.0,
    unit="degF at 4 in",
    low=64.0,
    high=69.0,
    source=UGA_SOIL_65,
    others=((68.0, LSU_ROGERS),),
    note="daily mean, held and rising; Louisiana says the high 60s at 2 in",
)
SOIL_HELD_DAYS = Fact(value=14, unit="days", low=14, high=28, source=UGA_TWO_WEEKS)
MOWINGS_BEFORE_NORMAL = Fact(value=2, unit="mowings", low=2, high=3, source=UGA_TWO_MOWINGS)
GREEN_FOR_LIGHT_FRACTION = Fact(
    value=0.5, unit="fraction of the living area", low=0.5, high=0.75, source=VT_GOATLEY_2010
)
FULLY_GREEN_FRACTION = Fact(value=0.9, unit="fraction of the living area", low=0.8, high=1.0, source=UGA_ROCKDALE_2023)
LIVE_PLANTS_PER_SQFT = Fact(
    value=1.0,
    unit="living plants per sq ft",
    low=1.0,
    high=1.0,
    source=UK_2014,
    note="printed for bermudagrass; Virginia Tech says the same",
)
BETWEEN_LIGHT_FEEDS_DAYS = Fact(value=14, unit="days", low=14, high=30, source=COMMON_PRACTICE)
BEFORE_NORMAL_FEED_DAYS = Fact(value=30, unit="days", low=30, high=60, source=EXPERT_JUDGEMENT)
MONTHS = FactRange(low=1, high=12, unit="month of the year", source=COMMON_PRACTICE, note="the calendar")
CENTIPEDE_CLOSED_MONTHS = FactRange(low=3, high=5, unit="month of the year", source=NC_CENTIPEDE, note="no nitrogen")
NEW_TURF_FIRST_FEED_DAYS = Fact(
    value=60, unit="days after laying", low=30, high=60, source=UF_SOD_COPY, others=((42, UF_ALACHUA_2011),)
)
NEW_TURF_NEVER_BEFORE_DAYS = Fact(
    value=30,
    unit="days after laying",
    low=30,
    high=42,
    source=UF_SOD_COPY,
    note="earlier only when yellow or spindly; we do not go earlier at all",
)

# --- amounts -------------------------------------------------------------------------------------------------------

LIGHT_N = _rate(
    0.35,
    COMMON_PRACTICE,
    low=0.25,
    high=0.50,
    note="a habit of practitioners; no trial and no extension page prints this very figure",
)
LIGHT_N_RANGE = FactRange(
    low=0.25, high=0.50, unit=LB_PER_1000, source=EXPERT_JUDGEMENT, note="UF Okaloosa gives 0.5, soluble, at green-up"
)
LIGHT_REPEAT_N_RANGE = FactRange(low=0.25, high=0.35, unit=LB_PER_1000, source=EXPERT_JUDGEMENT)
LIGHT_N_ALTOGETHER = _rate(1.0, EXPERT_JUDGEMENT, low=0.7, high=1.0, note="all light feeds of one spring together")
NORMAL_N = _rate(0.5, NC_BERMUDA, low=0.5, high=1.0, note="0.5 to 1; the low end after damage")
NORMAL_N_RANGE = FactRange(low=0.5, high=1.0, unit=LB_PER_1000, source=NC_BERMUDA, note="Clemson and LSU give 1.0")
CENTIPEDE_N_RANGE = FactRange(low=0.25, high=0.5, unit=LB_PER_1000, source=NC_LAWN_ENVIRONMENT)
BUFFALO_N_RANGE = FactRange(
    low=0.12, high=0.30, unit=LB_PER_1000, source=AGRILIFE_BEXAR_2008, note="3 to 5 lb of a 4-2-3 or 6-2-2, worked out"
)
NEW_TURF_N = _rate(0.5, EXPERT_JUDGEMENT, low=0.25, high=0.5)
NEW_TURF_N_RANGE = FactRange(low=0.25, high=0.5, unit=LB_PER_1000, source=EXPERT_JUDGEMENT)
UF_EARLY_N = _rate(0.5, UF_OKALOOSA, note="water-soluble, as lawns green up, little P and much K")

# --- caps ----------------------------------------------------------------------------------------------------------

TOTAL_N_CAP = _rate(1.0, MARION_CODE, low=0.9, high=2.0, note="per application; more only for coated products")
NEW_JERSEY_N_CAP = _rate(0.9, RUTGERS_SPREADER, note="per application in New Jersey")
SOLUBLE_N_CAP = _rate(0.7, UF_EP353, note="Florida rule 5E-1.003, per application; our default everywhere")
P2O5_CAP = _rate(0.25, MARION_CODE, note="per application without a soil test; UF prints the same")
P2O5_YEAR_CAP = Fact(value=0.50, unit=A_YEAR, low=0.50, high=0.50, source=UF_EP353)
P2O5_SOIL_TEST_CAP = _rate(
    1.0, EXPERT_JUDGEMENT, low=0.25, high=1.0, note="where a soil test asks for P: never more than the starter figure"
)
STARTER_P2O5_CAP = _rate(1.0, MARION_CODE, note="once, for new turf")
K2O_CAP = _rate(1.0, EXPERT_JUDGEMENT, low=1.0, high=1.2, note="design cap per application; sources feed 1 lb at once")
SLOW_SHARE_MIN_FRACTION = Fact(
    value=0.30, unit="fraction of the nitrogen", low=0.30, high=0.65, source=UF_DUVAL_2021, note="for a light feed"
)
LABEL_SUM_MAX_PERCENT = Fact(
    value=100.0, unit="percent", low=100.0, high=100.0, source=COMMON_PRACTICE, note="a label is percent of the product"
)
BAG_MAX_LB = Fact(value=2000.0, unit="lb", low=50.0, high=2000.0, source=COMMON_PRACTICE, note="a one-ton bag")

# --- potash alone --------------------------------------------------------------------------------------------------

POTASH_K2O = _rate(1.0, UF_ENH73_POTASH, low=0.5, high=1.0, note="fall, if a soil test is low; 2 lb of 0-0-50")
POTASH_0_0_60_PRINTED_LB = _rate(1.6, UGA_POTASH, low=1.6, high=1.67, note="rounded in print; exactly 1.67")

# --- oxides --------------------------------------------------------------------------------------------------------

P_IN_P2O5_FRACTION = Fact(
    value=0.4364, unit="fraction", low=0.436, high=0.44, source=UMN_LABEL, note="from atomic weights; printed as 0.44"
)
K_IN_K2O_FRACTION = Fact(
    value=0.8301, unit="fraction", low=0.83, high=0.831, source=UMN_LABEL, note="from atomic weights; printed as 0.83"
)

# --- nitrogen a year -----------------------------------------------------------------------------------------------


def _year(low: float, high: float, source: Source, note: str = "") -> FactRange:
    return FactRange(low=low, high=high, unit=A_YEAR, source=source, note=note)


FLORIDA_N_PER_YEAR: Mapping[GrassCode, tuple[FactRange, FactRange, FactRange]] = MappingProxyType(
    {  # north, central, south
        GrassCode.ST_AUGUSTINE: (_year(2, 4, UF_EP221), _year(2, 5, UF_EP221), _year(4, 6, UF_EP221)),
        GrassCode.BERMUDA: (_year(3, 5, UF_EP221), _year(4, 6, UF_EP221), _year(5, 7, UF_EP221)),
        GrassCode.ZOYSIA: (_year(3, 5, UF_EP221), _year(3, 6, UF_EP221), _year(4, 6, UF_EP221)),
        GrassCode.CENTIPEDE: (_year(1, 2, UF_EP221), _year(2, 3, UF_EP221), _year(2, 3, UF_EP221)),
        GrassCode.BAHIA: (_year(2, 3, UF_EP221), _year(2, 4, UF_EP221), _year(2, 4, UF_EP221)),
    }
)
N_PER_YEAR: Mapping[GrassCode, FactRange] = MappingProxyType(
    {
        GrassCode.ST_AUGUSTINE: _year(2, 4, UF_EP221, "north Florida; Louisiana 3 to 4 feeds of about 1"),
        GrassCode.BERMUDA: _year(3, 5, UF_EP221, "north Florida; Georgia about 4"),
        GrassCode.ZOYSIA: _year(
            1.5, 4, NC_LAWN_ENVIRONMENT, "NC guide 1.5, NC calendar up to 4, older edition up to 2"
        ),
        GrassCode.CENTIPEDE: _year(0.4, 2, UF_NORTHWEST, "Georgia 1, or 2 on sand"),
        GrassCode.BAHIA: _year(1, 3, NC_LAWN_ENVIRONMENT, "NC 1, north Florida 2 to 3"),
        GrassCode.BUFFALO: _year(0.12, 1.0, AGRILIFE_BEXAR_2008, "once, in May: 3 to 5 lb of a 4-2-3 or 6-2-2"),
        GrassCode.SEASHORE_PASPALUM: _year(2, 4, FROM_MEMORY),
        GrassCode.CARPETGRASS: _year(0.5, 2, CLEMSON_COLUMN),
    }
)


def _limit(value: float, low: float, high: float, source: Source, note: str = "") -> Fact:
    return Fact(value=value, unit=A_YEAR, low=low, high=high, source=source, note=note)


# The most nitrogen a year that we ever add up to: the cautious one of the published upper limits.
FLORIDA_N_LIMIT: Mapping[GrassCode, Fact] = MappingProxyType(
    {
        GrassCode.ST_AUGUSTINE: _limit(3, 2, 6, MARION_CODE),
        GrassCode.BERMUDA: _limit(4, 3, 7, MARION_CODE),
        GrassCode.ZOYSIA: _limit(4, 3, 6, MARION_CODE),
        GrassCode.CENTIPEDE: _limit(2, 0.4, 3, MARION_CODE),
        GrassCode.BAHIA: _limit(3, 2, 4, MARION_CODE),
    }
)
N_LIMIT: Mapping[GrassCode, Fact] = MappingProxyType(
    {
        GrassCode.ST_AUGUSTINE: Fact(
            value=2.5,
            unit=A_YEAR,
            low=2,
            high=4,
            source=NC_LAWN_ENVIRONMENT,
            others=((4, LSU_KOSKE_2005),),
        ),
        GrassCode.BERMUDA: _limit(4, 3, 5, NC_LAWN_ENVIRONMENT, "Georgia adds up to about the same"),
        GrassCode.ZOYSIA: Fact(
            value=2,
            unit=A_YEAR,
            low=1.5,
            high=4,
            source=NC_ZOYSIA,
            others=((1.5, NC_LAWN_ENVIRONMENT), (4, NC_ZOYSIA)),
            note="older edition; the current one allows 4",
        ),
        GrassCode.CENTIPEDE: Fact(
            value=1,
            unit=A_YEAR,
            low=0.4,
            high=2,
            source=UGA_APPLING,
            others=((0.5, NC_LAWN_ENVIRONMENT), (2, MARION_CODE)),
            note="2 on sand",
        ),
        GrassCode.BAHIA: Fact(
            value=2,
            unit=A_YEAR,
            low=1,
            high=3,
            source=UF_EP221,
            others=((1, NC_LAWN_ENVIRONMENT),),
            note="low end for north Florida, the end its authors recommend to homeowners",
        ),
        GrassCode.BUFFALO: _limit(
            0.3, 0.12, 1.0, AGRILIFE_BEXAR_2008, "5 lb of 6-2-2 once a year, worked out; the only figure found"
        ),
        GrassCode.SEASHORE_PASPALUM: _limit(2, 2, 4, FROM_MEMORY),
        GrassCode.CARPETGRASS: _limit(2, 0.5, 2, CLEMSON_COLUMN),
    }
)

# --- local bans ----------------------------------------------------------------------------------------------------

FEEDING_ENDS_BEFORE_FALL_FROST_DAYS = Fact(
    value=75.0,
    unit="days",
    low=60.0,
    high=100.0,
    source=UGA_EVANS,
    note="expert judgement made days before the first fall frost of it: nitrogen until mid-August in south Georgia, "
    "where frost comes in mid-November, and none in fall; only for what a local ban put off",
)

# --- phosphorus laws -----------------------------------------------------------------------------------------------

PHOSPHORUS_LAWS: Mapping[str, Source] = MappingProxyType(
    {
        "MN": MN_PHOSPHORUS,
        "ME": TAHOE_PHOSPHORUS,
        "WI": TAHOE_PHOSPHORUS,
        "MI": TAHOE_PHOSPHORUS,
        "NY": TAHOE_PHOSPHORUS,
        "VA": TAHOE_PHOSPHORUS,
        "MD": TAHOE_PHOSPHORUS,
        "VT": TAHOE_PHOSPHORUS,
        "WA": TAHOE_PHOSPHORUS,
    }
)

# --- iron ----------------------------------------------------------------------------------------------------------

IRON_SULFATE_OZ_PER_1000_SQFT = Fact(value=2.0, unit="oz per 1,000 sq ft", low=2.0, high=2.0, source=UF_BAKER)
IRON_WATER_GAL_PER_1000_SQFT = FactRange(low=3.0, high=5.0, unit="gal per 1,000 sq ft", source=UF_BAKER)
