"""Figures for repair: how much is too dead, when to plant, and how much to buy."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from rules.facts.care_sources import (
    CLEMSON_RENOVATION,
    GEORGIA_ZOYSIA,
    MSU_P1322,
    OSU_ESTABLISH,
    OSU_SEED,
    TEXAS_CARPETGRASS,
    UF_ALACHUA_2011,
    UGA_TWO_WEEKS,
    URI_RENOVATION,
    USDA_BUFFALO,
)
from rules.facts.fact import Fact, FactRange
from rules.facts.grass import GrassCode
from rules.facts.sources import COMMON_PRACTICE, EXPERT_JUDGEMENT, FROM_MEMORY, MSU_NAGEL_1996

# --- how much is too dead ------------------------------------------------------------------------------------------

LET_FILL_DEAD_FRACTION = Fact(
    value=0.25,
    unit="fraction dead",
    low=0.20,
    high=0.25,
    source=EXPERT_JUDGEMENT,
    others=((0.20, URI_RENOVATION), (0.25, URI_RENOVATION)),
    note="a cool-season text begins renovation at 20 to 25 % bare",
)
REESTABLISH_DEAD_FRACTION = Fact(
    value=0.50, unit="fraction dead", low=0.40, high=0.50, source=CLEMSON_RENOVATION, note="half of it left: renovate"
)
LIVE_BLADES_PER_SQFT = Fact(
    value=1.0, unit="green blades per sq ft", low=1.0, high=1.0, source=MSU_NAGEL_1996, note="it eventually returns"
)
BARE_PATCH_FT = Fact(value=1.0, unit="ft", low=0.5, high=2.0, source=EXPERT_JUDGEMENT, note="wider than this: plug")

# --- when ----------------------------------------------------------------------------------------------------------

BEFORE_FALL_FROST_DAYS = Fact(
    value=90,
    unit="days",
    low=40,
    high=90,
    source=GEORGIA_ZOYSIA,
    others=((60, OSU_ESTABLISH), (90, OSU_ESTABLISH)),
    note="printed for zoysia; bermuda 2 to 3 months",
)
ROOTING_SOIL_F = Fact(value=65.0, unit="degF at 4 in", low=65.0, high=70.0, source=UGA_TWO_WEEKS, note="sod rooting")
BERMUDA_SEED_SOIL_F = FactRange(low=69.0, high=95.0, unit="degF soil surface mean", source=OSU_SEED)
SEED_SOIL_F = Fact(
    value=70.0, unit="degF soil surface mean", low=69.0, high=75.0, source=COMMON_PRACTICE, note="centipede seed"
)
RENOVATION_MONTHS = FactRange(low=4, high=6, unit="month of the year", source=CLEMSON_RENOVATION)

# --- plugs ---------------------------------------------------------------------------------------------------------

PLUG_SPACING_TOLD_IN = FactRange(low=2.0, high=48.0, unit="in", source=EXPERT_JUDGEMENT, note="outside: a slip")
PLUG_SIZE_TOLD_IN = FactRange(low=1.0, high=12.0, unit="in", source=EXPERT_JUDGEMENT, note="outside: a slip")
PLUG_SPACING_USUAL_IN = Fact(
    value=12.0, unit="in", low=6.0, high=24.0, source=UF_ALACHUA_2011, note="St. Augustine on 8 to 12 in centres"
)
PLUG_SPACING_IN: Mapping[GrassCode, FactRange] = MappingProxyType(
    {
        GrassCode.ST_AUGUSTINE: FactRange(low=8.0, high=12.0, unit="in", source=UF_ALACHUA_2011),
        GrassCode.BUFFALO: FactRange(low=12.0, high=24.0, unit="in", source=USDA_BUFFALO),
        GrassCode.ZOYSIA: FactRange(low=6.0, high=12.0, unit="in", source=COMMON_PRACTICE),
        GrassCode.BERMUDA: FactRange(low=12.0, high=18.0, unit="in", source=FROM_MEMORY),
        GrassCode.CENTIPEDE: FactRange(low=6.0, high=12.0, unit="in", source=FROM_MEMORY),
        GrassCode.SEASHORE_PASPALUM: FactRange(low=12.0, high=18.0, unit="in", source=FROM_MEMORY),
        GrassCode.CARPETGRASS: FactRange(low=8.0, high=12.0, unit="in", source=FROM_MEMORY),
    }
)
GRID_TRIANGLE_SIDE_FRACTION = Fact(
    value=0.75,
    unit="square of the row height over the spacing",
    low=0.75,
    high=0.75,
    source=COMMON_PRACTICE,
    note="geometry: rows of an equilateral triangle lie sqrt(3)/2 of a side apart",
)

# --- sod -----------------------------------------------------------------------------------------------------------

SLAB_LONG_IN = Fact(value=24.0, unit="in", low=16.0, high=45.0, source=COMMON_PRACTICE)
SLAB_SHORT_IN = Fact(value=16.0, unit="in", low=16.0, high=24.0, source=COMMON_PRACTICE)
PALLET_SQFT = Fact(value=450.0, unit="sq ft", low=400.0, high=500.0, source=COMMON_PRACTICE, note="ask the seller")
PALLET_LB = Fact(value=2500.0, unit="lb", low=1500.0, high=3000.0, source=COMMON_PRACTICE, note="more when wet")
WASTE_FRACTION = Fact(
    value=0.05, unit="fraction", low=0.0, high=0.10, source=COMMON_PRACTICE, note="5 to 10 %; 10 for curved edges"
)
WASTE_TOLD_FRACTION = FactRange(low=0.0, high=0.5, unit="fraction", source=EXPERT_JUDGEMENT, note="beyond: a slip")

# --- seed and sprigs -----------------------------------------------------------------------------------------------

SEED_LB_PER_1000_SQFT: Mapping[GrassCode, FactRange] = MappingProxyType(
    {
        GrassCode.BERMUDA: FactRange(
            low=1.0, high=2.0, unit="lb pure live seed per 1,000 sq ft", source=OSU_SEED, note="Mississippi example 0.5"
        ),
        GrassCode.ZOYSIA: FactRange(low=1.0, high=2.0, unit="lb per 1,000 sq ft", source=FROM_MEMORY),
        GrassCode.CENTIPEDE: FactRange(low=0.25, high=0.5, unit="lb per 1,000 sq ft", source=FROM_MEMORY),
        GrassCode.BAHIA: FactRange(low=7.0, high=10.0, unit="lb per 1,000 sq ft", source=COMMON_PRACTICE),
        GrassCode.CARPETGRASS: FactRange(low=2.0, high=2.0, unit="lb per 1,000 sq ft", source=TEXAS_CARPETGRASS),
        GrassCode.BUFFALO: FactRange(low=3.0, high=5.0, unit="lb per 1,000 sq ft", source=USDA_BUFFALO),
    }
)
MSU_BERMUDA_SEED_LB_PER_1000_SQFT = Fact(
    value=0.5, unit="lb per 1,000 sq ft", low=0.5, high=0.5, source=MSU_P1322, note="common bermuda, an example"
)
SPRIGS_BU_PER_1000_SQFT: Mapping[GrassCode, FactRange] = MappingProxyType(
    {
        GrassCode.BERMUDA: FactRange(
            low=9.0,
            high=18.0,
            unit="bushels per 1,000 sq ft",
            source=COMMON_PRACTICE,
            note="400 to 800 an acre; a bushel is 0.32, 0.4 or 1.25 cu ft, depending on the seller",
        ),
        GrassCode.ZOYSIA: FactRange(low=5.0, high=10.0, unit="bushels per 1,000 sq ft", source=FROM_MEMORY),
        GrassCode.CENTIPEDE: FactRange(low=5.0, high=5.0, unit="bushels per 1,000 sq ft", source=FROM_MEMORY),
        GrassCode.SEASHORE_PASPALUM: FactRange(low=5.0, high=10.0, unit="bushels per 1,000 sq ft", source=FROM_MEMORY),
    }
)

# --- new sod -------------------------------------------------------------------------------------------------------

FIRST_MOW_AFTER_DAYS = Fact(
    value=14,
    unit="days",
    low=10,
    high=21,
    source=COMMON_PRACTICE,
    note="when it resists a tug and needs it; mower high",
)
KEEP_OFF_DAYS = Fact(value=21, unit="days", low=14, high=21, source=COMMON_PRACTICE)
WEED_CONTROL_AFTER_DAYS = Fact(
    value=60, unit="days", low=30, high=60, source=EXPERT_JUDGEMENT, note="labels: only when roots are well anchored"
)
