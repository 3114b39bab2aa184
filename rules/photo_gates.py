"""Whether a photo can be read at all. The first thing that is wrong is told, so that one thing is mended at a time.

Size comes first, then too little and too much light (a dark picture is never sharp, and holding still would not help),
sharpness, colours, the colour of the light, and last whether it shows a lawn at all.
"""

from __future__ import annotations

from rules.cover_reading import CoverReason, Shot
from rules.cover_tally import Tally
from rules.facts import cover as facts


def reason_against(tally: Tally, shot: Shot) -> CoverReason | None:
    """The first reason not to read a photo; None when it can be read. Source: facts.cover, when a photo is no use."""
    checks = (
        (CoverReason.TOO_SMALL, min(shot.width, shot.height) < facts.SHORT_SIDE_PX.value),
        (CoverReason.DARK, tally.dark_percent > facts.DARK_PERCENT.value),
        (CoverReason.OVEREXPOSED, tally.bright_percent > facts.BRIGHT_PERCENT.value),
        (CoverReason.BLURRED, tally.sharpness < facts.SHARP_FROM.value),
        (CoverReason.BLACK_AND_WHITE, tally.coloured_percent < facts.COLOURED_PERCENT.value),
        (CoverReason.BLUE_LIGHT, is_blue(tally)),
        (CoverReason.ORANGE_LIGHT, is_orange(tally)),
        (CoverReason.NOT_LAWN, not is_lawn(tally)),
    )
    return next((reason for reason, is_so in checks if is_so), None)


def ambiguity_percent(tally: Tally) -> float:
    """How much of the picture is green or straw, as one likes. Source: WIDER_FROM_DEGREES, NARROWER_FROM_DEGREES."""
    return tally.wider_percent - tally.narrower_percent


def is_blue(tally: Tally) -> bool:
    """Whether the light is so blue that straw turns green. Source: facts.cover, BLUE_ABOVE and its neighbours."""
    if tally.other_percent < facts.CAST_FROM_PERCENT.value or is_orange(tally):
        return False
    unclear = ambiguity_percent(tally) > facts.BLUE_UNCLEAR_PERCENT.value
    limit = facts.BLUE_IF_UNCLEAR_ABOVE if unclear else facts.BLUE_ABOVE
    return tally.green_over_red > limit.value


def is_orange(tally: Tally) -> bool:
    """Whether the light is so warm that green turns to straw. Red clay is not. Source: ORANGE_BELOW, CLAY_BELOW."""
    if tally.other_percent < facts.CAST_FROM_PERCENT.value:
        return False
    return tally.blue_over_red < facts.ORANGE_BELOW.value and tally.green_over_red >= facts.CLAY_BELOW.value


def is_lawn(tally: Tally) -> bool:
    """Whether colours and texture may be those of a lawn; a carpet may pass. Source: LAWN_PERCENT, TEXTURE_PERCENT."""
    has_colours = tally.lawn_percent >= facts.LAWN_PERCENT.value
    return has_colours and tally.textured_percent >= facts.TEXTURE_PERCENT.value
