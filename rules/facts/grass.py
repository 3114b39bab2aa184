"""What a grass and a cultivar are. The figures stand in `grasses_*.py`; lookups in `rules/grasses.py`."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

from rules.facts.fact import Fact, FactRange, Source
from rules.facts.sources import EXPERT_JUDGEMENT

DEGREES_C = "degC"
DIFFERENCE_C = "degC difference"


class GrassCode(StrEnum):
    """The warm-season lawn grasses the project knows."""

    ST_AUGUSTINE = "st_augustine"
    BERMUDA = "bermuda"
    ZOYSIA = "zoysia"
    CENTIPEDE = "centipede"
    BAHIA = "bahia"
    BUFFALO = "buffalo"
    SEASHORE_PASPALUM = "seashore_paspalum"
    CARPETGRASS = "carpetgrass"


class GrowthHabit(StrEnum):
    """From what a grass can start again after its top was killed."""

    STOLONS_ONLY = "stolons_only"  # runners on the surface and nothing below
    RHIZOMES_AND_STOLONS = "rhizomes_and_stolons"  # runners above and well below the surface
    DENSE_RHIZOMES = "dense_rhizomes"  # both, dense and slow
    SHORT_RHIZOMES = "short_rhizomes"  # bunchy, thick short stems just under the surface

    @property
    def has_rhizomes(self) -> bool:
        """Whether living stems below the surface can bring the grass back."""
        return self is not GrowthHabit.STOLONS_ONLY


class Basis(StrEnum):
    """How well a tolerance is known."""

    MEASURED = "measured"  # a laboratory figure for this cultivar, or the middle of a measured species range
    BY_RANK = "by rank"  # no figure found; placed beside grasses it was ranked with
    JUDGEMENT = "judgement"  # no figure and no ranking found


@dataclass(frozen=True, slots=True, kw_only=True)
class Cultivar:
    """A named form of a grass with what is known of it.

    `lt50_c` is the crown or runner temperature at which half of hardened tissue dies with no hold at the minimum,
    `lt50_sd_dc` our doubt about it as a standard deviation, `unhardened_shift_dc` how much warmer it lies in tissue
    that is not hardened. `mowing_in` and `default_mowing_in` are None where the species' own hold. `dwarf` marks a
    low-growing form, `seedable` one that is sold as seed.
    """

    code: str
    name: str
    grass: GrassCode
    lt50_c: Fact
    lt50_sd_dc: Fact
    unhardened_shift_dc: Fact
    basis: Basis
    mowing_in: FactRange | None = None
    default_mowing_in: Fact | None = None
    dwarf: bool = False
    seedable: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Grass:
    """A species, as it is when its cultivar is not known."""

    code: GrassCode
    habit: GrowthHabit
    lt50_c: Fact
    lt50_sd_dc: Fact
    unhardened_shift_dc: Fact
    basis: Basis
    mowing_in: FactRange
    default_mowing_in: Fact
    nitrogen_per_year_lb_per_1000_sqft: FactRange
    seedable: bool

    @property
    def has_rhizomes(self) -> bool:
        """Whether living stems below the surface can bring the grass back."""
        return self.habit.has_rhizomes


def doubt(value: float, low: float = 0.5, high: float = 3.0, note: str = "") -> Fact:
    """A standard deviation of an LT50: the spread between laboratories and our own doubt together. [degC]"""
    return Fact(value=value, unit=DIFFERENCE_C, low=low, high=high, source=EXPERT_JUDGEMENT, note=note)


def shift(value: float, low: float, high: float, note: str = "") -> Fact:
    """How much warmer the LT50 of tissue that is not hardened lies, where nobody has printed it. [degC]"""
    return Fact(value=value, unit=DIFFERENCE_C, low=low, high=high, source=EXPERT_JUDGEMENT, note=note)


def placed(value: float, low: float, high: float, note: str) -> Fact:
    """An LT50 that nobody has measured: placed by rank or guessed, which the note must say. [degC]"""
    return Fact(value=value, unit=DEGREES_C, low=low, high=high, source=EXPERT_JUDGEMENT, note=note)


def measured(value: float, source: Source, *others: tuple[float, Source], note: str = "") -> Fact:
    """An LT50 from laboratories: its range runs over everything printed for it. [degC]"""
    printed = [value, *(other for other, _ in others)]
    return Fact(
        value=value, unit=DEGREES_C, low=min(printed), high=max(printed), source=source, others=others, note=note
    )


def by_rank(beside: str, *sources: Source) -> str:
    """The note of a placed LT50: beside what it was ranked, and by whom."""
    return f"no figure found; placed by rank {beside} ({'; '.join(str(source) for source in sources)})"


def mown_at(cultivar: Cultivar, heights_in: FactRange, usual_in: Fact) -> Cultivar:
    """The same cultivar with its own mowing range and usual height. [in]"""
    return replace(cultivar, mowing_in=heights_in, default_mowing_in=usual_in)
