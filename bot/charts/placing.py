"""Where labels go: pushed apart in a column, or into a free spot between lines. Pixels, from the upper left corner."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle of pixels; right and bottom are outside."""

    left: int
    top: int
    right: int
    bottom: int

    def overlaps(self, other: Box) -> bool:
        """Whether the two share a pixel."""
        apart_across = self.right <= other.left or other.right <= self.left
        return not (apart_across or self.bottom <= other.top or other.bottom <= self.top)

    def off(self, x: float, y: float) -> float:
        """How far a point lies outside of it."""
        return math.hypot(max(self.left - x, x - self.right, 0), max(self.top - y, y - self.bottom, 0))

    def within(self, other: Box) -> bool:
        """Whether all of it lies inside the other."""
        across = other.left <= self.left and self.right <= other.right
        return across and other.top <= self.top and self.bottom <= other.bottom


class Taken:
    """Which pixels are taken: by lines, which a label may cross if it must, and by labels, which it may not."""

    def __init__(self, width: int, height: int) -> None:
        self._mask = np.zeros((height, width), dtype=np.bool_)
        self._labels: list[Box] = []

    def add_box(self, box: Box) -> None:
        """Something drawn fills it."""
        self._mask[max(box.top, 0) : max(box.bottom, 0), max(box.left, 0) : max(box.right, 0)] = True

    def add_label(self, box: Box, margin: int) -> None:
        """A text stands there; others keep so far off where they can, and never come over it."""
        self.add_box(Box(box.left - margin, box.top - margin, box.right + margin, box.bottom + margin))
        self._labels.append(box)

    def holds_label(self, box: Box) -> bool:
        """Whether a text already stands in a part of it."""
        return any(box.overlaps(label) for label in self._labels)

    def add_line(self, points: Sequence[tuple[float, float]], half_width: int) -> None:
        """A line through the points, so thick."""
        for (x0, y0), (x1, y1) in pairwise(points):
            steps = int(max(abs(x1 - x0), abs(y1 - y0), 1)) + 1
            for x, y in zip(np.linspace(x0, x1, steps), np.linspace(y0, y1, steps), strict=True):
                left, top = round(x) - half_width, round(y) - half_width
                self.add_box(Box(left, top, left + 2 * half_width + 1, top + 2 * half_width + 1))

    def within(self, box: Box) -> int:
        """How many pixels of a box are taken."""
        return int(self._mask[box.top : box.bottom, box.left : box.right].sum())


@dataclass(frozen=True, slots=True)
class Spot:
    """A place for a label, and how far it is from the best one. [px]"""

    box: Box
    off_px: float


def best_spot(taken: Taken, spots: Iterable[Spot], inside: Box, tenth_covered_px: float = 25) -> Spot | None:
    """The nearest spot, where a tenth of it covering something counts like so many px off. None if none fits.

    It lies inside and on no other label.
    """

    def cost(spot: Spot) -> float:
        size = (spot.box.right - spot.box.left) * (spot.box.bottom - spot.box.top)
        return spot.off_px + 10 * tenth_covered_px * taken.within(spot.box) / size

    open_ones = (spot for spot in spots if spot.box.within(inside) and not taken.holds_label(spot.box))
    return min(open_ones, key=cost, default=None)


def beside(
    dot: tuple[float, float], size: tuple[int, int], others: Sequence[tuple[float, float]], *, is_over: bool
) -> Iterator[Spot]:
    """Places around a dot, the nearer the better: first under it (or over it), then aslant, then at its sides.

    One that is far off, or as near to another dot, would be taken for another line's.
    """
    (x, y), (width, height) = dot, size
    first = -1 if is_over else 1
    ways = ((0, first), (1, first), (-1, first), (1, 0), (-1, 0), (0, -first), (1, -first), (-1, -first))
    for away in range(11, 120, 6):
        for order, (across, down) in enumerate(ways):
            left = round(x - width / 2 + across * (width / 2 + away * (0.6 if down else 1)))
            top = round(y - height / 2 + down * (height / 2 + away))
            box = Box(left, top, left + width, top + height)
            is_nearer_another = any(box.off(*other) < box.off(x, y) + 4 for other in others)
            yield Spot(box, away + 2 * max(away - 30, 0) + 3 * order + 60 * is_nearer_another)


def pushed_apart(wanted: Sequence[float], lengths: Sequence[float], low: float, high: float) -> list[float]:
    """Middles of pieces in a column, as near as can be to where they want to be, in the same order, none overlapping.

    Pieces that touch move together. The column must be long enough for all of them.
    """
    groups: list[list[int]] = []
    starts: list[float] = []
    for piece in sorted(range(len(wanted)), key=lambda each: wanted[each]):
        groups.append([piece])
        starts.append(_start(groups[-1], wanted, lengths, low, high))
        while len(groups) > 1 and starts[-2] + sum(lengths[each] for each in groups[-2]) > starts[-1]:
            groups[-2:] = [groups[-2] + groups[-1]]
            starts[-2:] = [_start(groups[-1], wanted, lengths, low, high)]
    middles = [0.0] * len(wanted)
    for group, start in zip(groups, starts, strict=True):
        for piece in group:
            middles[piece] = start + lengths[piece] / 2
            start += lengths[piece]
    return middles


def _start(group: list[int], wanted: Sequence[float], lengths: Sequence[float], low: float, high: float) -> float:
    """Where a stack of touching pieces begins: the mean of what its pieces want, kept inside the column."""
    above, starts = 0.0, []
    for piece in group:
        starts.append(wanted[piece] - lengths[piece] / 2 - above)
        above += lengths[piece]
    return min(max(sum(starts) / len(starts), low), high - above)
