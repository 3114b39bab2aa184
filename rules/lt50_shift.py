"""A regional correction of an LT50, and what a tolerance becomes under it. Plain numbers; `lt50_fit.py` finds them."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from statistics import median

from rules.errors import require_range
from rules.facts import lt50 as facts
from rules.grasses import GrassCode, Tolerance, cultivars_of, tolerance


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitShift:
    """How far the LT50 of a grass lies off the published figure around here.

    shift_dc : warmer (less hardy) is positive [degC]
    sd_dc : what doubt is left about the LT50 of one lawn, in place of the published one [degC]
    """

    shift_dc: float
    sd_dc: float

    @property
    def is_worth_telling(self) -> bool:
        """Whether it is large enough for a sentence. Source: expert judgement."""
        return abs(self.shift_dc) >= facts.TOLD_FROM_DC.value


def corrected(published: Tolerance, shift: LimitShift | None) -> Tolerance:
    """A tolerance under a regional correction; the same where there is none.

    Source: rules/lt50_fit.py. What hardening is worth stays as published: outcomes of one winter cannot tell it apart.
    """
    if shift is None:
        return published
    return replace(published, lt50_c=published.lt50_c + shift.shift_dc, sd_dc=shift.sd_dc)


def shift_of_lawn(
    code: GrassCode, cultivar: str | None, *, found_dc: float, found_sd_dc: float, is_own: bool
) -> LimitShift:
    """The correction of one lawn, from what was found for its cultivar (`is_own`) or for its grass.

    A lawn of unknown cultivar keeps the doubt which one it is; a cultivar that takes its grass's shift keeps the doubt
    how far it lies off it. [degC] Source: rules/facts/lt50.py, rules/facts/grasses_*.py.
    """
    require_range("found_sd_dc", found_sd_dc, 0.0, 10.0, "degC")
    if cultivar is None:
        left_sd_dc = unknown_cultivar_sd_dc(code)
    else:
        left_sd_dc = 0.0 if is_own else facts.CULTIVAR_SD_DC.value
    return LimitShift(shift_dc=found_dc, sd_dc=math.hypot(found_sd_dc, left_sd_dc))


def unknown_cultivar_sd_dc(code: GrassCode) -> float:
    """What not knowing the cultivar adds to the doubt about a lawn's LT50. [degC]

    The published doubt of the grass beyond that of a typical named cultivar; 0 where no cultivars are known.
    Source: arithmetic on rules/facts/grasses_*.py.
    """
    named = [each.lt50_sd_dc.value for each in cultivars_of(code)]
    if not named:
        return 0.0
    return math.sqrt(max(0.0, tolerance(code).sd_dc ** 2 - median(named) ** 2))
