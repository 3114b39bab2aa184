"""What a photo says about green cover: the reading, its words, and what is known about a photo before it is measured.

Numbers and words only, so that whoever just passes readings on loads no array library.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from rules.errors import OutOfRange
from rules.facts import cover as facts


class Upload(StrEnum):
    """The way a photo came. Each packs pictures its own way, so readings of two ways are not mixed in one trend."""

    PICTURE = "picture"  # made smaller by a chat program
    FILE = "file"  # as the camera stored it
    PAGE = "page"  # uploaded on a web page, as the camera stored it
    MMS = "mms"  # made very small by a carrier


class CoverReason(StrEnum):
    """Why a photo cannot be read. Each names one thing that its sender can change."""

    TOO_SMALL = "too_small"
    DARK = "dark"
    OVEREXPOSED = "overexposed"
    BLURRED = "blurred"
    BLACK_AND_WHITE = "black_and_white"
    BLUE_LIGHT = "blue_light"
    ORANGE_LIGHT = "orange_light"
    NOT_LAWN = "not_lawn"


class Colour(StrEnum):
    """The green of a lawn in three words. What differs by light alone is as wide as one of them."""

    YELLOWISH = "yellowish"
    MEDIUM = "medium"
    DARK = "dark"


@dataclass(frozen=True, slots=True, kw_only=True)
class Shot:
    """What is known about a photo beside its pixels: the way it came, its size as sent, and whether paper lies in it.

    width, height : as sent, upright [pixels]; pixels may be measured at a fraction of that
    has_paper : its sender says that a sheet of white paper lies in the picture
    """

    width: int
    height: int
    upload: Upload = Upload.PICTURE
    has_paper: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class CoverReading:
    """Green cover read off one photo.

    usable : whether the reading may be told and kept in a trend
    reason : why not; None when usable
    green_percent : share of green pixels [percent of the picture]; told even where not usable, for whoever looks closer
    low, high : where cover lies, 95 times in 100 [percent]
    ambiguous : straw and green run into each other, so only the range may be told
    colour : the green in a word; None with hardly any green
    is_colour_sure : whether that word is not one of two that light alone would swap
    dhash : 64 bits in 16 hexadecimal digits, to find the same picture again
    width, height : of the photo as sent, upright [pixels]
    paper_used : colours were put right by the paper in the picture
    """

    usable: bool
    reason: CoverReason | None
    green_percent: float
    low: float
    high: float
    ambiguous: bool
    colour: Colour | None
    is_colour_sure: bool
    dhash: str
    width: int
    height: int
    upload: Upload
    paper_used: bool


def hash_distance(one: str, other: str) -> int:
    """How many of the 64 bits of two difference hashes differ.

    Up to SAME_PICTURE_BITS it is the same picture again. Source: facts.cover, HASH_SIDE and SAME_PICTURE_BITS.
    """
    return (_bits(one) ^ _bits(other)).bit_count()


def _bits(dhash: str) -> int:
    return int.from_bytes(bytes.fromhex(dhash))


def is_same_picture(one: str, other: str) -> bool:
    """Whether two hashes are of one picture, packed anew perhaps. Source: facts.cover, SAME_PICTURE_BITS."""
    return hash_distance(one, other) <= facts.SAME_PICTURE_BITS.value


def single_photo_sd_percent(cover_percent: float, shot: Shot) -> float:
    """Standard deviation of the cover read off one photo. [percent of the picture]

    The reading itself, aiming again (worst at half cover) and the day's light, as independent parts; a wider one for
    pictures that came small. Source: facts.cover, the error of one photo.

    Raises
    ------
    OutOfRange
        A cover outside 0 to 100 percent.
    """
    if not 0 <= cover_percent <= 100:
        raise OutOfRange("cover", cover_percent, 0, 100, "%")
    patchy = facts.FRAMING_SD_PER_COVER.value * min(cover_percent, 100 - cover_percent)
    parts = (facts.READING_SD_PERCENT.value, patchy + facts.FRAMING_SD_PERCENT.value, facts.LIGHT_SD_PERCENT.value)
    sd: float = sum(part**2 for part in parts) ** 0.5
    return sd + facts.SQUEEZED_SD_PERCENT.value if is_squeezed(shot) else sd


def is_squeezed(shot: Shot) -> bool:
    """Whether thin blades were smeared on the way: a carrier's picture, or a small one. Source: SQUEEZED_BELOW_PX."""
    return shot.upload is Upload.MMS or max(shot.width, shot.height) < facts.SQUEEZED_BELOW_PX.value
