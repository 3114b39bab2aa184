"""St. Augustinegrass: runners on the surface only, no rhizomes.

Figures are tissue temperatures from laboratories. Whole plants in pots die 1 to 3 degC warmer than pieces of runner,
so the middle is taken and the doubt kept wide.
"""

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
    mown_at,
    placed,
    shift,
)
from rules.facts.sources import (
    BEARD_1991,
    BUSEY_2003,
    EXPERT_JUDGEMENT,
    FRY_1991,
    HAN_2010,
    LEAKAGE_1994,
    MAIER_1994,
    NTEP_2017,
)

_CODE = GrassCode.ST_AUGUSTINE
_GUESS = "no figure found; a guess near the middle of the species"

ST_AUGUSTINE = Grass(
    code=_CODE,
    habit=GrowthHabit.STOLONS_ONLY,
    lt50_c=Fact(
        value=-5.3,
        unit=DEGREES_C,
        low=-7.7,
        high=-4.2,
        source=BUSEY_2003,
        others=((-4.5, BUSEY_2003), (-7.7, BUSEY_2003)),
        note="the summary prints -4.5 to -7.7 for runners and buds; drawn to its warm side because whole hardened "
        "plants in pots were nearly all dead at -5 (NC State trial of nine genotypes)",
    ),
    lt50_sd_dc=doubt(1.2),
    unhardened_shift_dc=shift(1.0, 0.0, 2.0),
    basis=Basis.MEASURED,
    mowing_in=mowing.ST_AUGUSTINE_IN,
    default_mowing_in=mowing.ST_AUGUSTINE_USUAL_IN,
    nitrogen_per_year_lb_per_1000_sqft=N_PER_YEAR[_CODE],
    seedable=False,
)


def _cultivar(code: str, name: str, lt50_c: Fact, sd_dc: float, soft: Fact, basis: Basis) -> Cultivar:
    return Cultivar(
        code=code,
        name=name,
        grass=_CODE,
        lt50_c=lt50_c,
        lt50_sd_dc=doubt(sd_dc),
        unhardened_shift_dc=soft,
        basis=basis,
    )


def _dwarf(cultivar: Cultivar) -> Cultivar:
    low = mown_at(cultivar, mowing.ST_AUGUSTINE_DWARF_IN, mowing.ST_AUGUSTINE_DWARF_USUAL_IN)
    return replace(low, dwarf=True)


_HARDLY_HARDENS = Fact(
    value=0.3,
    unit=DIFFERENCE_C,
    low=0.0,
    high=0.8,
    source=EXPERT_JUDGEMENT,
    others=((0.0, FRY_1991), (0.0, MAIER_1994)),
    note="no change from October to December; leakage figures stayed flat to March",
)

CULTIVARS: tuple[Cultivar, ...] = (
    _cultivar(
        "floratam",
        "Floratam",
        measured(
            -5.0,
            LEAKAGE_1994,
            (-4.5, LEAKAGE_1994),
            (-4.4, LEAKAGE_1994),
            (-5.3, FRY_1991),
            (-6.1, FRY_1991),
            note="between the regrowth figure of one study and the leakage figures of another",
        ),
        0.9,
        _HARDLY_HARDENS,
        Basis.MEASURED,
    ),
    _cultivar(
        "raleigh",
        "Raleigh",
        measured(-6.0, LEAKAGE_1994, (-5.4, LEAKAGE_1994), note="by regrowth; -5.4 by leakage"),
        0.9,
        shift(1.5, 0.5, 2.5, "the only one of three that hardened; the size is judged"),
        Basis.MEASURED,
    ),
    _cultivar(
        "fx_332",
        "FX-332",
        measured(-4.5, LEAKAGE_1994, (-4.2, LEAKAGE_1994), (-4.9, LEAKAGE_1994), note="between regrowth and leakage"),
        1.0,
        shift(0.3, 0.0, 0.8, "did not harden in the same study"),
        Basis.MEASURED,
    ),
    _cultivar(
        "palmetto",
        "Palmetto",
        placed(-5.7, -6.5, -4.5, by_rank("beside Raleigh as superior", HAN_2010)),
        1.1,
        shift(1.3, 0.3, 2.3),
        Basis.BY_RANK,
    ),
    _cultivar(
        "mercedes",
        "Mercedes",
        placed(-5.7, -6.5, -4.5, by_rank("near Raleigh for winter injury", NTEP_2017)),
        1.1,
        shift(1.3, 0.3, 2.3),
        Basis.BY_RANK,
    ),
    _cultivar(
        "floralawn",
        "Floralawn",
        placed(-5.0, -6.0, -4.0, by_rank("with Floratam, lowest of 35 genotypes", BEARD_1991)),
        1.1,
        shift(0.3, 0.0, 0.8, "as Floratam"),
        Basis.BY_RANK,
    ),
    _cultivar("tamstar", "TamStar", placed(-5.4, -6.5, -4.2, _GUESS), 1.2, shift(1.0, 0.0, 2.0), Basis.JUDGEMENT),
    _cultivar("citrablue", "CitraBlue", placed(-4.9, -6.0, -3.9, _GUESS), 1.2, shift(0.7, 0.0, 1.7), Basis.JUDGEMENT),
    *(
        _dwarf(_cultivar(code, name, placed(middle, low, high, note), 1.2, soft, Basis.JUDGEMENT))
        for code, name, middle, low, high, soft, note in (
            (
                "seville",
                "Seville",
                -4.9,
                -6.0,
                -3.9,
                shift(0.7, 0.0, 1.7),
                "no figure found; a guess, said to be cold-sensitive",
            ),
            ("captiva", "Captiva", -4.9, -6.0, -3.9, shift(0.7, 0.0, 1.7), _GUESS),
            ("delmar", "Delmar", -5.3, -6.5, -4.2, shift(1.0, 0.0, 2.0), _GUESS),
        )
    ),
)
