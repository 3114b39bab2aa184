"""A correction as it is stored: the fit it came from, in figures. Read back strictly."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pydantic import BaseModel, ConfigDict

if TYPE_CHECKING:
    from bot.ops.learning.fitting import Learned
    from rules.lt50_fit import FoundShift


class CorrectionDoc(BaseModel):
    """What was found when it was adopted. Shifts in degrees Celsius, warmer (less hardy) is positive.

    shift_dc, sd_dc : what counts; low_dc to high_dc holds the real shift nine times in ten
    prior_low_dc, prior_high_dc : the same before any outcome
    lawns, near, tested, silent : as in `FoundShift` and `Learned`; winters : the years of their springs
    changed : how many lawns' advice it would have changed
    """

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)

    shift_dc: float
    sd_dc: float
    low_dc: float
    high_dc: float
    prior_low_dc: float
    prior_high_dc: float
    lawns: float
    near: float
    tested: float
    silent: int
    winters: tuple[int, ...]
    changed: int


def correction_doc(learned: Learned, found: FoundShift, changed: int) -> CorrectionDoc:
    """The figures of what is adopted."""
    return CorrectionDoc(
        shift_dc=round(found.found.middle_dc, 3),
        sd_dc=round(found.found.sd_dc, 3),
        low_dc=round(found.found.low_dc, 3),
        high_dc=round(found.found.high_dc, 3),
        prior_low_dc=round(found.prior.low_dc, 3),
        prior_high_dc=round(found.prior.high_dc, 3),
        lawns=round(found.lawns, 1),
        near=round(found.near, 1),
        tested=round(found.tested, 1),
        silent=learned.silent,
        winters=learned.winters,
        changed=changed,
    )
