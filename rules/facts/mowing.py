"""Heights of cut and the rules of lowering. Rotary mower, established home lawn. [in]

Sources disagree by up to two inches for one species, so the range we work in is our own choice from what they print;
what each prints is kept beside it in `PUBLISHED_HEIGHTS`.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from rules.facts.fact import Fact, FactRange
from rules.facts.grass import GrassCode
from rules.facts.sources import (
    AGRILIFE_RICHTER,
    COMMON_PRACTICE,
    EXPERT_JUDGEMENT,
    LSU_BOCK_2012,
    LSU_ROGERS,
    MSU_RECTOR,
    NC_CENTIPEDE,
    UC_IPM,
    UF_CLAY,
    UF_ESCAMBIA,
    UF_NORTHWEST,
    UF_OKALOOSA,
    UF_PINELLAS,
    UGA_GREENUP,
)

_JUDGED = "chosen from the published ranges, which disagree"


def _range(low: float, high: float, note: str = _JUDGED) -> FactRange:
    return FactRange(low=low, high=high, unit="in", source=EXPERT_JUDGEMENT, note=note)


def _usual(value: float, low: float, high: float, note: str = "") -> Fact:
    return Fact(value=value, unit="in", low=low, high=high, source=EXPERT_JUDGEMENT, note=note)


# --- the ranges we work in; `low` is the floor below which we never advise a cut -----------------------------------

ST_AUGUSTINE_IN = _range(2.5, 4.0)
ST_AUGUSTINE_DWARF_IN = _range(2.0, 3.0, "Seville, Delmar, Captiva")
BERMUDA_IN = _range(1.0, 2.0)
BERMUDA_HYBRID_IN = _range(0.5, 1.5, "fine hybrids; a reel mower is needed below about 1 in")
ZOYSIA_IN = _range(1.5, 2.5, "coarse leaf; also taken when the cultivar is not known")
ZOYSIA_FINE_IN = _range(0.5, 1.5, "fine leaf")
CENTIPEDE_IN = _range(1.5, 2.5)
BAHIA_IN = FactRange(low=3.0, high=4.0, unit="in", source=UF_CLAY)
BUFFALO_IN = _range(2.0, 3.0)
SEASHORE_PASPALUM_IN = FactRange(low=1.0, high=2.0, unit="in", source=UF_PINELLAS)
CARPETGRASS_IN = _range(1.0, 2.0)

ST_AUGUSTINE_USUAL_IN = _usual(3.0, 2.5, 4.0, "Florida 3.5")
ST_AUGUSTINE_FLORIDA_USUAL_IN = Fact(
    value=3.5, unit="in", low=3.5, high=4.0, source=UF_CLAY, others=((3.5, UF_PINELLAS),), note="not the dwarf kinds"
)
ST_AUGUSTINE_DWARF_USUAL_IN = _usual(2.5, 2.0, 3.0)
BERMUDA_USUAL_IN = _usual(1.5, 1.0, 2.0)
BERMUDA_HYBRID_USUAL_IN = _usual(1.0, 0.5, 1.5)
ZOYSIA_USUAL_IN = _usual(2.0, 1.5, 2.5)
ZOYSIA_FINE_USUAL_IN = _usual(1.0, 0.5, 1.5)
CENTIPEDE_USUAL_IN = _usual(2.0, 1.5, 2.5)
BAHIA_USUAL_IN = _usual(3.5, 3.0, 4.0)
BUFFALO_USUAL_IN = _usual(2.5, 2.0, 3.0)
SEASHORE_PASPALUM_USUAL_IN = _usual(1.5, 1.0, 2.0)
CARPETGRASS_USUAL_IN = _usual(1.5, 1.0, 2.0)

# --- what each source prints ---------------------------------------------------------------------------------------

PUBLISHED_HEIGHTS: Mapping[GrassCode, tuple[FactRange, ...]] = MappingProxyType(
    {
        GrassCode.ST_AUGUSTINE: (
            FactRange(low=3.5, high=4.0, unit="in", source=UF_CLAY),
            FactRange(low=2.0, high=3.0, unit="in", source=UGA_GREENUP),
            FactRange(low=2.5, high=3.0, unit="in", source=LSU_BOCK_2012),
            FactRange(low=2.5, high=3.5, unit="in", source=LSU_ROGERS, note="2.5 in sun, 3.5 in shade"),
            FactRange(low=2.5, high=3.5, unit="in", source=AGRILIFE_RICHTER),
            FactRange(low=1.0, high=2.0, unit="in", source=UC_IPM),
            FactRange(low=2.0, high=2.5, unit="in", source=UF_OKALOOSA, note="dwarf: Delmar, Seville"),
        ),
        GrassCode.BERMUDA: (
            FactRange(low=1.0, high=1.5, unit="in", source=UC_IPM, note="common"),
            FactRange(low=0.5, high=1.0, unit="in", source=UC_IPM, note="hybrid"),
            FactRange(low=1.0, high=2.0, unit="in", source=UGA_GREENUP),
            FactRange(low=0.5, high=1.5, unit="in", source=MSU_RECTOR),
            FactRange(low=0.5, high=1.5, unit="in", source=UF_PINELLAS),
        ),
        GrassCode.ZOYSIA: (
            FactRange(low=2.0, high=2.5, unit="in", source=UF_CLAY),
            FactRange(low=1.5, high=1.5, unit="in", source=UF_ESCAMBIA),
            FactRange(low=0.5, high=2.0, unit="in", source=UGA_GREENUP),
            FactRange(low=1.0, high=2.0, unit="in", source=AGRILIFE_RICHTER),
            FactRange(low=0.5, high=1.0, unit="in", source=UC_IPM),
        ),
        GrassCode.CENTIPEDE: (
            FactRange(low=1.5, high=2.0, unit="in", source=UF_CLAY),
            FactRange(low=2.5, high=2.5, unit="in", source=UF_NORTHWEST, note="cut when it reaches 3"),
            FactRange(low=1.5, high=2.0, unit="in", source=LSU_BOCK_2012),
            FactRange(low=1.0, high=2.0, unit="in", source=UGA_GREENUP),
            FactRange(low=1.0, high=1.5, unit="in", source=NC_CENTIPEDE),
        ),
        GrassCode.BAHIA: (FactRange(low=3.0, high=4.0, unit="in", source=UF_CLAY),),
        GrassCode.BUFFALO: (FactRange(low=1.0, high=2.0, unit="in", source=UC_IPM),),
        GrassCode.SEASHORE_PASPALUM: (
            FactRange(low=1.0, high=2.0, unit="in", source=UF_PINELLAS),
            FactRange(low=0.75, high=1.5, unit="in", source=UC_IPM),
        ),
        GrassCode.CARPETGRASS: (),
    }
)

# --- rules of cutting ----------------------------------------------------------------------------------------------

ONE_THIRD_FRACTION = Fact(
    value=1 / 3,
    unit="fraction",
    low=1 / 3,
    high=0.4,
    source=UF_CLAY,
    note="also LSU, UC IPM, AgriLife; one Texas agent allows 40 %",
)
ROTARY_LOWEST_IN = Fact(
    value=1.0,
    unit="in",
    low=0.75,
    high=1.5,
    source=EXPERT_JUDGEMENT,
    note="NC State's bermuda calendar asks for a reel mower at 0.75 to 1 in; a rotary mower scalps bumps down there",
)
CUT_AT_TIMES_TARGET = Fact(
    value=1.5, unit="times the height set", low=1.5, high=1.5, source=UC_IPM, note="set 1 to 2 in, cut at 1.5 to 3"
)
BETWEEN_CUTS_DAYS = Fact(
    value=7,
    unit="days",
    low=5,
    high=14,
    source=LSU_BOCK_2012,
    others=((10, UF_NORTHWEST),),
    note="5 to 7 days in growth, centipede 7 to 14; the long end, because damaged turf is slow",
)
DAMAGED_PART_OF_RANGE = Fact(
    value=0.5,
    unit="fraction of the range",
    low=0.5,
    high=1.0,
    source=EXPERT_JUDGEMENT,
    note="damaged turf stays in the upper half; UC IPM and UF ask for the high end where a lawn is stressed",
)

USUAL_NOTCH_IN = Fact(
    value=0.5, unit="in", low=0.25, high=0.75, source=COMMON_PRACTICE, note="one step of a home rotary mower"
)

# --- what a mower can be told --------------------------------------------------------------------------------------

HEIGHT_TOLD_IN = FactRange(low=0.25, high=12.0, unit="in", source=EXPERT_JUDGEMENT, note="outside: a slip of the pen")
NOTCH_TOLD_IN = FactRange(low=0.1, high=2.0, unit="in", source=EXPERT_JUDGEMENT, note="outside: a slip of the pen")
