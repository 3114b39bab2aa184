"""What a lawn stands on and in: soil, its water, cover, sun, snow; and the numbers these turn into.

The model was fitted to stations that were not sorted by any of this, as moist loam under grass in the open. That is the
setting `AS_FITTED`; every other one changes what the physics is given in proportion to it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from math import hypot, log10

import numpy as np

from rules.errors import require_range
from rules.facts import soil as facts
from rules.facts import soil_kinds as kinds
from rules.soil_column import Array
from rules.units import CM_PER_INCH


class SoilKind(StrEnum):
    """The soil in the upper foot."""

    SAND = "sand"
    LOAM = "loam"
    CLAY = "clay"


class Moisture(StrEnum):
    """How wet it is when the cold comes: dusty, holding together, or water comes out when pressed."""

    DRY = "dry"
    MOIST = "moist"
    WET = "wet"


class Cover(StrEnum):
    """What stands on it: bare or thin grass, a lawn, or a lawn with a thick mat of thatch."""

    THIN = "thin"
    LAWN = "lawn"
    THICK = "thick"


class Exposure(StrEnum):
    """The winter sun on it: open and level, shade or the north side of something, or a slope."""

    OPEN = "open"
    SHADE = "shade"
    NORTH_SLOPE = "north-slope"
    SOUTH_SLOPE = "south-slope"


@dataclass(frozen=True, slots=True, kw_only=True)
class LawnSetting:
    """One lawn's setting. `snow_in` [in, 0 to 60] is snow held through the cold days; None: as measured or worked out.

    Snow lies to that depth on every day whose mean of the air's lowest and highest is at or below 0 degC, and on no
    other day. 0 says that none lay, whatever rain and cold make likely.
    """

    soil: SoilKind = SoilKind.LOAM
    moisture: Moisture = Moisture.MOIST
    cover: Cover = Cover.LAWN
    exposure: Exposure = Exposure.OPEN
    snow_in: float | None = None

    def __post_init__(self) -> None:
        if self.snow_in is not None:
            require_range("snow_in", self.snow_in, 0.0, 60.0, "in")


AS_FITTED = LawnSetting()


@dataclass(frozen=True, slots=True, kw_only=True)
class SoilProperties:
    """Of the soil under the thatch: one number for all places, or [place].

    k_unfrozen_w_mk, k_frozen_w_mk : conductivity [W/m/K]
    heat_capacity_j_m3k : [J/m3/K]
    water_fraction : water that freezes [m3/m3]
    """

    k_unfrozen_w_mk: float | Array
    k_frozen_w_mk: float | Array
    heat_capacity_j_m3k: float | Array
    water_fraction: float | Array


MOIST_LOAM = SoilProperties(
    k_unfrozen_w_mk=facts.LOAM_UNFROZEN_W_MK.value,
    k_frozen_w_mk=facts.LOAM_FROZEN_W_MK.value,
    heat_capacity_j_m3k=facts.LOAM_J_M3K.value,
    water_fraction=facts.LOAM_WATER_FRACTION.value,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """The settings of places side by side. All [place]; `snow_m` is NaN where snow is as measured or worked out [m]."""

    soil: SoilProperties
    cover_times: Array
    sun_times: Array
    snow_m: Array


def side_by_side(settings: Sequence[LawnSetting]) -> Settings:
    """The numbers of one setting for each place. Facts: rules/facts/soil_kinds.py."""
    soils = [soil_properties(each.soil, each.moisture) for each in settings]
    names = SoilProperties.__slots__
    return Settings(
        soil=SoilProperties(**{name: np.array([getattr(soil, name) for soil in soils]) for name in names}),
        cover_times=np.array([kinds.COVER_TIMES[each.cover].value for each in settings]),
        sun_times=np.array([kinds.SUN_TIMES[each.exposure].value for each in settings]),
        snow_m=np.array([np.nan if each.snow_in is None else each.snow_in * CM_PER_INCH / 100 for each in settings]),
    )


def soil_properties(kind: SoilKind, moisture: Moisture) -> SoilProperties:
    """How a soil conducts, stores and freezes, in proportion to the moist loam that the model was fitted with.

    Johansen's formulas and de Vries' sums give the proportion, so that moist loam keeps its figures to the last digit.

    Source
    ------
    Johansen 1975 as given by Farouki 1981; de Vries 1963; textures in rules/facts/soil_kinds.py.

    Checked
    -------
    tests/rules/test_lawn_setting.py: moist loam by the formulas alone, and the order of soils and moistures.
    """
    one, loam = by_formula(kind, moisture), by_formula(SoilKind.LOAM, Moisture.MOIST)
    names = SoilProperties.__slots__
    return SoilProperties(
        **{name: getattr(MOIST_LOAM, name) * (getattr(one, name) / getattr(loam, name)) for name in names}
    )


def by_formula(kind: SoilKind, moisture: Moisture) -> SoilProperties:
    """What the published formulas alone say of a soil. [W/m/K, J/m3/K, m3/m3] Source: as `soil_properties`."""
    pores, quartz = kinds.PORE_FRACTION[kind].value, kinds.QUARTZ_FRACTION[kind].value
    water, liquid = kinds.WATER_FRACTION[moisture][kind].value, kinds.UNFROZEN_FRACTION[kind].value
    grains_w_mk = kinds.QUARTZ_W_MK.value**quartz * kinds.OTHER_MINERALS_W_MK.value ** (1 - quartz)
    of_grains = grains_w_mk ** (1 - pores)
    saturated = of_grains * kinds.WATER_W_MK.value**pores
    saturated_frozen = of_grains * kinds.ICE_W_MK.value ** (pores - liquid) * kinds.WATER_W_MK.value**liquid
    dry = _dry_w_mk(pores)
    filled = water / pores
    slope = kinds.COARSE_SLOPE.value if kind is SoilKind.SAND else kinds.FINE_SLOPE.value
    return SoilProperties(
        k_unfrozen_w_mk=dry + (saturated - dry) * (slope * log10(filled) + 1),
        k_frozen_w_mk=dry + (saturated_frozen - dry) * filled,
        heat_capacity_j_m3k=(1 - pores) * kinds.MINERAL_J_M3K.value + water * kinds.WATER_J_M3K.value,
        water_fraction=water - liquid,
    )


def _dry_w_mk(pore_fraction: float) -> float:
    grain = kinds.GRAIN_KG_M3.value
    density = grain * (1 - pore_fraction)
    return (kinds.DRY_SLOPE.value * density + kinds.DRY_OFFSET.value) / (grain - kinds.DRY_SHRINK.value * density)


def setting_sd_dc(setting: LawnSetting) -> float:
    """Doubt at 2 in that soil, moisture, cover and exposure add where they depart from `AS_FITTED`. [degC]

    Stated snow adds its own on the days it lies: `stated_snow_sd_dc`. Source: expert judgement,
    rules/facts/soil_kinds.py.
    """
    return hypot(*(sd for name, sd in _DOUBTS.items() if getattr(setting, name) != getattr(AS_FITTED, name)))


def stated_snow_sd_dc(setting: LawnSetting) -> float:
    """Doubt at 2 in on days with stated snow; saying that none lay adds none. [degC] Source: expert judgement."""
    return kinds.STATED_SNOW_SD_DC.value if setting.snow_in else 0.0


_DOUBTS: Mapping[str, float] = {
    "soil": kinds.SOIL_KIND_SD_DC.value,
    "moisture": kinds.MOISTURE_SD_DC.value,
    "cover": kinds.COVER_SD_DC.value,
    "exposure": kinds.EXPOSURE_SD_DC.value,
}
