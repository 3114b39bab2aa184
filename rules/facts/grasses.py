"""All grasses and cultivars in one place. The figures stand in one file a species (`grasses_*.py`)."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from rules.facts import grasses_bermuda, grasses_others, grasses_st_augustine, grasses_zoysia
from rules.facts.grass import Cultivar, Grass, GrassCode

SPECIES: tuple[Grass, ...] = (
    grasses_st_augustine.ST_AUGUSTINE,
    grasses_bermuda.BERMUDA,
    grasses_zoysia.ZOYSIA,
    *grasses_others.SPECIES,
)
CULTIVARS: tuple[Cultivar, ...] = (
    grasses_st_augustine.CULTIVARS + grasses_bermuda.CULTIVARS + grasses_zoysia.CULTIVARS + grasses_others.CULTIVARS
)
GRASS_BY_CODE: Mapping[GrassCode, Grass] = MappingProxyType({grass.code: grass for grass in SPECIES})
CULTIVAR_BY_CODE: Mapping[str, Cultivar] = MappingProxyType({cultivar.code: cultivar for cultivar in CULTIVARS})
