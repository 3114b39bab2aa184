"""Green cover of one photo of a lawn: how much, between what and what, and whether the photo can be read at all.

The picture is upright, sRGB, 8 bits, its long side about 800 to 1,599 pixels: finer ones say nothing more.
1. A pixel is green by fixed limits of hue, saturation and value. Limits that follow the picture (Otsu) find green on
   bare soil, and white balance that follows the picture takes green away.
2. Levels are worth less than changes: thin blades read some percent high, by much the same at every visit.
3. The colour is told as one of three words and never as a grade. No nitrogen is worked out from it, neither here nor
   elsewhere: working out nitrogen from pictures of leaves by their dark green colour is covered by US 8,391,565 B2,
   and the light at hand moves the index as much as feeding does.
"""

from __future__ import annotations

from math import isnan

from rules import cover_paper, cover_tally, photo_gates
from rules.cover_reading import Colour, CoverReading, Shot, single_photo_sd_percent
from rules.cover_tally import Pixels, Tally, green_mask
from rules.facts import cover as facts


def cover_reading(pixels: Pixels, shot: Shot) -> CoverReading:
    """Measure green cover on one photo.

    Parameters
    ----------
    pixels : array (rows, columns, 3), 8-bit sRGB, upright
    shot : how it came, its size as sent, and whether its sender says that paper lies in it

    Returns
    -------
    CoverReading
        Always with figures; `usable` says whether they may be told.

    Raises
    ------
    OutOfRange
        Not three channels of 8 bits, or fewer than 64 pixels a side.

    Source
    ------
    facts.cover. Checked on rendered turf of known cover: tests/rules/test_cover.py.
    """
    paper = cover_paper.paper_in(pixels) if shot.has_paper else None
    if paper is not None:
        pixels = cover_paper.divided_by(pixels, paper)
    tally = cover_tally.tally_of(pixels, paper.area_percent if paper else 0)
    reason = photo_gates.reason_against(tally, shot)
    low, high = _likely(tally, shot)
    return CoverReading(
        usable=reason is None,
        reason=reason,
        green_percent=tally.green_percent,
        low=low,
        high=high,
        ambiguous=photo_gates.ambiguity_percent(tally) > facts.AMBIGUOUS_PERCENT.value,
        colour=_colour(tally),
        is_colour_sure=_is_colour_sure(tally),
        dhash=cover_tally.dhash_of(tally.grey),
        width=shot.width,
        height=shot.height,
        upload=shot.upload,
        paper_used=paper is not None,
    )


def _likely(tally: Tally, shot: Shot) -> tuple[float, float]:
    """Where cover lies 95 times in 100: the error of one photo, and how far moving the yellow end moves the reading."""
    middle = tally.green_percent
    reach = facts.NORMAL_95.value * single_photo_sd_percent(middle, shot)
    down = (reach**2 + (middle - tally.narrower_percent) ** 2) ** 0.5
    up = (reach**2 + (tally.wider_percent - middle) ** 2) ** 0.5
    return max(0, middle - down), min(100, middle + up)


def _colour(tally: Tally) -> Colour | None:
    if isnan(tally.dgci) or tally.green_percent < facts.COLOUR_FROM_PERCENT.value:
        return None
    if tally.dgci < facts.YELLOWISH_BELOW.value:
        return Colour.YELLOWISH
    return Colour.DARK if tally.dgci >= facts.DARK_FROM.value else Colour.MEDIUM


def _is_colour_sure(tally: Tally) -> bool:
    """Whether the light of another hour would hardly make another word of it. Source: YELLOWISH_BELOW, DARK_FROM."""
    limits = (facts.YELLOWISH_BELOW, facts.DARK_FROM)
    return _colour(tally) is not None and not any(limit.low <= tally.dgci < limit.high for limit in limits)


__all__ = ["cover_reading", "green_mask"]
