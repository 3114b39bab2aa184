"""The picture of what survived, layer by layer, all of it in pixels.

What lawns say is a solid line in a filled band, what is published a dashed line, what was seen are dots with whiskers:
every kind of thing has a shape of its own, so that colours only help.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from bot.charts.limit import RUNGS_PERCENT, LimitWords
from bot.charts.placing import Box
from bot.charts.sheet import HEIGHT, PAPER, WIDTH, Look, Sheet, dashes, lines_px, points
from rules.lt50_curve import SurvivalCurve
from rules.units import c_to_f

SOFT, RULE, BASE = "#4d5751", "#ddd6c6", "#8a8778"
FOUND, PUBLISHED, SEEN = "#27506b", "#9a4a06", "#1f2b25"
BAND_ALPHA = 0.22
LINE_PX, DOT_PX, WHISKER_PX = 4, 13, 3
MARGIN, RIGHT = 24, 690
SWATCH, STEPS_WANTED = 52, 7
STEPS_F, STEPS_C = (2, 5, 10), (1, 2, 5)

TITLE, FINDING = Look(size_px=34, is_bold=True), Look(size_px=26)
SMALL, SMALL_SOFT = Look(size_px=24), Look(size_px=24, colour=SOFT)
Point = tuple[float, float]


class LimitFigure:
    """One drawing. `sheet` is what it is drawn on; the plot lies between `left`, `top`, `right` and `bottom`. [px]"""

    def __init__(self, curve: SurvivalCurve, *, words: LimitWords, metric: bool) -> None:
        self.curve, self.words, self.metric = curve, words, metric
        self.sheet = Sheet()
        self.ink = self.sheet.axes(Box(0, 0, WIDTH, HEIGHT))
        self.ink.set_xlim(0, WIDTH)
        self.ink.set_ylim(HEIGHT, 0)
        self.left: int = MARGIN + max(self.sheet.size_of(rung, SMALL)[0] for rung in words.rungs) + 10
        self.right = RIGHT
        self.top = self._head()
        self.bottom = self._legend() - 30 - 2 * lines_px(1, SMALL)
        self.low_c, self.high_c = curve.points[0].crown_min_c, curve.points[-1].crown_min_c
        for layer in (self._rungs, self._degrees, self._found, self._published, self._seen):
            layer()

    def x_of(self, crown_c: float) -> float:
        """Where a temperature stands across the sheet. [px]"""
        return self.left + (crown_c - self.low_c) / (self.high_c - self.low_c) * (self.right - self.left)

    def y_of(self, fraction: float) -> float:
        """Where a share stands, down from the top of the sheet. [px]"""
        return self.bottom - fraction * (self.bottom - self.top)

    # --- around the plot -------------------------------------------------------------------------------------------

    def _head(self) -> int:
        """Title, finding and what is drawn upwards, one under the other; returns where the plot begins."""
        top = self._row("title", 20, self.words.title, TITLE) + 6
        top = self._row("finding", top, self.words.finding, FINDING) + 12
        return self._row("up", top, self.words.up, SMALL_SOFT) + 20

    def _row(self, name: str, top: int, words: str, look: Look) -> int:
        text = self.sheet.wrapped(words, WIDTH - 2 * MARGIN, look)
        self.sheet.write(name, (MARGIN, top), text, look)
        return top + self.sheet.size_of(text, look)[1]

    def _legend(self) -> int:
        """What the shapes are, one under the other at the foot of the sheet; returns where they begin."""
        shapes = {"found": self.words.found, "published": self.words.published, "seen": self.words.seen}
        texts = {
            name: self.sheet.wrapped(words, WIDTH - 2 * MARGIN - SWATCH, SMALL)
            for name, words in shapes.items()
            if words
        }
        heights = {name: self.sheet.size_of(text, SMALL)[1] + 4 for name, text in texts.items()}
        begin = top = HEIGHT - 14 - sum(heights.values())
        for name, text in texts.items():
            self._swatch(name, (MARGIN + (SWATCH - 12) / 2, top + lines_px(1, SMALL) / 2))
            self.sheet.write(f"legend {name}", (MARGIN + SWATCH, top), text, SMALL)
            top += heights[name]
        return begin

    def _swatch(self, name: str, at: Point) -> None:
        """A shape as it stands in the plot, small."""
        x, y = at
        if name == "seen":
            self._dot(at, (y - 11, y + 11))
            return
        ends = [(x - 19, y), (x + 19, y)]
        if name == "found":
            self.ink.fill_between([x - 19, x + 19], y - 9, y + 9, color=FOUND, alpha=BAND_ALPHA, lw=0)
        self._line(ends, FOUND if name == "found" else PUBLISHED, is_dashed=name != "found")

    def _rungs(self) -> None:
        """Lines across with their percents at the left."""
        every = 1 if self.y_of(0) - self.y_of(RUNGS_PERCENT[1] / 100) >= lines_px(1, SMALL) + 4 else 2
        for percent, name in zip(RUNGS_PERCENT, self.words.rungs, strict=True):
            y, colour = self.y_of(percent / 100), BASE if percent == 0 else RULE
            self.ink.plot([self.left, self.right], [y, y], color=colour, lw=points(2), zorder=1)
            if percent in RUNGS_PERCENT[::every]:
                at = self.left - 10, y - lines_px(1, SMALL) / 2
                self.sheet.write(f"rung {percent}", at, name, SMALL_SOFT, across="right")

    def _degrees(self) -> None:
        """Round temperatures under the plot, and what they are."""
        top = self.bottom + 12
        for crown_c, name in self._round_degrees():
            x = self.x_of(crown_c)
            self.ink.plot([x, x], [self.bottom, self.bottom + 8], color=BASE, lw=points(2), zorder=1)
            if x - self.sheet.size_of(name, SMALL)[0] / 2 >= self.left:  # the percents stand to the left of that
                self.sheet.write(f"degree {name}", (x, top), name, SMALL, across="center")
        middle = (self.left + self.right) / 2
        self.sheet.write(
            "across", (middle, top + lines_px(1, SMALL) + 4), self.words.across, SMALL_SOFT, across="center"
        )

    def _round_degrees(self) -> Iterator[tuple[float, str]]:
        low, high = (each if self.metric else c_to_f(each) for each in (self.low_c, self.high_c))
        steps = STEPS_C if self.metric else STEPS_F
        step = next((each for each in steps if (high - low) / each <= STEPS_WANTED), steps[-1])
        for count in range(math.ceil(low / step), math.floor(high / step) + 1):
            shown = count * step
            crown_c = shown if self.metric else (shown - c_to_f(0)) / (c_to_f(1) - c_to_f(0))
            yield crown_c, f"{shown}".replace("-", "−")

    # --- in the plot -----------------------------------------------------------------------------------------------

    def _found(self) -> None:
        """What lawns say: the band and its line."""
        at = self.curve.points
        xs = [self.x_of(each.crown_min_c) for each in at]
        lows, highs = (
            [self.y_of(getattr(each.found, end)) for each in at] for end in ("low_fraction", "high_fraction")
        )
        self.ink.fill_between(xs, lows, highs, color=FOUND, alpha=BAND_ALPHA, lw=0, zorder=2)
        self._line([(x, self.y_of(each.found.middle_fraction)) for x, each in zip(xs, at, strict=True)], FOUND)

    def _published(self) -> None:
        dots = [(self.x_of(each.crown_min_c), self.y_of(each.published.middle_fraction)) for each in self.curve.points]
        self._line(dots, PUBLISHED, is_dashed=True)

    def _line(self, dots: Sequence[Point], colour: str, *, is_dashed: bool = False) -> None:
        style = dashes((9, 6) if is_dashed else (), LINE_PX)
        xs, ys = zip(*dots, strict=True)
        self.ink.plot(xs, ys, color=colour, lw=points(LINE_PX), ls=style, solid_joinstyle="round", zorder=4)

    def _seen(self) -> None:
        """Dots of what was seen, where they lie inside of what is drawn."""
        for each in self.curve.seen:
            if self.low_c <= each.crown_min_c <= self.high_c:
                low, middle, high = (
                    self.y_of(share)
                    for share in (each.seen.low_fraction, each.seen.middle_fraction, each.seen.high_fraction)
                )
                self._dot((self.x_of(each.crown_min_c), middle), (high, low))

    def _dot(self, at: Point, reach: Point) -> None:
        x, y = at
        self.ink.plot([x, x], reach, color=SEEN, lw=points(WHISKER_PX), zorder=5, solid_capstyle="butt")
        self.ink.plot([x], [y], "o", ms=points(DOT_PX), mfc=SEEN, mec=PAPER, mew=points(1.5), zorder=6)
