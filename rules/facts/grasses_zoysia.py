"""Zoysiagrass: runners and dense rhizomes, slow.

Figures are from cores or whole plants. One study found rhizomes alive at -18 degC in midwinter, so the rhizomes may
stand far more than the crowns whose figures are given here.
"""

from __future__ import annotations

from dataclasses import replace

from rules.facts import mowing
from rules.facts.fact import Fact
from rules.facts.feeding import N_PER_YEAR
from rules.facts.grass import (
    DEGREES_C,
    Basis,
    Cultivar,
    Grass,
    GrassCode,
    GrowthHabit,
    by_rank,
    doubt,
    measured,
    mown_at,
    placed,
    shift,
)
from rules.facts.sources import DUNN_1999, HINTON_2012, PATTON_2007, WU_2017

_CODE = GrassCode.ZOYSIA
_SOFT = shift(3.5, 1.5, 6.0, "one trial's dates and entries spanned -0.2 to -12.2 (Okeyo et al. 2011)")
_SOFT_TENDER = shift(2.0, 0.5, 4.0, "less to lose: the tender ones")
_BOUND = "its rhizomes were killed at -10 or warmer, a bound only"

ZOYSIA = Grass(
    code=_CODE,
    habit=GrowthHabit.DENSE_RHIZOMES,
    lt50_c=Fact(
        value=-9.5,
        unit=DEGREES_C,
        low=-11.5,
        high=-8.4,
        source=PATTON_2007,
        others=((-11.5, PATTON_2007), (-8.4, PATTON_2007), (-9.8, HINTON_2012), (-9.3, WU_2017)),
        note="the middle of 13 genotypes; cultivar unknown",
    ),
    lt50_sd_dc=doubt(1.4),
    unhardened_shift_dc=_SOFT,
    basis=Basis.MEASURED,
    mowing_in=mowing.ZOYSIA_IN,
    default_mowing_in=mowing.ZOYSIA_USUAL_IN,
    nitrogen_per_year_lb_per_1000_sqft=N_PER_YEAR[_CODE],
    seedable=True,
)


def _cultivar(code: str, name: str, lt50_c: Fact, sd_dc: float, soft: Fact, basis: Basis = Basis.MEASURED) -> Cultivar:
    return Cultivar(
        code=code,
        name=name,
        grass=_CODE,
        lt50_c=lt50_c,
        lt50_sd_dc=doubt(sd_dc),
        unhardened_shift_dc=soft,
        basis=basis,
    )


def _fine(cultivar: Cultivar) -> Cultivar:
    return mown_at(cultivar, mowing.ZOYSIA_FINE_IN, mowing.ZOYSIA_FINE_USUAL_IN)


_MEYER_LT50_C = measured(
    -10.5,
    PATTON_2007,
    (-11.5, PATTON_2007),
    (-9.3, WU_2017),
    (-9.9, WU_2017),
    note="between a cold simulator and cores from the field and the chamber",
)
_HINTON_COARSE_C = measured(-10.0, HINTON_2012, (-9.8, HINTON_2012), (-10.2, HINTON_2012), note="group of four")
_HINTON_FINE_C = Fact(
    value=-9.6,
    unit=DEGREES_C,
    low=-9.8,
    high=-8.4,
    source=HINTON_2012,
    others=((-9.7, HINTON_2012), (-9.8, HINTON_2012)),
    note="printed -9.7 to -9.8; drawn in a little because matrella types were hurt more in Indiana",
)

COARSE: tuple[Cultivar, ...] = (
    _cultivar("meyer", "Meyer", _MEYER_LT50_C, 1.1, _SOFT),
    replace(
        _cultivar("zenith", "Zenith", measured(-10.5, PATTON_2007, (-11.5, PATTON_2007)), 1.1, _SOFT), seedable=True
    ),
    *(
        _cultivar(
            code,
            name,
            placed(-10.5, -12.0, -9.0, by_rank("with Meyer, rhizomes alive at -18", DUNN_1999)),
            1.3,
            _SOFT,
            Basis.BY_RANK,
        )
        for code, name in (("belair", "Belair"), ("korean_common", "Korean Common"))
    ),
    *(
        _cultivar(code, name, _HINTON_COARSE_C, 0.9, _SOFT)
        for code, name in (
            ("empire", "Empire"),
            ("jamur", "JaMur"),
            ("palisades", "Palisades"),
            ("ultimate", "Ultimate"),
        )
    ),
    *(
        _cultivar(code, name, placed(-9.2, -10.0, -8.0, by_rank(_BOUND, DUNN_1999)), 1.2, _SOFT, Basis.BY_RANK)
        for code, name in (("el_toro", "El Toro"), ("crowne", "Crowne"))
    ),
)

FINE: tuple[Cultivar, ...] = tuple(
    _fine(cultivar)
    for cultivar in (
        *(
            _cultivar(code, name, _HINTON_FINE_C, 1.0, _SOFT)
            for code, name in (("zeon", "Zeon"), ("cavalier", "Cavalier"), ("zorro", "Zorro"))
        ),
        _cultivar(
            "emerald",
            "Emerald",
            placed(-9.2, -10.0, -8.0, by_rank(_BOUND, DUNN_1999)),
            1.2,
            _SOFT,
            Basis.BY_RANK,
        ),
        _cultivar(
            "diamond",
            "Diamond",
            measured(-7.2, PATTON_2007, (-8.4, PATTON_2007), (-6.0, HINTON_2012), note="mean of two papers 2.4 apart"),
            1.5,
            _SOFT_TENDER,
        ),
        _cultivar("pristine", "Pristine", measured(-5.7, HINTON_2012, note="one paper"), 1.2, _SOFT_TENDER),
    )
)

CULTIVARS: tuple[Cultivar, ...] = COARSE + FINE
