"""Figures for measuring green cover on a photo: colours, the error of one photo, and when a photo is no use.

What says `expert judgement` here was tuned by the project: on rendered turf of known cover, and on leaf photos with
masks drawn by hand. No open set of real lawn photos with known cover was found.
"""

from __future__ import annotations

from rules.facts.fact import Fact, Source, SourceKind
from rules.facts.sources import COMMON_PRACTICE, EXPERT_JUDGEMENT, FROM_MEMORY

KARCHER_2003 = Source(
    key="karcher-richardson-2003",
    who="Karcher and Richardson",
    year=2003,
    title="Quantifying turfgrass color using digital image analysis",
    where="Crop Science 43:943-951",
)
KARCHER_2005 = Source(
    key="karcher-richardson-2005",
    who="Karcher and Richardson",
    year=2005,
    title="Batch analysis of digital images to evaluate turfgrass characteristics",
    where="Crop Science 45(4):1536",
)
CASADESUS_2007 = Source(
    key="casadesus-2007",
    who="Casadesus and others, green area and greener area of cereal plots",
    year=2007,
    kind=SourceKind.FROM_MEMORY,
)
SMITH_1978 = Source(
    key="smith-1978",
    who="Smith, the hexcone model of hue, saturation and value",
    year=1978,
    kind=SourceKind.FROM_MEMORY,
)
BT_601 = Source(key="bt-601", who="ITU-R BT.601, weights of luma", kind=SourceKind.FROM_MEMORY)
SRGB = Source(key="iec-61966-2-1", who="IEC 61966-2-1, the sRGB colour space", kind=SourceKind.FROM_MEMORY)
DIFFERENCE_HASH = Source(
    key="dhash",
    who="the difference hash: is each cell of a small grey picture brighter than its neighbour",
    kind=SourceKind.COMMON_PRACTICE,
)

TUNED = "tuned on rendered turf and leaf photos by the project"


def _tuned(value: float, unit: str, low: float, high: float, note: str = TUNED) -> Fact:
    return Fact(value=value, unit=unit, low=low, high=high, source=EXPERT_JUDGEMENT, note=note)


def _defined(value: float, unit: str, source: Source) -> Fact:
    return Fact(value=value, unit=unit, low=value, high=value, source=source)


# --- hue, saturation, value and grey, on whole numbers ----------------------------------------

SECTOR_DEGREES = _defined(60, "degrees of hue from one primary or secondary colour to the next", SMITH_1978)
GREEN_DEGREES = _defined(120, "degrees of hue of pure green", SMITH_1978)
TOP_VALUE = _defined(255, "largest value of a channel", SRGB)
LUMA_RED = _defined(77, "of 256", BT_601)
LUMA_GREEN = _defined(150, "of 256", BT_601)
LUMA_BLUE = _defined(29, "of 256", BT_601)
LUMA_WHOLE = _defined(256, "sum of the weights", BT_601)
SRGB_KNEE = _defined(0.04045, "of the largest value", SRGB)
SRGB_SLOPE = _defined(12.92, "ratio", SRGB)
SRGB_OFFSET = _defined(0.055, "of the largest value", SRGB)
SRGB_EXPONENT = _defined(2.4, "exponent", SRGB)

# --- which pixels are green ----------------------------------------

GREEN_FROM_DEGREES = Fact(
    value=65,
    unit="degrees of hue",
    low=45,
    high=75,
    source=EXPERT_JUDGEMENT,
    others=((60, CASADESUS_2007),),
    note=f"{TUNED}: 60 reads thin blades in straw high, 70 reads leaves low",
)
GREEN_TO_DEGREES = Fact(
    value=180, unit="degrees of hue", low=140, high=180, source=EXPERT_JUDGEMENT, others=((180, CASADESUS_2007),)
)
GREEN_SATURATION_PERCENT = Fact(
    value=15,
    unit="percent",
    low=10,
    high=20,
    source=EXPERT_JUDGEMENT,
    others=((10, KARCHER_2005),),
    note=f"{TUNED}; the 10 of the literature is remembered, not read",
)
GREEN_VALUE = _tuned(20, "of 255", 10, 40, "below it hue is noise")
WIDER_FROM_DEGREES = _tuned(58, "degrees of hue", 55, 62)
NARROWER_FROM_DEGREES = _tuned(72, "degrees of hue", 68, 75)
AMBIGUOUS_PERCENT = _tuned(15, "percent of the picture", 10, 20, f"{TUNED}: 1 to 5 is usual, yellow-green grass 21")

# --- how far one photo may be off ----------------------------------------

READING_SD_PERCENT = _tuned(1.0, "percent of the picture", 0.5, 2.0)
FRAMING_SD_PERCENT = _tuned(1.0, "percent of the picture", 0.5, 2.0, "aiming again a little off, at bare or full cover")
FRAMING_SD_PER_COVER = _tuned(0.10, "percent of the picture per percent cover", 0.05, 0.15)
LIGHT_SD_PERCENT = _tuned(2.0, "percent of the picture", 1.0, 3.0, "of one photo; shared by those of one visit")
SQUEEZED_SD_PERCENT = _tuned(3.0, "percent of the picture", 2.0, 5.0, "small, packed pictures smear thin blades")
SQUEEZED_BELOW_PX = _tuned(800, "pixels on the long side", 640, 1000)
NORMAL_95 = Fact(
    value=1.96, unit="standard deviations", low=1.95, high=1.97, source=FROM_MEMORY, note="half of a 95 % interval"
)

# --- the colour of what is green ----------------------------------------

DGCI_OFFSET_DEGREES = _defined(60, "degrees of hue", KARCHER_2003)
DGCI_SPAN_DEGREES = _defined(60, "degrees of hue", KARCHER_2003)
DGCI_TERMS = _defined(3, "terms that are averaged", KARCHER_2003)
YELLOWISH_BELOW = _tuned(0.42, "DGCI", 0.38, 0.46, "real pictures lay between 0.39 and 0.62; 0.08 is no evidence")
DARK_FROM = _tuned(0.56, "DGCI", 0.52, 0.60, "real pictures lay between 0.39 and 0.62; 0.08 is no evidence")
COLOUR_FROM_PERCENT = _tuned(2, "percent green", 1, 5, "less has no colour of its own")

# --- when a photo is no use ----------------------------------------

SHORT_SIDE_PX = _tuned(480, "pixels on the short side", 400, 600, "below this single blades cannot be told apart")
DARK_GREY = _tuned(20, "of 255", 10, 30)
DARK_PERCENT = _tuned(35, "percent of the picture", 25, 50)
BRIGHT_GREY = _tuned(250, "of 255", 245, 254)
BRIGHT_PERCENT = _tuned(15, "percent of the picture", 10, 25)
GREYEST_PERCENT = _tuned(6, "percent saturation", 4, 8, "no pixel of a grey photo has more than packing adds")
COLOURED_PERCENT = _tuned(1, "percent of the picture", 0.5, 3, "less than this and the photo has no colours")
SHARP_FROM = Fact(
    value=25,
    unit="variance of the 4-neighbour Laplacian",
    low=15,
    high=60,
    source=EXPERT_JUDGEMENT,
    others=((100, COMMON_PRACTICE),),
    note=f"{TUNED}: the usual 100 would refuse sharp bare soil",
)
TEXTURE_BLOCK_PX = _tuned(32, "pixels", 16, 64)
TEXTURE_FROM = _tuned(5, "mean size of the Laplacian", 3, 8)
FULL_GREY = _tuned(90, "mean grey of 255", 70, 110, "a darker picture has less contrast, though it be as sharp")
LEAST_BRIGHTNESS = _tuned(0.25, "of that", 0.15, 0.4)
TEXTURE_PERCENT = _tuned(50, "percent of the blocks", 40, 60)
LAWN_FROM_DEGREES = _tuned(12, "degrees of hue", 8, 20, "red clay is at about 16")
LAWN_LEAST_SATURATION_PERCENT = _tuned(6, "percent", 4, 10)
LAWN_MOST_SATURATION_PERCENT = _tuned(92, "percent", 85, 98)
LAWN_PERCENT = _tuned(50, "percent of the picture", 40, 60)
BLUE_ABOVE = _tuned(0.97, "median green over red, outside the green", 0.95, 0.99, f"{TUNED}; the boundary is thin")
BLUE_IF_UNCLEAR_ABOVE = _tuned(0.952, "median green over red, outside the green", 0.94, 0.97)
BLUE_UNCLEAR_PERCENT = _tuned(10, "percent of the picture", 7, 15)
ORANGE_BELOW = _tuned(0.42, "median blue over red, outside the green", 0.3, 0.45, f"{TUNED}; the boundary is thin")
CLAY_BELOW = _tuned(
    0.68, "median green over red, outside the green", 0.6, 0.72, "redder ground is clay, not evening light"
)
CAST_FROM_PERCENT = _tuned(3, "percent of the picture", 1, 10, "less outside the green says nothing about the light")

# --- a sheet of white paper in the picture ----------------------------------------

PAPER_BLOCK_PX = _tuned(16, "pixels", 8, 24)
PAPER_LEAST_PERCENT = _tuned(0.5, "percent of the picture", 0.3, 2)
PAPER_MOST_PERCENT = _tuned(30, "percent of the picture", 15, 40, "more is no sheet beside the spot")
PAPER_DARKEST = _tuned(140, "of 255", 120, 160)
PAPER_BRIGHTEST = _tuned(250, "of 255", 245, 252, "a channel at its end has lost its colour")
PAPER_CHROMA = _tuned(0.35, "saturation", 0.25, 0.4)
PAPER_SPREAD = _tuned(8, "standard deviation within a block, of 255", 5, 12)
PAPER_COMPACT = _tuned(0.45, "of the box around it", 0.4, 0.6, "a rectangle turned by half a right angle fills half")
PAPER_OVER_FRAME = _tuned(1.15, "times the middle grey of the picture", 1.05, 1.4)

# --- the same picture again ----------------------------------------

HASH_SIDE = _defined(8, "cells", DIFFERENCE_HASH)
SAME_PICTURE_BITS = _tuned(6, "bits of 64 that differ", 4, 9, "packed anew 0, cut by 4 % 10, others 13 and more")
