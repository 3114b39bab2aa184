"""Cautions that must go with each kind of work: every blade, bag, spade and hose. Never dropped for brevity."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from types import MappingProxyType

from rules.facts.care_sources import (
    DIG_811,
    EPA_HOME,
    EPA_LABEL,
    FREEZE_UTILITY,
    FYN_GUIDE,
    MOWER_SAFETY,
    NPIC_EXPOSURE,
    UF_WATER_LECTURE,
    WISCONSIN_ATCP29,
)
from rules.facts.fact import Source
from rules.facts.sources import COMMON_PRACTICE, FROM_MEMORY, UF_COLD_DAMAGE


class Caution(StrEnum):
    """One caution. Its words live in the catalogue."""

    MOWER = "mower"  # clear stones and toys, others well away, closed shoes, eyes and ears, refuel cold, not wet
    SLOPES = "slopes"  # push across, ride up and down
    OFF_FROZEN_TURF = "off_frozen_turf"
    FERTILIZER = "fertilizer"  # label, gloves, sweep up, dry leaves, no heavy rain ahead
    PESTICIDE_LABEL = "pesticide_label"  # the label is the law; more is not better; ask the extension office for rates
    WIND_AND_RAIN = "wind_and_rain"
    CLOTHING = "clothing"  # long sleeves and trousers, socks, closed shoes, gloves; wash hands
    KIDS_PETS = "kids_pets"  # away until dry, or as the label says; locked away, in its own bag
    WATERWAYS = "waterways"  # keep off water and hard surfaces; the strictest local strip counts
    LOCAL_RULES = "local_rules"  # blackout months and phosphorus bans
    HEAVY_SOD = "heavy_sod"  # a slab is 15 to 20 lb, a pallet over a ton
    DIGGING_811 = "digging_811"
    HAND_TOOLS = "hand_tools"
    HOT_POTS = "hot_pots"  # a grow light and a watered pot: keep plugs and sockets dry
    ICE = "ice"  # no irrigation near freezing
    WATER_LIMITS = "water_limits"
    POISON_CONTROL = "poison_control"


CAUTION_SOURCES: Mapping[Caution, Source] = MappingProxyType(
    {
        Caution.MOWER: MOWER_SAFETY,
        Caution.SLOPES: MOWER_SAFETY,
        Caution.OFF_FROZEN_TURF: UF_COLD_DAMAGE,
        Caution.FERTILIZER: FYN_GUIDE,
        Caution.PESTICIDE_LABEL: EPA_LABEL,
        Caution.WIND_AND_RAIN: WISCONSIN_ATCP29,
        Caution.CLOTHING: WISCONSIN_ATCP29,
        Caution.KIDS_PETS: NPIC_EXPOSURE,
        Caution.WATERWAYS: FYN_GUIDE,
        Caution.LOCAL_RULES: FYN_GUIDE,
        Caution.HEAVY_SOD: COMMON_PRACTICE,
        Caution.DIGGING_811: DIG_811,
        Caution.HAND_TOOLS: COMMON_PRACTICE,
        Caution.HOT_POTS: COMMON_PRACTICE,
        Caution.ICE: FREEZE_UTILITY,
        Caution.WATER_LIMITS: UF_WATER_LECTURE,
        Caution.POISON_CONTROL: FROM_MEMORY,
    }
)
STORAGE_SOURCE = EPA_HOME  # locked, in the original container

_FEEDING = (
    Caution.FERTILIZER,
    Caution.KIDS_PETS,
    Caution.WATERWAYS,
    Caution.LOCAL_RULES,
    Caution.CLOTHING,
    Caution.WIND_AND_RAIN,
)
_DIGGING = (Caution.DIGGING_811, Caution.HAND_TOOLS, Caution.KIDS_PETS)
_WATER = (Caution.WATER_LIMITS, Caution.ICE)

CAUTIONS: Mapping[str, tuple[Caution, ...]] = MappingProxyType(
    {
        "cut": (Caution.MOWER, Caution.KIDS_PETS, Caution.SLOPES, Caution.OFF_FROZEN_TURF),
        "rake": (Caution.HAND_TOOLS, Caution.OFF_FROZEN_TURF),
        "feed": _FEEDING,
        "feed_check": _FEEDING,
        "iron": _FEEDING,
        "weed_control": (
            Caution.PESTICIDE_LABEL,
            Caution.KIDS_PETS,
            Caution.CLOTHING,
            Caution.WIND_AND_RAIN,
            Caution.WATERWAYS,
            Caution.POISON_CONTROL,
        ),
        "sod": (Caution.HEAVY_SOD, *_DIGGING, Caution.WATER_LIMITS),
        "plugs": (*_DIGGING, Caution.WATER_LIMITS),
        "seed": (Caution.HAND_TOOLS, Caution.WATER_LIMITS),
        "pot_test": (Caution.DIGGING_811, Caution.HAND_TOOLS, Caution.HOT_POTS),
        "pot_start": (Caution.DIGGING_811, Caution.HAND_TOOLS, Caution.HOT_POTS),
        "look": (Caution.OFF_FROZEN_TURF, Caution.HAND_TOOLS),
        "water": _WATER,
        "spring_water": _WATER,
        "before_freeze": (Caution.ICE, Caution.OFF_FROZEN_TURF, Caution.WATER_LIMITS),
    }
)


def cautions_for(task_kind: str) -> tuple[Caution, ...]:
    """The cautions of a kind of task; none for one without blade, bag, spade or hose. They are never cut short."""
    return CAUTIONS.get(task_kind, ())
