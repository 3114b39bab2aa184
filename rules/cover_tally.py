"""One pass over a photo's pixels: what is green, what is lawn-coloured, how bright, how sharp.

Hue, saturation and value are compared in 16-bit whole numbers without a division: where green is the largest channel,
hue = 120 + 60 (blue - red) / chroma, so hue >= 65 is 60 (blue - red) >= (65 - 120) chroma, and no product exceeds
31,110. Where red is the largest, hue = 60 (green - blue) / chroma.

Arrays run [row, column]; pixels are [row, column, channel], sRGB, 8 bits.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rules.errors import OutOfRange
from rules.facts import cover as facts

Pixels = NDArray[np.uint8]
Plane = NDArray[np.int16]
Mask = NDArray[np.bool_]

_BLOCK = 64  # rows worked on at once, so that they stay in the processor's cache
_SPARSE = 2 * 2  # shares of colours are taken from each fourth pixel of each fourth row

_AXES, _CHANNELS = ("row", "column", "channel"), ("red", "green", "blue")
_SECTOR = int(facts.SECTOR_DEGREES.value)
_GREEN = int(facts.GREEN_DEGREES.value)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Planes:
    """The channels as signed numbers, with the largest of them and the largest less the smallest."""

    red: Plane
    green: Plane
    blue: Plane
    value: Plane
    chroma: Plane


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Tally:
    """What a photo's pixels come to. Percent are of the picture.

    green_percent : by the window itself; wider_percent and narrower_percent by one with its yellow end moved
    dark_percent, bright_percent : grey below and above what a camera can tell apart
    coloured_percent : pixels with any colour at all
    lawn_percent : pixels in the colours of plants, straw and soil
    sharpness : variance of the Laplacian of the grey; textured_percent : share of blocks with texture
    other_percent : pixels neither green, black nor glaring; green_over_red, blue_over_red : their medians
    dgci : mean dark green colour index of what is green, 0..1; nan where nothing is
    grey : the grey picture
    """

    green_percent: float
    wider_percent: float
    narrower_percent: float
    dark_percent: float
    bright_percent: float
    coloured_percent: float
    lawn_percent: float
    sharpness: float
    textured_percent: float
    other_percent: float
    green_over_red: float
    blue_over_red: float
    dgci: float
    grey: Plane


def planes_of(pixels: Pixels) -> Planes:
    """The channels of some rows, ready to be compared. Source: facts.cover, SMITH_1978."""
    red, green, blue = (np.ascontiguousarray(pixels[:, :, each]).astype(np.int16) for each in range(pixels.shape[2]))
    value = np.maximum(np.maximum(red, green), blue)
    chroma = value - np.minimum(np.minimum(red, green), blue)
    return Planes(red=red, green=green, blue=blue, value=value, chroma=chroma)


def green_mask(pixels: Pixels) -> Mask:
    """Which pixels are green: hue 65 to 180 degrees, saturation at least 15 %, value at least 20 of 255.

    Exactly what the same comparison on fractions gives. Source: facts.cover, which pixels are green.
    """
    _require_pixels(pixels)
    planes = planes_of(pixels)
    return _vivid(planes) & _leafy(planes, facts.GREEN_FROM_DEGREES.value)


def _require_pixels(pixels: Pixels) -> None:
    channels = pixels.shape[2] if pixels.ndim == len(_AXES) and pixels.dtype == np.uint8 else 0
    if channels != len(_CHANNELS):
        raise OutOfRange("channels of 8 bits", channels, len(_CHANNELS), len(_CHANNELS), "")


def _vivid(planes: Planes) -> Mask:
    """Bright and coloured enough that the hue means something."""
    share = np.int16(facts.GREEN_SATURATION_PERCENT.value)
    is_vivid: Mask = (100 * planes.chroma >= share * planes.value) & (planes.value >= np.int16(facts.GREEN_VALUE.value))
    return is_vivid


def _leafy(planes: Planes, from_degrees: float) -> Mask:
    """Hue from a little above or below yellow up to 180 degrees. True, too, where there is no hue at all."""
    leafy: Mask = planes.green == planes.value
    if from_degrees > _SECTOR:
        leafy &= _SECTOR * (planes.blue - planes.red) >= np.int16(from_degrees - _GREEN) * planes.chroma
        return leafy
    is_red_top = planes.red == planes.value
    leafy |= is_red_top & (_SECTOR * (planes.green - planes.blue) >= np.int16(from_degrees) * planes.chroma)
    return leafy


def _lawn_coloured(planes: Planes) -> Mask:
    """The hues of soil, straw and leaves, neither grey nor glaring."""
    least = np.int16(facts.LAWN_LEAST_SATURATION_PERCENT.value)
    most = np.int16(facts.LAWN_MOST_SATURATION_PERCENT.value)
    hundredfold = 100 * planes.chroma
    is_between: Mask = (hundredfold >= least * planes.value) & (hundredfold <= most * planes.value)
    return is_between & _leafy(planes, facts.LAWN_FROM_DEGREES.value)


def _grey(planes: Planes) -> Plane:
    weights = (facts.LUMA_RED, facts.LUMA_GREEN, facts.LUMA_BLUE)
    channels = (planes.red, planes.green, planes.blue)
    total = sum(
        channel.view(np.uint16) * np.uint16(each.value) for channel, each in zip(channels, weights, strict=True)
    )
    return (np.asarray(total, dtype=np.uint16) // np.uint16(facts.LUMA_WHOLE.value)).view(np.int16)


# --- the pass over all rows -------------------------------------------------------------------------------------------


@dataclass(slots=True, kw_only=True, eq=False)
class _Counting:
    """Counts so far, and the samples from which medians and means are taken at the end."""

    green: int = 0
    wider: int = 0
    narrower: int = 0
    dark: int = 0
    bright: int = 0
    coloured: int = 0
    lawn: int = 0

    def add(self, planes: Planes, grey: Plane, leaves: Mask) -> None:
        vivid = _vivid(planes)
        self.green += _count(leaves)
        self.wider += _count(vivid & _leafy(planes, facts.WIDER_FROM_DEGREES.value))
        self.narrower += _count(vivid & _leafy(planes, facts.NARROWER_FROM_DEGREES.value))
        self.dark += _count(grey < np.int16(facts.DARK_GREY.value))
        self.bright += _count(grey > np.int16(facts.BRIGHT_GREY.value))

    def add_sparse(self, planes: Planes) -> None:
        colourless = np.int16(facts.GREYEST_PERCENT.value)
        self.coloured += _count(100 * planes.chroma > colourless * planes.value)
        self.lawn += _count(_lawn_coloured(planes))


def _count(mask: Mask) -> int:
    return int(np.count_nonzero(mask))


def tally_of(pixels: Pixels, outside_percent: float = 0) -> Tally:
    """Everything that is counted on a photo, in one pass.

    Parameters
    ----------
    pixels : array (rows, columns, 3) of 8-bit sRGB, upright, at least two texture blocks a side
    outside_percent : part of it that is no lawn (a sheet of paper) [percent]

    Raises
    ------
    OutOfRange
        Not three channels of 8 bits, or too small to have texture.

    Source
    ------
    facts.cover; the hexcone model of colour (SMITH_1978), DGCI (KARCHER_2003).
    """
    _require_pixels(pixels)
    rows, columns = pixels.shape[:2]
    least = 2 * facts.TEXTURE_BLOCK_PX.value
    if min(rows, columns) < least:
        raise OutOfRange("short side", min(rows, columns), least, np.inf, "pixels")
    counting, grey = _Counting(), np.empty((rows, columns), np.int16)
    leaf_samples, other_samples = [], []
    for top in range(0, rows, _BLOCK):
        planes = planes_of(pixels[top : top + _BLOCK])
        strip = grey[top : top + _BLOCK]
        strip[:] = _grey(planes)
        leaves = _vivid(planes) & _leafy(planes, facts.GREEN_FROM_DEGREES.value)
        counting.add(planes, strip, leaves)
        sparse, sparse_leaves = _sparse(planes), leaves[::_SPARSE, ::_SPARSE]
        counting.add_sparse(sparse)
        leaf_samples.append(_sums_for_dgci(sparse, sparse_leaves))
        other_samples.append(_ratios(sparse, ~sparse_leaves))
    return _added_up(counting, grey, 1 - outside_percent / 100, np.sum(leaf_samples, axis=0), other_samples)


def _sparse(planes: Planes) -> Planes:
    step = slice(None, None, _SPARSE)
    red, green, blue, value, chroma = (
        np.ascontiguousarray(each[step, step])
        for each in (planes.red, planes.green, planes.blue, planes.value, planes.chroma)
    )
    return Planes(red=red, green=green, blue=blue, value=value, chroma=chroma)


def _sums_for_dgci(planes: Planes, leaves: Mask) -> NDArray[np.float64]:
    """Number, and sums of hue past green in sectors, saturation and value, over the green pixels of some rows."""
    chroma, value = planes.chroma[leaves].astype(np.float32), planes.value[leaves].astype(np.float32)
    past_green = (planes.blue[leaves] - planes.red[leaves]) / chroma
    return np.array([chroma.size, past_green.sum(), (chroma / value).sum(), value.sum()], np.float64)


def _ratios(planes: Planes, others: Mask) -> NDArray[np.float32]:
    """Green over red and blue over red outside the green, where no channel is at its end. [ratio, pixel]"""
    chosen = others & (planes.value >= np.int16(facts.GREEN_VALUE.value))
    chosen &= planes.value <= np.int16(facts.BRIGHT_GREY.value)
    red = np.maximum(planes.red[chosen], 1).astype(np.float32)
    return np.stack([planes.green[chosen] / red, planes.blue[chosen] / red])


def _added_up(
    counting: _Counting,
    grey: Plane,
    lawn_share: float,
    leaf_sums: NDArray[np.float64],
    other_samples: list[NDArray[np.float32]],
) -> Tally:
    share = 100 / (grey.size * lawn_share)
    sparse_share = 100 / grey[::_SPARSE, ::_SPARSE].size
    ratios = np.concatenate(other_samples, axis=1)
    green_over_red, blue_over_red = np.median(ratios, axis=1) if ratios.size else (np.nan, np.nan)
    sharpness, textured = _sharpness(grey)
    return Tally(
        green_percent=min(counting.green * share, 100),
        wider_percent=min(counting.wider * share, 100),
        narrower_percent=min(counting.narrower * share, 100),
        dark_percent=100 * counting.dark / grey.size,
        bright_percent=100 * counting.bright / grey.size,
        coloured_percent=counting.coloured * sparse_share,
        lawn_percent=counting.lawn * sparse_share,
        sharpness=sharpness,
        textured_percent=textured,
        other_percent=ratios.shape[1] * sparse_share,
        green_over_red=float(green_over_red),
        blue_over_red=float(blue_over_red),
        dgci=_dgci(leaf_sums),
        grey=grey,
    )


def _dgci(sums: NDArray[np.float64]) -> float:
    """Mean dark green colour index: the mean of hue past yellow, of paleness and of darkness, each 0..1."""
    count, past_green, saturation, value = sums
    if not count:
        return float("nan")
    hue = _GREEN + _SECTOR * past_green / count
    sideways = (hue - facts.DGCI_OFFSET_DEGREES.value) / facts.DGCI_SPAN_DEGREES.value
    rest = (1 - saturation / count) + (1 - value / count / facts.TOP_VALUE.value)
    return float((sideways + rest) / facts.DGCI_TERMS.value)


def _sharpness(grey: Plane) -> tuple[float, float]:
    """Variance of the 4-neighbour Laplacian, and the percent of blocks with texture; both as if well lit."""
    laplacian = grey[1:-1, :-2] + grey[1:-1, 2:]
    laplacian += grey[:-2, 1:-1]
    laplacian += grey[2:, 1:-1]
    laplacian -= 2 * grey[1:-1, 1:-1]
    laplacian -= 2 * grey[1:-1, 1:-1]
    brightness = min(1.0, max(facts.LEAST_BRIGHTNESS.value, float(grey.mean()) / facts.FULL_GREY.value))
    side = int(facts.TEXTURE_BLOCK_PX.value)
    down, across = (length // side for length in laplacian.shape)
    sizes = np.abs(laplacian[: down * side, : across * side])
    by_rows = sizes.reshape(down, side, across * side).sum(axis=1, dtype=np.int32)
    blocks = by_rows.reshape(down, across, side).sum(axis=2)
    textured = 100 * float(np.mean(blocks > facts.TEXTURE_FROM.value * brightness * side * side))
    return _variance(laplacian) / brightness**2, textured


def _variance(laplacian: Plane) -> float:
    """Strip by strip, since all of it as fractions would take more room than the picture."""
    total, squares = 0.0, 0.0
    for top in range(0, len(laplacian), _BLOCK):
        strip = laplacian[top : top + _BLOCK].astype(np.float32).ravel()
        total += float(strip.sum(dtype=np.float64))
        squares += float(strip @ strip)
    mean = total / laplacian.size
    return squares / laplacian.size - mean**2


def dhash_of(grey: Plane) -> str:
    """64-bit difference hash: is each of 8 x 9 cells brighter than its left neighbour. 16 hexadecimal digits.

    Survives packing and shrinking; a mirrored or another picture has another hash. Source: facts.cover, HASH_SIDE.
    """
    side = int(facts.HASH_SIDE.value)
    tops = np.arange(side) * grey.shape[0] // side
    lefts = np.arange(side + 1) * grey.shape[1] // (side + 1)
    cells = np.add.reduceat(np.add.reduceat(grey, tops, axis=0, dtype=np.int32), lefts, axis=1, dtype=np.int64)
    widths = np.diff(np.append(lefts, grey.shape[1]))
    means = cells / widths
    return np.packbits(means[:, 1:] > means[:, :-1]).tobytes().hex()
