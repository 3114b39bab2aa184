"""Centipede, bahia, buffalo, seashore paspalum and carpetgrass."""

from __future__ import annotations

from dataclasses import replace

from rules.facts import mowing
from rules.facts.fact import Fact
from rules.facts.feeding import N_PER_YEAR
from rules.facts.grass import (
    DEGREES_C,
    DIFFERENCE_C,
    Basis,
    Cultivar,
    Grass,
    GrassCode,
    GrowthHabit,
    by_rank,
    doubt,
    measured,
    placed,
    shift,
)
from rules.facts.sources import BEARD_1991, BUSH_2000, CARDONA_1997, HAN_2010, JOHNSTON_DICKENS_1977, QIAN_2001

# --- centipede: surface runners only -------------------------------------------------------------------------------

_CENTIPEDE_SOFT = Fact(
    value=2.3,
    unit=DIFFERENCE_C,
    low=0.0,
    high=2.3,
    source=JOHNSTON_DICKENS_1977,
    note="hardened at -9.6 survived like unhardened at -7.3; the most that hardening gave",
)
CENTIPEDE = Grass(
    code=GrassCode.CENTIPEDE,
    habit=GrowthHabit.STOLONS_ONLY,
    lt50_c=placed(-7.0, -9.6, -5.0, by_rank("between bermudagrass and St. Augustinegrass", BEARD_1991)),
    lt50_sd_dc=doubt(1.3),
    unhardened_shift_dc=_CENTIPEDE_SOFT,
    basis=Basis.BY_RANK,
    mowing_in=mowing.CENTIPEDE_IN,
    default_mowing_in=mowing.CENTIPEDE_USUAL_IN,
    nitrogen_per_year_lb_per_1000_sqft=N_PER_YEAR[GrassCode.CENTIPEDE],
    seedable=True,
)
TIFBLAIR = Cultivar(
    code="tifblair",
    name="TifBlair",
    grass=GrassCode.CENTIPEDE,
    lt50_c=placed(-7.5, -9.6, -5.5, by_rank("above most centipede for cold", HAN_2010)),
    lt50_sd_dc=doubt(1.3),
    unhardened_shift_dc=_CENTIPEDE_SOFT,
    basis=Basis.BY_RANK,
    seedable=True,
)

# --- carpetgrass: surface runners only -----------------------------------------------------------------------------

CARPETGRASS = Grass(
    code=GrassCode.CARPETGRASS,
    habit=GrowthHabit.STOLONS_ONLY,
    lt50_c=Fact(
        value=-3.0,
        unit=DEGREES_C,
        low=-4.0,
        high=-2.0,
        source=BUSH_2000,
        others=((-2.0, BUSH_2000), (-4.0, BUSH_2000)),
        note="nodes hardened in the field, printed as -2 to -4",
    ),
    lt50_sd_dc=doubt(0.8),
    unhardened_shift_dc=shift(0.5, 0.0, 1.5),
    basis=Basis.MEASURED,
    mowing_in=mowing.CARPETGRASS_IN,
    default_mowing_in=mowing.CARPETGRASS_USUAL_IN,
    nitrogen_per_year_lb_per_1000_sqft=N_PER_YEAR[GrassCode.CARPETGRASS],
    seedable=True,
)

# --- seashore paspalum: rhizomes and runners -----------------------------------------------------------------------

SEASHORE_PASPALUM = Grass(
    code=GrassCode.SEASHORE_PASPALUM,
    habit=GrowthHabit.RHIZOMES_AND_STOLONS,
    lt50_c=placed(-6.5, -8.5, -4.5, by_rank("beside centipede, below Midiron bermudagrass", BEARD_1991, CARDONA_1997)),
    lt50_sd_dc=doubt(1.4),
    unhardened_shift_dc=shift(1.5, 0.5, 3.0, "slower to harden than Midiron; the size is judged"),
    basis=Basis.BY_RANK,
    mowing_in=mowing.SEASHORE_PASPALUM_IN,
    default_mowing_in=mowing.SEASHORE_PASPALUM_USUAL_IN,
    nitrogen_per_year_lb_per_1000_sqft=N_PER_YEAR[GrassCode.SEASHORE_PASPALUM],
    seedable=False,  # only some types are sold as seed, and no rate was found
)

# --- bahia: short thick rhizomes -----------------------------------------------------------------------------------

_BAHIA_LT50_C = placed(-7.0, -9.5, -4.5, "no figure found; a guess")
_BAHIA_SOFT = shift(1.5, 0.0, 3.0)
BAHIA = Grass(
    code=GrassCode.BAHIA,
    habit=GrowthHabit.SHORT_RHIZOMES,
    lt50_c=_BAHIA_LT50_C,
    lt50_sd_dc=doubt(2.0),
    unhardened_shift_dc=_BAHIA_SOFT,
    basis=Basis.JUDGEMENT,
    mowing_in=mowing.BAHIA_IN,
    default_mowing_in=mowing.BAHIA_USUAL_IN,
    nitrogen_per_year_lb_per_1000_sqft=N_PER_YEAR[GrassCode.BAHIA],
    seedable=True,
)
_BAHIA_CULTIVARS = tuple(
    Cultivar(
        code=code,
        name=name,
        grass=GrassCode.BAHIA,
        lt50_c=_BAHIA_LT50_C,
        lt50_sd_dc=doubt(2.0),
        unhardened_shift_dc=_BAHIA_SOFT,
        basis=Basis.JUDGEMENT,
        seedable=True,
    )
    for code, name in (("argentine", "Argentine"), ("pensacola", "Pensacola"))
)

# --- buffalo: surface runners only ---------------------------------------------------------------------------------

_BUFFALO_SOFT = shift(8.0, 4.0, 12.0, "all entries were alike in September and far apart in midwinter; size judged")
_TWO_WINTERS = "two Colorado winters"
BUFFALO = Grass(
    code=GrassCode.BUFFALO,
    habit=GrowthHabit.STOLONS_ONLY,
    lt50_c=Fact(
        value=-15.0,
        unit=DEGREES_C,
        low=-21.7,
        high=-9.2,
        source=QIAN_2001,
        others=((-21.7, QIAN_2001), (-9.2, QIAN_2001)),
        note="the middle of six entries in two Colorado winters; cultivar unknown",
    ),
    lt50_sd_dc=doubt(3.0),
    unhardened_shift_dc=_BUFFALO_SOFT,
    basis=Basis.MEASURED,
    mowing_in=mowing.BUFFALO_IN,
    default_mowing_in=mowing.BUFFALO_USUAL_IN,
    nitrogen_per_year_lb_per_1000_sqft=N_PER_YEAR[GrassCode.BUFFALO],
    seedable=True,
)


def _buffalo(code: str, name: str, value: float, winters: tuple[float, float], sd_dc: float) -> Cultivar:
    return Cultivar(
        code=code,
        name=name,
        grass=GrassCode.BUFFALO,
        lt50_c=measured(value, QIAN_2001, *((winter, QIAN_2001) for winter in winters), note=_TWO_WINTERS),
        lt50_sd_dc=doubt(sd_dc),
        unhardened_shift_dc=_BUFFALO_SOFT,
        basis=Basis.MEASURED,
    )


_BUFFALO_CULTIVARS = (
    replace(_buffalo("texoka", "Texoka", -18.0, (-17.1, -21.7), 2.5), seedable=True),
    replace(_buffalo("tatanka", "Tatanka", -18.1, (-18.1, -21.0), 2.5), seedable=True),
    _buffalo("91_118", "91-118", -18.0, (-18.0, -21.6), 2.5),
    _buffalo("609", "609", -15.0, (-14.4, -15.8), 1.2),
    _buffalo("stampede", "Stampede", -13.8, (-12.4, -15.1), 1.5),
    _buffalo("ucr_95", "UCR-95", -11.6, (-9.2, -14.0), 2.4),
)

SPECIES: tuple[Grass, ...] = (CENTIPEDE, CARPETGRASS, SEASHORE_PASPALUM, BAHIA, BUFFALO)
CULTIVARS: tuple[Cultivar, ...] = (TIFBLAIR, *_BAHIA_CULTIVARS, *_BUFFALO_CULTIVARS)
