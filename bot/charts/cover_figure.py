"""The picture of a spot's green, layer by layer, all of it in pixels.

Every kind of thing has a shape of its own, so that colours only help: dots, diamonds, a ring, a line and a band. What
stands around the plot has rows of its own, as many as its words need; figures go where least is covered.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from babel import Locale
from babel.dates import format_skeleton

from bot.charts.cover import RUNGS_PERCENT, CoverWords
from bot.charts.placing import Box, beside, best_spot, pushed_apart
from bot.charts.sheet import HEIGHT, PAPER, WIDTH, Look, Sheet, dashes, lines_px, points
from bot.talk.cover_chart import CoverAt, CoverChart, CoverReading

SOFT, RULE, BASE = "#4d5751", "#ddd6c6", "#8a8778"
TREND = "#3c7a57"
BAND_ALPHA = 0.2
MARGIN, RIGHT = 24, 700
SIDE = 34  # from the edges of the plot to the first and last day
LEAST_DAYS = 21  # a few days are not stretched over the whole width
SMALLEST_DOT, LARGEST_DOT, RING = 7, 18, 20
FURTHEST_OFF = 12  # a dot is set off its day by so much at most, unless there are very many
SWATCH, LEGEND_GAP, DATE_GAP = 46, 22, 18
TREND_PX = 4
ASCENT = 21  # of small letters, from where their line begins to where they stand

TITLE, FINDING = Look(size_px=34, is_bold=True), Look(size_px=26)
SMALL, SMALL_SOFT = Look(size_px=24), Look(size_px=24, colour=SOFT)


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """How a point looks. Its shape tells it apart where its colour does not."""

    colour: str
    shape: str
    is_open: bool = False

    @property
    def figure(self) -> Look:
        """How the figure beside it is written."""
        return Look(size_px=26, colour=self.colour, is_bold=True, halo=PAPER)


MARKS = {
    "photo": Mark(colour="#143d2c", shape="o"),
    "other": Mark(colour="#9a4a06", shape="D"),
    "later": Mark(colour="#27506b", shape="o", is_open=True),
}
Point = tuple[float, float]


class CoverFigure:
    """One drawing. `sheet` is what it is drawn on; the plot lies between `left`, `top`, `right` and `bottom`. [px]"""

    def __init__(self, chart: CoverChart, *, words: CoverWords, language: str) -> None:
        self.chart, self.words, self.locale = chart, words, Locale.parse(language)
        self.sheet = Sheet()
        self.ink = self.sheet.axes(Box(0, 0, WIDTH, HEIGHT))
        self.ink.set_xlim(0, WIDTH)
        self.ink.set_ylim(HEIGHT, 0)
        days = [each.on for each in chart.readings] + [each.on for each in chart.line]
        days += [each for each in (chart.judging_on, chart.later.on if chart.later else None) if each]
        self.first_on, self.days = min(days), (max(days) - min(days)).days
        self.left: int = MARGIN + max(self.sheet.size_of(rung, SMALL)[0] for rung in words.rungs) + 10
        self.right = RIGHT
        self.top = self._head()
        self.bottom = self._legend() - 24 - lines_px(1, SMALL)
        self.xs, self.dot = self._set_apart()
        for layer in (self._rungs, self._dates, self._judging, self._trend, self._expected, self._readings):
            layer()
        self._figures()  # last, since they keep clear of all the rest

    def x_of(self, on: date) -> float:
        """Where a day stands across the sheet. [px]"""
        shown = max(self.days, LEAST_DAYS)
        since = (on - self.first_on).days + (shown - self.days) / 2
        return self.left + SIDE + since / shown * (self.right - self.left - 2 * SIDE)

    def y_of(self, percent: float) -> float:
        """Where a cover stands, down from the top of the sheet. [px]"""
        return self.bottom - percent / 100 * (self.bottom - self.top)

    # --- around the plot ---------------------------------------------------------------------------------------------

    def _head(self) -> int:
        """Title, finding and the name of the judging day, one under the other; returns where the plot begins."""
        top = self._row("title", 20, self.words.title, TITLE) + 6
        top = self._row("finding", top, self.words.finding, FINDING) + 14
        if self.words.judging and self.chart.judging_on:
            judging = self.sheet.wrapped(self.words.judging, WIDTH - 2 * MARGIN, SMALL_SOFT)
            half, high = self.sheet.size_of(judging, SMALL_SOFT)[0] / 2, self.sheet.size_of(judging, SMALL_SOFT)[1]
            middle = min(max(self.x_of(self.chart.judging_on), MARGIN + half), WIDTH - MARGIN - half)
            self.sheet.write("judging", (middle, top), judging, SMALL_SOFT, across="center")
            top += high
        return top + 20  # half of the uppermost rung's name stands above its line

    def _row(self, name: str, top: int, words: str, look: Look) -> int:
        """A text over the whole width; returns where it ends."""
        text = self.sheet.wrapped(words, WIDTH - 2 * MARGIN, look)
        self.sheet.write(name, (MARGIN, top), text, look)
        return top + self.sheet.size_of(text, look)[1]

    def _legend(self) -> int:
        """What the shapes are, in rows at the foot of the sheet; returns where they begin."""
        texts = {
            name: self.sheet.wrapped(words, WIDTH - 2 * MARGIN - SWATCH, SMALL)
            for name, words in self._shapes().items()
        }
        sizes = {name: self.sheet.size_of(text, SMALL) for name, text in texts.items()}
        rows: list[list[str]] = [[]]
        end = MARGIN
        for name in texts:
            if rows[-1] and end + SWATCH + sizes[name][0] > WIDTH - MARGIN:
                rows.append([])
                end = MARGIN
            rows[-1].append(name)
            end += SWATCH + sizes[name][0] + LEGEND_GAP
        heights = [max(sizes[name][1] for name in row) + 4 for row in rows]
        begin = top = HEIGHT - 14 - sum(heights)
        for row, high in zip(rows, heights, strict=True):
            left = MARGIN
            for name in row:
                self._swatch(name, (left + (SWATCH - 12) / 2, top + lines_px(1, SMALL) / 2))
                self.sheet.write(f"legend {name}", (left + SWATCH, top), texts[name], SMALL)
                if "\n" not in texts[name]:
                    self.sheet.stand(f"legend {name}", top + ASCENT)
                left += SWATCH + sizes[name][0] + LEGEND_GAP
            top += high
        return begin

    def _shapes(self) -> dict[str, str]:
        """The shapes that are there, and what they are called."""
        kinds = {_kind(each) for each in self.chart.readings}
        shapes = {
            "photo": (self.words.photo, "photo" in kinds),
            "other": (self.words.other, "other" in kinds),
            "trend": (self.words.trend, bool(self.chart.line)),
            "later": (self.words.later, self.chart.later is not None),
        }
        return {name: words for name, (words, is_there) in shapes.items() if is_there}

    def _swatch(self, name: str, at: Point) -> None:
        """A shape as it stands in the plot, small."""
        x, y = at
        if name == "trend":
            self.ink.fill_between([x - 17, x + 17], y - 10, y + 10, color=TREND, alpha=BAND_ALPHA, lw=0)
            self._stroke([(x - 17, y), (x + 17, y)], is_ahead=False)
        else:
            self._mark(name, at, (y - 13, y + 13), RING - 4 if name == "later" else 14)

    def _rungs(self) -> None:
        """Lines across with their percents at the left; where these would touch, every other one."""
        every = 1 if self.y_of(0) - self.y_of(RUNGS_PERCENT[1]) >= lines_px(1, SMALL) + 4 else 2
        for percent, name in zip(RUNGS_PERCENT, self.words.rungs, strict=True):
            y, colour = self.y_of(percent), BASE if percent == 0 else RULE
            self.ink.plot([self.left, self.right], [y, y], color=colour, lw=points(2), zorder=1)
            if percent in RUNGS_PERCENT[::every]:
                at = self.left - 10, y - lines_px(1, SMALL) / 2
                self.sheet.write(f"rung {percent}", at, name, SMALL_SOFT, across="right")

    def _dates(self) -> None:
        """Days of readings and of what is expected, as many as there is room for: the outermost first."""
        readings = [each.on for each in self.chart.readings]
        wanted = [readings[-1], readings[0], *([self.chart.later.on] if self.chart.later else []), *readings]
        taken: list[Box] = []
        top = round(self.bottom + 12)
        for on in dict.fromkeys(wanted):
            name = str(format_skeleton("MMMd", on, locale=self.locale))
            half, high = self.sheet.size_of(name, SMALL)[0] / 2, lines_px(1, SMALL)
            middle = min(max(self.x_of(on), self.left - 8 + half), WIDTH - 12 - half)
            box = Box(round(middle - half) - DATE_GAP // 2, top, round(middle + half) + DATE_GAP // 2, top + high)
            if not any(box.overlaps(each) for each in taken):
                taken.append(box)
                self.sheet.write(f"date {on}", (middle, top), name, SMALL, across="center")
                self.sheet.stand(f"date {on}", top + ASCENT)
                x, ends = self.x_of(on), [self.bottom, self.bottom + 8]
                self.ink.plot([x, x], ends, color=BASE, lw=points(2), zorder=1)  # under the dots at 0

    # --- in the plot -------------------------------------------------------------------------------------------------

    def _judging(self) -> None:
        """A thin line from its name down to the ground."""
        if not self.chart.judging_on:
            return
        x, width_px = self.x_of(self.chart.judging_on), 2.5
        ends = [(x, self.top - 16.0), (x, float(self.bottom))]
        self.ink.plot(*zip(*ends, strict=True), color=SOFT, lw=points(width_px), ls=dashes((3, 4), width_px), zorder=2)
        self.sheet.taken.add_line(ends, 4)

    def _trend(self) -> None:
        """The band and its line; dashed and paler where it runs ahead of the last reading."""
        line = self.chart.line
        if not line:
            return
        xs, lows, highs = zip(*((self.x_of(at.on), *map(self.y_of, at[2:])) for at in line), strict=True)
        self.ink.fill_between(xs, lows, highs, color=TREND, alpha=BAND_ALPHA, lw=0, zorder=2)
        dots = [(self.x_of(each.on), self.y_of(each.percent)) for each in line]
        seen = sum(each.on <= self.chart.last.on for each in line)
        self._stroke(dots[:seen], is_ahead=False)
        self._stroke(dots[max(seen - 1, 0) :], is_ahead=True)
        self.sheet.taken.add_line(dots, 4)

    def _stroke(self, dots: Sequence[Point], *, is_ahead: bool) -> None:
        if len(dots) > 1:
            style = dashes((8, 6) if is_ahead else (), TREND_PX)
            xs, ys = zip(*dots, strict=True)
            self.ink.plot(xs, ys, color=TREND, lw=points(TREND_PX), ls=style, solid_joinstyle="round", zorder=4)

    def _expected(self) -> None:
        if self.chart.later:
            self._point("later", self.x_of(self.chart.later.on), self.chart.later, RING)

    def _readings(self) -> None:
        for x, reading in zip(self.xs, self.chart.readings, strict=True):
            self._point(_kind(reading), x, reading, self.dot)

    def _point(self, kind: str, x: float, at: CoverAt | CoverReading, size_px: float) -> None:
        y, low, high = (self.y_of(each) for each in at[1:4])
        self._mark(kind, (x, y), (high, low), size_px)
        half = round(size_px / 2) + 3
        self.sheet.taken.add_line([(x, high), (x, low)], 3)
        self.sheet.taken.add_box(Box(round(x) - half, round(y) - half, round(x) + half, round(y) + half))

    def _mark(self, kind: str, at: Point, reach: Point, size_px: float) -> None:
        """A shape with its whiskers, which end in short bars where there is room for them."""
        mark, (x, y) = MARKS[kind], at
        width = points(3 if size_px > 10 else 2)
        self.ink.plot([x, x], reach, color=mark.colour, lw=width, zorder=5, solid_capstyle="butt")
        for end in reach if size_px > 10 else ():
            self.ink.plot([x - 5, x + 5], [end, end], color=mark.colour, lw=width, zorder=5, solid_capstyle="butt")
        face, edge, edge_px = (
            (PAPER, mark.colour, 4.0) if mark.is_open else (mark.colour, PAPER, 1.5 if size_px > 10 else 0.0)
        )
        across = size_px * 0.86 if mark.shape == "D" else size_px  # the diamond stands on its corner
        self.ink.plot([x], [y], mark.shape, ms=points(across), mfc=face, mec=edge, mew=points(edge_px), zorder=6)

    def _set_apart(self) -> tuple[list[float], float]:
        """Where each reading stands across, near its day and beside its neighbours, and how large its dot is."""
        days = [self.x_of(each.on) for each in self.chart.readings]
        xs, room = days, LARGEST_DOT + 2
        for room in range(LARGEST_DOT + 2, 3, -1):
            xs = pushed_apart(days, [room] * len(days), self.left + 4, self.right - 4)
            if max(abs(x - day) for x, day in zip(xs, days, strict=True)) <= FURTHEST_OFF:
                break
        return xs, max(room - 2, SMALLEST_DOT)

    def _figures(self) -> None:
        """The first and last reading and what is expected, each beside its dot, where least is covered."""
        first, last, later = self.chart.first, self.chart.last, self.chart.later
        wanted: list[tuple[str, float, CoverAt | CoverReading, str]]
        wanted = [(self.words.last_figure, self.xs[-1], last, _kind(last))]
        if later:
            wanted.append((self.words.later_figure, self.x_of(later.on), later, "later"))
        if len(self.xs) > 1:
            wanted.append((self.words.first_figure, self.xs[0], first, _kind(first)))
        inside = Box(round(self.left), round(self.top) - 14, WIDTH - 4, round(self.bottom))
        dots = [(x, self.y_of(at.percent)) for _, x, at, _ in wanted]
        for number, (figure, _, _, kind) in enumerate(wanted):
            look = MARKS[kind].figure
            wide, high = self.sheet.size_of(figure, look)
            others = [dot for each, dot in enumerate(dots) if each != number]
            spots = beside(dots[number], (wide + 8, high), others, is_over=True)
            spot = best_spot(self.sheet.taken, spots, inside, tenth_covered_px=150)
            if spot:
                self.sheet.write(f"figure {number}", (spot.box.left + 4, spot.box.top + 1), figure, look)
                self.sheet.taken.add_label(spot.box, 4)


def _kind(reading: CoverReading) -> str:
    return "other" if reading.is_other_upload else "photo"
