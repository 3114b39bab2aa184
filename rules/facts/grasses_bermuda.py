"""Bermudagrass: runners above and rhizomes well below the surface.

Figures are from plants hardened in growth chambers, tissue held at its minimum for no time. The same cultivar differs
by up to 2 degC between papers and about 1 degC between batches of one paper.
"""

from __future__ import annotations

from dataclasses import replace

from rules.facts import mowing
from rules.facts.fact import Fact
from rules.facts.feeding import N_PER_YEAR
from rules.facts.grass import (
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
    ANDERSON_1995,
    ANDERSON_2002,
    ANDERSON_EXPOSURE,
    CARDONA_1997,
    GOPINATH_2021,
    KSTATE_2019,
    OSU_BERMUDA,
)

_CODE = GrassCode.BERMUDA
_SOFT = shift(2.5, 1.0, 4.0, f"forage types gained about 4 degC from November to midwinter ({ANDERSON_1995})")
_SOFT_HARDY = shift(3.0, 1.0, 4.0, "a little more than the common types, for the hardier ones")
_SOFT_GREENS = shift(2.0, 1.0, 4.0, "a little less, for greens types")
_ONE_PAPER = "one paper"

BERMUDA = Grass(
    code=_CODE,
    habit=GrowthHabit.RHIZOMES_AND_STOLONS,
    lt50_c=measured(
        -7.0,
        ANDERSON_2002,
        (-5.6, ANDERSON_2002),
        (-8.4, ANDERSON_2002),
        (-6.9, ANDERSON_EXPOSURE),
        note="the middle of the lawn types; cultivar unknown",
    ),
    lt50_sd_dc=doubt(1.4),
    unhardened_shift_dc=_SOFT,
    basis=Basis.MEASURED,
    mowing_in=mowing.BERMUDA_IN,
    default_mowing_in=mowing.BERMUDA_USUAL_IN,
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


def _hybrid(cultivar: Cultivar) -> Cultivar:
    return mown_at(cultivar, mowing.BERMUDA_HYBRID_IN, mowing.BERMUDA_HYBRID_USUAL_IN)


SEEDED: tuple[Cultivar, ...] = tuple(
    replace(_cultivar(code, name, measured(value, source, note=_ONE_PAPER), sd_dc, soft), seedable=True)
    for code, name, value, source, sd_dc, soft in (
        ("common_bermuda", "Common (Arizona type)", -5.6, ANDERSON_2002, 0.9, _SOFT),
        ("mirage", "Mirage", -6.1, ANDERSON_2002, 0.9, _SOFT),
        ("jackpot", "Jackpot", -6.3, ANDERSON_2002, 0.9, _SOFT),
        ("princess", "Princess", -6.9, ANDERSON_EXPOSURE, 0.9, _SOFT),
        ("guymon", "Guymon", -7.4, ANDERSON_2002, 0.9, _SOFT_HARDY),
        ("yukon", "Yukon", -7.6, ANDERSON_2002, 0.8, _SOFT_HARDY),
        ("riviera", "Riviera", -8.3, ANDERSON_EXPOSURE, 0.8, _SOFT_HARDY),
    )
)

VEGETATIVE: tuple[Cultivar, ...] = (
    _cultivar(
        "celebration",
        "Celebration",
        placed(-6.5, -8.0, -5.5, "no figure found; a guess a little under the middle"),
        1.1,
        _SOFT,
        Basis.JUDGEMENT,
    ),
    _cultivar("quickstand", "Quickstand", measured(-8.0, ANDERSON_2002, note=_ONE_PAPER), 0.9, _SOFT_HARDY),
    _cultivar("u_3", "U-3", measured(-8.9, ANDERSON_EXPOSURE, note=_ONE_PAPER), 0.9, _SOFT_HARDY),
)

HYBRID: tuple[Cultivar, ...] = tuple(
    _hybrid(cultivar)
    for cultivar in (
        _cultivar(
            "tifway",
            "Tifway",
            measured(
                -7.2,
                ANDERSON_2002,
                (-6.7, ANDERSON_2002),
                (-7.0, OSU_BERMUDA),
                (-7.9, ANDERSON_EXPOSURE),
                note="mean of three papers",
            ),
            0.7,
            _SOFT,
        ),
        _cultivar("tifsport", "TifSport", measured(-7.2, ANDERSON_2002, (-7.9, ANDERSON_EXPOSURE)), 0.7, _SOFT),
        _cultivar(
            "tiftuf",
            "TifTuf",
            placed(-7.0, -8.5, -5.9, "no figure found; a guess, as bermudagrass of unknown cultivar"),
            1.1,
            _SOFT,
            Basis.JUDGEMENT,
        ),
        _cultivar("gn_1", "GN-1", measured(-5.9, ANDERSON_2002, note=_ONE_PAPER), 0.9, _SOFT),
        _cultivar("baby", "Baby", measured(-6.7, ANDERSON_2002, note=_ONE_PAPER), 0.9, _SOFT),
        *(
            _cultivar(
                code,
                name,
                placed(-8.3, -9.5, -7.2, by_rank("a step above Tifway in a Kansas winter", KSTATE_2019)),
                1.1,
                _SOFT_HARDY,
                Basis.BY_RANK,
            )
            for code, name in (("latitude_36", "Latitude 36"), ("northbridge", "NorthBridge"))
        ),
        _cultivar(
            "tahoma_31",
            "Tahoma 31",
            measured(
                -8.7,
                OSU_BERMUDA,
                (-9.1, OSU_BERMUDA),
                (-7.8, GOPINATH_2021),
                (-9.0, GOPINATH_2021),
                note="between one paper and three batches of another",
            ),
            0.7,
            _SOFT_HARDY,
        ),
        _cultivar(
            "midlawn",
            "Midlawn",
            measured(-9.3, ANDERSON_2002, (-8.4, ANDERSON_2002), (-10.3, ANDERSON_EXPOSURE), note="mean of two papers"),
            1.3,
            _SOFT_HARDY,
        ),
        _cultivar(
            "midiron",
            "Midiron",
            placed(-9.0, -10.3, -7.5, by_rank("beside Midlawn, above every paspalum tested", CARDONA_1997)),
            1.3,
            _SOFT_HARDY,
            Basis.BY_RANK,
        ),
        _cultivar(
            "patriot",
            "Patriot",
            measured(
                -9.5, ANDERSON_EXPOSURE, (-9.7, ANDERSON_EXPOSURE), note="printed -9.7; drawn in a little, one paper"
            ),
            1.1,
            _SOFT_HARDY,
        ),
    )
)


def _greens(code: str, name: str, lt50_c: Fact) -> Cultivar:
    return replace(_hybrid(_cultivar(code, name, lt50_c, 0.7, _SOFT_GREENS)), dwarf=True)


GREENS: tuple[Cultivar, ...] = (
    _greens(
        "ultradwarf",
        "Ultradwarf of unknown name",
        measured(-5.5, ANDERSON_2002, (-4.8, ANDERSON_2002), (-6.0, ANDERSON_2002), note="the middle of the group"),
    ),
    _greens(
        "champion",
        "Champion",
        measured(
            -5.2, GOPINATH_2021, (-4.8, ANDERSON_2002), (-5.9, GOPINATH_2021), note="three batches run -5.2 to -5.9"
        ),
    ),
    _greens("floradwarf", "Floradwarf", measured(-4.9, ANDERSON_2002, note=_ONE_PAPER)),
    _greens("ms_supreme", "MS-Supreme", measured(-5.2, ANDERSON_2002, note=_ONE_PAPER)),
    _greens("miniverde", "MiniVerde", measured(-5.8, ANDERSON_2002, note=_ONE_PAPER)),
    _greens("tifeagle", "TifEagle", measured(-6.0, ANDERSON_2002, note=_ONE_PAPER)),
    _greens("tifdwarf", "Tifdwarf", measured(-6.5, ANDERSON_2002, note=_ONE_PAPER)),
    _greens("tifgreen", "Tifgreen", measured(-6.5, ANDERSON_2002, note=_ONE_PAPER)),
)

CULTIVARS: tuple[Cultivar, ...] = SEEDED + VEGETATIVE + HYBRID + GREENS
