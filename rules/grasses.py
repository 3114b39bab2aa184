"""Which grass it is and what that means: growth habit, freezing tolerance, heights, nitrogen a year."""

from __future__ import annotations

from dataclasses import dataclass

from rules.errors import NotEnoughData
from rules.facts import feeding as feeding_facts
from rules.facts.fact import Fact
from rules.facts.grass import Basis, Cultivar, Grass, GrassCode, GrowthHabit
from rules.facts.grasses import CULTIVAR_BY_CODE, CULTIVARS, GRASS_BY_CODE

__all__ = [
    "Basis",
    "Cultivar",
    "Grass",
    "GrassCode",
    "GrowthHabit",
    "Tolerance",
    "cultivar",
    "cultivar_of_species",
    "cultivars_of",
    "grass",
    "nitrogen_limit_lb_per_1000_sqft",
    "tolerance",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Tolerance:
    """What cold a grass stands, as numbers for the survival odds.

    `lt50_c` [degC] crown temperature at which half of hardened tissue dies with no hold at the minimum; `sd_dc`
    [degC] doubt about it; `unhardened_shift_dc` [degC] how much warmer it lies in tissue that is not hardened.
    """

    lt50_c: float
    sd_dc: float
    unhardened_shift_dc: float
    basis: Basis


def grass(code: GrassCode) -> Grass:
    """The species with this code."""
    return GRASS_BY_CODE[code]


def cultivars_of(code: GrassCode) -> tuple[Cultivar, ...]:
    """The named cultivars of a species, in the order of the facts. May be empty."""
    return tuple(each for each in CULTIVARS if each.grass is code)


def cultivar(code: str) -> Cultivar:
    """The cultivar with this code. Raises NotEnoughData for a code that is not known."""
    if code not in CULTIVAR_BY_CODE:
        raise NotEnoughData(f"no cultivar has the code {code!r}; see rules/facts/grasses.py for those there are")
    return CULTIVAR_BY_CODE[code]


def tolerance(grass_code: GrassCode, cultivar_code: str | None = None) -> Tolerance:
    """What cold this grass stands.

    Parameters
    ----------
    grass_code : GrassCode
        The species.
    cultivar_code : str, optional
        The cultivar, when it is known; the species' own figures otherwise.

    Returns
    -------
    Tolerance
        Tissue temperatures [degC], not air and not 4-in soil.

    Raises
    ------
    NotEnoughData
        The cultivar is not known, or is one of another species.

    Source
    ------
    rules/facts/grasses_*.py: each figure with its papers, their disagreement, and whether it was measured at all.
    """
    known: Grass | Cultivar = grass(grass_code)
    if cultivar_code is not None:
        known = cultivar_of_species(grass_code, cultivar_code)
    return Tolerance(
        lt50_c=known.lt50_c.value,
        sd_dc=known.lt50_sd_dc.value,
        unhardened_shift_dc=known.unhardened_shift_dc.value,
        basis=known.basis,
    )


def is_seedable(grass_code: GrassCode, cultivar_code: str | None = None) -> bool:
    """Whether it is sold as seed. Fine hybrids of a seeded species are not.

    Raises NotEnoughData for a cultivar that is not known or not one of this species.
    """
    if cultivar_code is None:
        return grass(grass_code).seedable
    return cultivar_of_species(grass_code, cultivar_code).seedable


def cultivar_of_species(grass_code: GrassCode, cultivar_code: str) -> Cultivar:
    """The cultivar, checked to be one of this species. Raises NotEnoughData otherwise."""
    found = cultivar(cultivar_code)
    if found.grass is not grass_code:
        raise NotEnoughData(f"{found.name} is a {found.grass} cultivar, not a {grass_code} one")
    return found


def nitrogen_limit_lb_per_1000_sqft(grass_code: GrassCode, state: str) -> Fact:
    """The most nitrogen we let the feeds of one year add up to. [lb N per 1,000 sq ft a year]

    The cautious one of the published upper limits. Florida has its own, because its grass grows most of the year;
    everywhere else one figure serves, whatever the `state` (two letters, any case).

    Source: rules/facts/feeding.py, `FLORIDA_N_LIMIT` and `N_LIMIT`.
    """
    if state.upper() == "FL" and grass_code in feeding_facts.FLORIDA_N_LIMIT:
        return feeding_facts.FLORIDA_N_LIMIT[grass_code]
    return feeding_facts.N_LIMIT[grass_code]
