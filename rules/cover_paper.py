"""A sheet of white paper in the picture puts its colours right: it is found, and the picture divided by it.

Only used where the sender says that there is one: pale dry soil can look like paper. Paper mends the colour of the
light, not the exposure, and no finer shades of colour.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rules.cover_tally import Pixels
from rules.facts import cover as facts


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """A sheet that was found: its mean colour in linear light, 0..1, and how much of the picture it covers."""

    linear: tuple[float, float, float]
    area_percent: float


def paper_in(pixels: Pixels) -> Paper | None:
    """The sheet of paper in a picture: one compact patch of even, bright, nearly white blocks.

    The largest patch of blocks that touch, between 0.5 and 30 % of the picture. Source: facts.cover, a sheet of paper.
    """
    side = int(facts.PAPER_BLOCK_PX.value)
    means, spread = _blocks(pixels, side)
    patch = _largest_patch(_paper_like(means, spread))
    area = int(np.count_nonzero(patch)) * side * side
    whole = pixels.shape[0] * pixels.shape[1]
    least, most = facts.PAPER_LEAST_PERCENT.value, facts.PAPER_MOST_PERCENT.value
    if not least <= 100 * area / whole <= most or not _is_compact(patch):
        return None
    red, green, blue = _linear_table()[np.rint(means[patch]).astype(np.uint8)].mean(axis=0).tolist()
    return Paper(linear=(red, green, blue), area_percent=100 * area / whole)


def _blocks(pixels: Pixels, side: int) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Mean colour of each block [down, across, channel], and the widest spread of its channels [down, across]."""
    down, across = pixels.shape[0] // side, pixels.shape[1] // side
    cut = pixels[: down * side, : across * side].reshape(down, side, across, side, pixels.shape[2])
    count = side * side
    means = cut.sum(axis=(1, -2), dtype=np.int64) / count
    squares = np.stack([_squares(cut[row]) for row in range(down)]) / count
    return means, np.sqrt(np.maximum(squares - means**2, 0)).max(axis=2)


def _squares(row: Pixels) -> NDArray[np.int64]:
    """Sums of squares of the blocks of one row: [side, across, side, channel] to [across, channel]."""
    wide = row.astype(np.uint16)
    return np.asarray((wide * wide).sum(axis=(0, 2), dtype=np.int64))


def _paper_like(means: NDArray[np.float64], spread: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Which blocks may be paper: even, bright but not at the end of any channel, pale, brighter than the rest."""
    top, bottom = means.max(axis=2), means.min(axis=2)
    grey = means.mean(axis=2)
    is_bright = (grey >= facts.PAPER_DARKEST.value) & (top <= facts.PAPER_BRIGHTEST.value)
    is_brighter = grey >= facts.PAPER_OVER_FRAME.value * np.median(grey)
    is_pale = top - bottom < facts.PAPER_CHROMA.value * top
    return np.asarray(is_bright & is_brighter & is_pale & (spread < facts.PAPER_SPREAD.value))


def _largest_patch(mask: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """The most blocks that touch at their sides."""
    best: set[tuple[int, int]] = set()
    left = {(int(row), int(column)) for row, column in np.argwhere(mask)}
    while left:
        patch, edge = set(), [left.pop()]
        while edge:
            row, column = edge.pop()
            patch.add((row, column))
            beside = {(row + 1, column), (row - 1, column), (row, column + 1), (row, column - 1)} & left
            left -= beside
            edge.extend(beside)
        best = max(best, patch, key=len)
    found = np.zeros_like(mask)
    for row, column in best:
        found[row, column] = True
    return found


def _is_compact(patch: NDArray[np.bool_]) -> bool:
    rows, columns = np.nonzero(patch)
    box = (np.ptp(rows) + 1) * (np.ptp(columns) + 1)
    return bool(rows.size >= facts.PAPER_COMPACT.value * box)


def divided_by(pixels: Pixels, paper: Paper) -> Pixels:
    """The picture as it would be in white light: each channel divided, in linear light, by that of the paper.

    Green keeps its brightness, so that the exposure stays as it was. Source: facts.cover, the sRGB colour space.
    """
    levels = _linear_table()
    gains = [paper.linear[1] / max(each, levels[1]) for each in paper.linear]
    divided = np.empty_like(pixels)
    for channel, gain in enumerate(gains):
        divided[:, :, channel] = np.take(_packed(levels * gain), pixels[:, :, channel])
    return divided


def _linear_table() -> NDArray[np.float64]:
    """Linear light 0..1 of each 8-bit value of sRGB."""
    top = int(facts.TOP_VALUE.value)
    value = np.arange(top + 1) / top
    offset = facts.SRGB_OFFSET.value
    curved = ((value + offset) / (1 + offset)) ** facts.SRGB_EXPONENT.value
    return np.where(value <= facts.SRGB_KNEE.value, value / facts.SRGB_SLOPE.value, curved)


def _packed(linear: NDArray[np.float64]) -> Pixels:
    """The 8-bit value of sRGB for each linear light; more than white is white."""
    offset, light = facts.SRGB_OFFSET.value, np.clip(linear, 0, 1)
    curved = (1 + offset) * light ** (1 / facts.SRGB_EXPONENT.value) - offset
    straight = light * facts.SRGB_SLOPE.value
    value = np.where(straight <= facts.SRGB_KNEE.value, straight, curved)
    return np.rint(value * facts.TOP_VALUE.value).astype(np.uint8)
