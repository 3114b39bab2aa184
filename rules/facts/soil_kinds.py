"""Figures for other ground than moist loam under an ordinary lawn: soils, their water, cover, exposure, and doubt."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from rules.facts.fact import Fact, Source, SourceKind
from rules.facts.soil import DE_VRIES, FSM_NOTES, JOHANSEN
from rules.facts.sources import EXPERT_JUDGEMENT

PETERS_LIDARD_1998 = Source(
    key="peters-lidard-1998",
    who="Peters-Lidard, Blackburn, Liang and Wood 1998, soil thermal conductivity parameterization",
    kind=SourceKind.FROM_MEMORY,
)
COSBY_1984 = Source(
    key="cosby-1984", who="Cosby, Hornberger, Clapp and Ginn 1984, texture classes", kind=SourceKind.FROM_MEMORY
)

# --- heat through soil: Johansen's formulas ----------------------------------------------------------------------


def _johansen(value: float, unit: str, low: float, high: float, note: str = "") -> Fact:
    return Fact(value=value, unit=unit, low=low, high=high, source=JOHANSEN, note=note)


GRAIN_KG_M3 = _johansen(2700.0, "kg/m3", 2600.0, 2750.0)
QUARTZ_W_MK = Fact(
    value=7.7, unit="W/m/K", low=7.0, high=11.0, source=JOHANSEN, note="another course sheet lists 11.0: sources differ"
)
OTHER_MINERALS_W_MK = _johansen(2.0, "W/m/K", 2.0, 3.0, "3.0 where less than a fifth is quartz")
WATER_W_MK = Fact(value=0.56, unit="W/m/K", low=0.55, high=0.6, source=FSM_NOTES)
ICE_W_MK = Fact(value=2.24, unit="W/m/K", low=2.2, high=2.3, source=FSM_NOTES)
DRY_SLOPE = _johansen(0.135, "W m2/kg/K", 0.135, 0.135, "k dry = (0.135 density + 64.7) / (2700 - 0.947 density)")
DRY_OFFSET = _johansen(64.7, "W kg/m4/K", 64.7, 64.7)
DRY_SHRINK = _johansen(0.947, "fraction", 0.947, 0.947)
FINE_SLOPE = _johansen(1.0, "per tenfold saturation", 1.0, 1.0, "Kersten number of fine soil")
COARSE_SLOPE = _johansen(0.7, "per tenfold saturation", 0.7, 0.7, "Kersten number of coarse soil")

MINERAL_J_M3K = Fact(value=2.05e6, unit="J/m3/K", low=1.9e6, high=2.2e6, source=DE_VRIES)
WATER_J_M3K = Fact(value=4.18e6, unit="J/m3/K", low=4.17e6, high=4.22e6, source=DE_VRIES)

# --- what sand, loam and clay are --------------------------------------------------------------------------------


def _by_soil(unit: str, source: Source, **rows: tuple[float, float, float]) -> Mapping[str, Fact]:
    """Value, low and high for each kind of soil."""
    return MappingProxyType(
        {kind: Fact(value=row[0], unit=unit, low=row[1], high=row[2], source=source) for kind, row in rows.items()}
    )


PORE_FRACTION = _by_soil("m3/m3", COSBY_1984, sand=(0.40, 0.34, 0.45), loam=(0.45, 0.40, 0.50), clay=(0.48, 0.44, 0.58))
QUARTZ_FRACTION = _by_soil(
    "of the minerals", PETERS_LIDARD_1998, sand=(0.92, 0.6, 0.95), loam=(0.40, 0.25, 0.5), clay=(0.25, 0.2, 0.35)
)
UNFROZEN_FRACTION = _by_soil(
    "m3/m3 that stays liquid",
    EXPERT_JUDGEMENT,
    sand=(0.01, 0.0, 0.03),
    loam=(0.05, 0.03, 0.1),
    clay=(0.14, 0.08, 0.2),
)
WATER_FRACTION: Mapping[str, Mapping[str, Fact]] = MappingProxyType(
    {
        "dry": _by_soil(
            "m3/m3", EXPERT_JUDGEMENT, sand=(0.06, 0.03, 0.09), loam=(0.15, 0.1, 0.2), clay=(0.22, 0.17, 0.28)
        ),
        "moist": _by_soil(
            "m3/m3", EXPERT_JUDGEMENT, sand=(0.15, 0.1, 0.2), loam=(0.30, 0.22, 0.34), clay=(0.36, 0.3, 0.4)
        ),
        "wet": _by_soil(
            "m3/m3", EXPERT_JUDGEMENT, sand=(0.34, 0.25, 0.4), loam=(0.42, 0.36, 0.45), clay=(0.46, 0.42, 0.48)
        ),
    }
)

# --- what stands on it, and the sun that reaches it --------------------------------------------------------------

COVER_TIMES: Mapping[str, Fact] = MappingProxyType(
    {
        "thin": Fact(value=0.4, unit="of an ordinary lawn's cover", low=0.2, high=0.7, source=EXPERT_JUDGEMENT),
        "lawn": Fact(value=1.0, unit="of an ordinary lawn's cover", low=1.0, high=1.0, source=EXPERT_JUDGEMENT),
        "thick": Fact(value=2.0, unit="of an ordinary lawn's cover", low=1.5, high=3.0, source=EXPERT_JUDGEMENT),
    }
)
SUN_TIMES: Mapping[str, Fact] = MappingProxyType(
    {
        "open": Fact(value=1.0, unit="of the sun on level ground", low=1.0, high=1.0, source=EXPERT_JUDGEMENT),
        "shade": Fact(
            value=0.35,
            unit="of the sun on level ground",
            low=0.1,
            high=0.6,
            source=EXPERT_JUDGEMENT,
            note="light of the sky is left; trees and walls also keep the night milder, which is not counted",
        ),
        "north-slope": Fact(
            value=0.75,
            unit="of the sun on level ground",
            low=0.5,
            high=0.95,
            source=EXPERT_JUDGEMENT,
            note="about 10 degrees steep, January, 33 degrees north",
        ),
        "south-slope": Fact(
            value=1.2,
            unit="of the sun on level ground",
            low=1.05,
            high=1.5,
            source=EXPERT_JUDGEMENT,
            note="about 10 degrees steep, January, 33 degrees north",
        ),
    }
)

# --- doubt that each departure from moist loam under an open lawn adds at 2 in -------------------------------------


def _doubt(value: float, low: float, high: float, note: str) -> Fact:
    return Fact(value=value, unit="degC", low=low, high=high, source=EXPERT_JUDGEMENT, note=note)


SOIL_KIND_SD_DC = _doubt(0.3, 0.1, 0.6, "textures within one name differ, and no station was sorted by them")
MOISTURE_SD_DC = _doubt(0.3, 0.1, 0.6, "what people call dry or wet")
COVER_SD_DC = _doubt(0.5, 0.3, 1.0, "twice or half the cover moves a winter's lowest by about a degree")
EXPOSURE_SD_DC = _doubt(0.5, 0.3, 1.0, "how steep, how shaded, at which hours")
STATED_SNOW_SD_DC = _doubt(0.6, 0.3, 1.2, "its density, wind on it, and when it fell and went: on days it lies")
