"""Traits that tell the lawn grasses apart, as an owner can see and feel them: which grasses fit each answer.

Sources conflict on the hairs of carpetgrass edges, so it fits every answer about hairs. Widths of bermuda and
centipede are published; most others are from memory.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

from rules.facts.care_sources import LSU_CARPETGRASS, UF_EP646, UK_AGR251
from rules.facts.fact import FactRange, Source
from rules.facts.grass import GrassCode
from rules.facts.sources import FROM_MEMORY

_ST_AUGUSTINE = GrassCode.ST_AUGUSTINE
_BERMUDA = GrassCode.BERMUDA
_ZOYSIA = GrassCode.ZOYSIA
_CENTIPEDE = GrassCode.CENTIPEDE
_BAHIA = GrassCode.BAHIA
_BUFFALO = GrassCode.BUFFALO
_PASPALUM = GrassCode.SEASHORE_PASPALUM
_CARPETGRASS = GrassCode.CARPETGRASS


class Runners(StrEnum):
    """Where the runners are."""

    ON_TOP = "on_top"
    UNDER_TOO = "under_too"
    NONE = "none"  # short thick knuckly stems at the surface


class BladeWidth(StrEnum):
    """How wide a blade is against a pencil."""

    PENCIL = "pencil"
    HALF = "half"
    FINE = "fine"


class BladeTip(StrEnum):
    """The end of a blade."""

    ROUNDED = "rounded"
    POINTED = "pointed"


class ShootBase(StrEnum):
    """A pinched shoot, low down."""

    FLAT = "flat"
    ROUND = "round"


class Feel(StrEnum):
    """Underfoot and in the hand."""

    PRICKLY = "prickly"
    SOFT_CURLY = "soft_curly"
    COARSE = "coarse"
    NONE_OF_THESE = "none_of_these"


class Hairs(StrEnum):
    """Hairs where blade and sheath meet, and on the blade."""

    FRINGE = "fringe"
    FRINGE_AND_BLADE = "fringe_and_blade"
    COLLAR = "collar"


class SeedHead(StrEnum):
    """The seedhead, when there is one."""

    TALL_V = "tall_v"
    FINGERS = "fingers"  # 3 to 5 from one point
    FINGERS_ON_TALL_STALK = "fingers_on_tall_stalk"
    ONE_SPIKE = "one_spike"
    TWO_SPIKES = "two_spikes"
    FLAGS = "flags"


class Colour(StrEnum):
    """Colour in growth."""

    APPLE_GREEN = "apple_green"
    BLUE_GREEN = "blue_green"
    GREY_GREEN = "grey_green"
    YELLOW_GREEN = "yellow_green"


TraitAnswer = Runners | BladeWidth | BladeTip | ShootBase | Feel | Hairs | SeedHead | Colour


@dataclass(frozen=True, slots=True, kw_only=True)
class TraitFits:
    """Which grasses fit an answer, and who says so."""

    grasses: frozenset[GrassCode]
    source: Source


def _fits(source: Source, *grasses: GrassCode) -> TraitFits:
    return TraitFits(grasses=frozenset(grasses), source=source)


TRAITS: Mapping[TraitAnswer, TraitFits] = MappingProxyType(
    {
        Runners.ON_TOP: _fits(UF_EP646, _ST_AUGUSTINE, _CENTIPEDE, _CARPETGRASS, _BUFFALO),
        Runners.UNDER_TOO: _fits(UF_EP646, _BERMUDA, _ZOYSIA, _PASPALUM),
        Runners.NONE: _fits(UF_EP646, _BAHIA),
        BladeWidth.PENCIL: _fits(FROM_MEMORY, _ST_AUGUSTINE, _CARPETGRASS, _BAHIA),
        BladeWidth.HALF: _fits(FROM_MEMORY, _CENTIPEDE, _ZOYSIA, _PASPALUM, _BAHIA),
        BladeWidth.FINE: _fits(FROM_MEMORY, _BERMUDA, _ZOYSIA, _BUFFALO),
        BladeTip.ROUNDED: _fits(UF_EP646, _ST_AUGUSTINE, _CARPETGRASS),
        BladeTip.POINTED: _fits(UF_EP646, _BERMUDA, _ZOYSIA, _PASPALUM, _BAHIA, _BUFFALO, _CENTIPEDE),
        ShootBase.FLAT: _fits(UF_EP646, _ST_AUGUSTINE, _CENTIPEDE, _CARPETGRASS, _BERMUDA, _PASPALUM, _BAHIA),
        ShootBase.ROUND: _fits(UF_EP646, _ZOYSIA, _BUFFALO, _BAHIA),
        Feel.PRICKLY: _fits(FROM_MEMORY, _ZOYSIA),
        Feel.SOFT_CURLY: _fits(FROM_MEMORY, _BUFFALO),
        Feel.COARSE: _fits(FROM_MEMORY, _BAHIA),
        Feel.NONE_OF_THESE: _fits(FROM_MEMORY, _ST_AUGUSTINE, _BERMUDA, _CENTIPEDE, _PASPALUM, _CARPETGRASS),
        Hairs.FRINGE: _fits(UK_AGR251, _BERMUDA, _ST_AUGUSTINE, _CARPETGRASS),
        Hairs.FRINGE_AND_BLADE: _fits(UK_AGR251, _ZOYSIA, _CARPETGRASS),
        Hairs.COLLAR: _fits(UF_EP646, _CENTIPEDE, _CARPETGRASS),
        SeedHead.TALL_V: _fits(FROM_MEMORY, _BAHIA),
        SeedHead.FINGERS: _fits(FROM_MEMORY, _BERMUDA),
        SeedHead.FINGERS_ON_TALL_STALK: _fits(LSU_CARPETGRASS, _CARPETGRASS),
        SeedHead.ONE_SPIKE: _fits(FROM_MEMORY, _ZOYSIA, _CENTIPEDE, _ST_AUGUSTINE),
        SeedHead.TWO_SPIKES: _fits(FROM_MEMORY, _PASPALUM),
        SeedHead.FLAGS: _fits(FROM_MEMORY, _BUFFALO),
        Colour.APPLE_GREEN: _fits(FROM_MEMORY, _CENTIPEDE),
        Colour.BLUE_GREEN: _fits(FROM_MEMORY, _ST_AUGUSTINE),
        Colour.GREY_GREEN: _fits(FROM_MEMORY, _BUFFALO),
        Colour.YELLOW_GREEN: _fits(FROM_MEMORY, _BAHIA),
    }
)

BLADE_MM: Mapping[GrassCode, FactRange] = MappingProxyType(
    {
        _ST_AUGUSTINE: FactRange(low=6, high=10, unit="mm", source=FROM_MEMORY),
        _CARPETGRASS: FactRange(low=6, high=10, unit="mm", source=FROM_MEMORY),
        _BAHIA: FactRange(low=4, high=8, unit="mm", source=FROM_MEMORY),
        _CENTIPEDE: FactRange(low=3, high=5, unit="mm", source=UF_EP646),
        _BERMUDA: FactRange(low=1.5, high=4, unit="mm", source=UK_AGR251),
        _BUFFALO: FactRange(low=1, high=3, unit="mm", source=FROM_MEMORY),
    }
)
