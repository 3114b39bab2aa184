"""The picture of a freeze, layer by layer.

Nothing has to be decoded from a legend, whatever the weather was: the names of the lines stand in a column at their
right ends, pushed apart; figures and the name of the shaded ground go where least is covered.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

import numpy as np
from babel import Locale
from babel.dates import format_date
from matplotlib.axes import Axes
from numpy.typing import ArrayLike, NDArray

from bot.charts.placing import Box, Spot, beside, best_spot, pushed_apart
from bot.charts.sheet import HEIGHT, PAPER, WIDTH, Look, Sheet, dashes, lines_px, mixed, points
from bot.charts.trace import TraceWords
from bot.talk.chart import TraceChart
from rules.units import HOURS_PER_DAY, c_to_f

SOFT, RULE = "#4d5751", "#ddd6c6"
ZONE, ZONE_EDGE, SNOW = "#f0cdba", "#8c2f0b", "#c9dbe6"
ZONE_SHADES = 8  # from where the first crowns die to where most are dead
ZONE_SHARE = 0.14  # of the plot's height shows the ground where grass suffers, at least
LEAST_RANGE = 10.0  # degrees from bottom to top, of either kind
BAND_ALPHA = 0.2
MARGIN, LEFT, DATA_RIGHT, COLUMN, RIGHT = 24, 76, 520, 540, 708
SNOW_HEIGHT = 74

TITLE, FINDING = Look(size_px=34, is_bold=True), Look(size_px=26)
SMALL, SMALL_SOFT = Look(size_px=24), Look(size_px=24, colour=SOFT)
COLDEST_DAY = Look(size_px=24, is_bold=True)
ZONE_NAME = Look(size_px=24, colour=ZONE_EDGE, is_bold=True, halo=mixed(ZONE, 0.7))


@dataclass(frozen=True, slots=True, kw_only=True)
class Stroke:
    """How a line looks. Weight and dashes tell lines apart where colours do not."""

    colour: str
    width_px: float
    dashes_px: tuple[float, ...]
    is_bold: bool = False

    @property
    def name(self) -> Look:
        """How the line's name is written."""
        return Look(size_px=26, colour=self.colour, is_bold=self.is_bold)

    @property
    def figure(self) -> Look:
        """How the line's lowest is written."""
        return Look(size_px=26, colour=self.colour, is_bold=True, halo=PAPER)


STROKES = {  # the last is drawn over the others: thin enough to leave the crown's to be seen
    "soil": Stroke(colour="#854d07", width_px=5, dashes_px=(0.1, 8.5)),
    "crown": Stroke(colour="#143d2c", width_px=5.5, dashes_px=(), is_bold=True),
    "air": Stroke(colour="#27506b", width_px=3, dashes_px=(9, 5)),
}


class TraceFigure:
    """One drawing. `plot` is where the lines stand, `sheet` what it is drawn on."""

    def __init__(self, chart: TraceChart, *, words: TraceWords, metric: bool, language: str) -> None:
        self.chart, self.words, self.metric, self.locale = chart, words, metric, Locale.parse(language)
        self.sheet = Sheet()
        self.end = chart.days * HOURS_PER_DAY
        self.hours = (np.arange(len(chart.air_c)) + 0.5) * chart.step_hours
        self.shown = {
            "air": self.scaled(chart.air_c),
            "soil": self.scaled(chart.soil_2in_c),
            "crown": self.scaled(chart.crown_c),
        }
        lowest = {name: int(np.argmin(self.shown[name])) for name in ("air", "crown", "soil")}
        self.lowest = {name: (float(self.hours[at]), float(self.shown[name][at])) for name, at in lowest.items()}
        spread_dc = np.repeat(chart.crown_spread_dc, HOURS_PER_DAY // chart.step_hours)
        self.crown_low = self.scaled(chart.crown_c - spread_dc)
        self.crown_high = self.scaled(chart.crown_c + spread_dc)
        self.suffers_low, self.suffers_high = self.scaled((chart.suffers_low_c, chart.suffers_high_c)).tolist()
        self.top = self._head()
        self.base = HEIGHT - 20 - 2 * lines_px(1, SMALL)
        self.bottom = self.base - (SNOW_HEIGHT if chart.snow_in else 0)
        self.plot = self._axes(self.top, self.bottom)
        self.plot.set_ylim(*self._range())
        for layer in (self._zone, self._rungs, self._days, self._snow, self._origin, self._curves):
            layer()
        for labels in (
            self._names,
            self._dots,
            self._zone_name,
            self._figures,
        ):  # each keeps clear of what stands there before it
            labels()

    def scaled(self, values_c: ArrayLike) -> NDArray[np.float64]:
        """Temperatures in the reader's degrees."""
        values = np.asarray(values_c, dtype=np.float64)
        return values if self.metric else np.array([c_to_f(each) for each in values])

    def x_of(self, hour: float) -> float:
        """Where an hour stands across the sheet. [px]"""
        return LEFT + hour / self.end * (DATA_RIGHT - LEFT)

    def y_of(self, degree: float) -> float:
        """Where one of the reader's degrees stands, down from the top of the sheet. [px]"""
        low, high = self.plot.get_ylim()
        return self.bottom - (degree - low) / (high - low) * (self.bottom - self.top)

    def points_of(self, name: str) -> list[tuple[float, float]]:
        """A line's points on the sheet. [px]"""
        return [(self.x_of(hour), self.y_of(value)) for hour, value in zip(self.hours, self.shown[name], strict=True)]

    # --- the ground --------------------------------------------------------------------------------------------------

    def _head(self) -> int:
        """Title and finding; returns where the plot begins under them."""
        self.sheet.write("title", (MARGIN, 20), self.words.title, TITLE)
        top = 26 + lines_px(1, TITLE)
        finding = self.sheet.wrapped(self.words.finding, WIDTH - 2 * MARGIN, FINDING)
        self.sheet.write("finding", (MARGIN, top), finding, FINDING)
        return top + self.sheet.size_of(finding, FINDING)[1] + 24

    def _axes(self, top: int, bottom: int) -> Axes:
        """From the left margin to the right edge; the hours take the part left of the names."""
        axes = self.sheet.axes(Box(LEFT, top, WIDTH, bottom))
        axes.set_xlim(0, self.end * (WIDTH - LEFT) / (DATA_RIGHT - LEFT))
        return axes

    def _range(self) -> tuple[float, float]:
        """Every line, the cold side of the crown's band, and a good strip of the ground where grass suffers."""
        high = max(*(line.max() for line in self.shown.values()), self.suffers_high)
        low = min(*(line.min() for line in self.shown.values()), self.crown_low.min(), high - LEAST_RANGE)
        spare = 0.06 * (high - low)
        low, high = low - 1.6 * spare, high + spare
        return float(min(low, (self.suffers_high - ZONE_SHARE * high) / (1 - ZONE_SHARE))), float(high)

    def _zone(self) -> None:
        """Where this grass suffers: paler toward its upper edge, where only the first of it dies."""
        uppers = np.linspace(self.suffers_high, self.suffers_low, ZONE_SHADES)
        lowers, strengths = (*uppers[1:], self.plot.get_ylim()[0]), np.linspace(0.4, 1, ZONE_SHADES)
        for upper, lower, strength in zip(uppers, lowers, strengths, strict=True):
            self.plot.axhspan(lower, upper, color=mixed(ZONE, strength), lw=0, zorder=0)
        self._rung(self.suffers_high, ZONE_EDGE, 2)

    def _rungs(self) -> None:
        """Lines across with their degrees at the left; freezing stands out."""
        low, high = self.plot.get_ylim()
        freezing = 0.0 if self.metric else c_to_f(0.0)
        room = (high - low) / (self.bottom - self.top) * lines_px(1, SMALL) / 2
        for degree in ticks(low + room, high, metric=self.metric):
            is_freezing = degree == freezing
            self._rung(degree, SOFT if is_freezing else RULE, 2 if is_freezing else 1.5)
            at = LEFT - 8, self.y_of(degree) - lines_px(1, SMALL) / 2
            self.sheet.write(f"degree {degree:g}", at, f"{degree:g}°", SMALL_SOFT, across="right")

    def _rung(self, degree: float, colour: str, width_px: float) -> None:
        self.plot.plot([0, self.end], [degree, degree], color=colour, lw=points(width_px), zorder=1)

    def _days(self) -> None:
        """Midnights, and as many days named as there is room for, the crowns' coldest among them."""
        for midnight in range(0, self.end + 1, HOURS_PER_DAY):
            self.plot.axvline(midnight, color=RULE, lw=points(1.5), zorder=1)
        names = [self._dated("EEE d", day) for day in range(self.chart.days)]
        widths = [self.sheet.size_of(name, COLDEST_DAY)[0] for name in names]
        every = int(np.ceil((max(widths) + 14) / (DATA_RIGHT - LEFT) * self.chart.days))
        coldest = self.chart.day_of(int(np.argmin(self.chart.crown_c)))
        first = coldest % every
        for day in range(first, self.chart.days, every):
            middle = self.x_of((day + 0.5) * HOURS_PER_DAY)
            x = min(max(middle, widths[day] / 2 + 8), COLUMN - 6 - widths[day] / 2)
            look = COLDEST_DAY if day == coldest else SMALL
            self.sheet.write(f"day {day}", (x, self.base + 6), names[day], look, across="center")
            if day == first:
                month = self._dated("MMM y", day)
                left = max(x - self.sheet.size_of(month, SMALL)[0] / 2, 8)
                self.sheet.write("month", (left, self.base + 6 + lines_px(1, SMALL)), month, SMALL_SOFT)

    def _dated(self, pattern: str, day: int) -> str:
        return str(format_date(self.chart.first_on + timedelta(days=day), pattern, locale=self.locale))

    def _snow(self) -> None:
        """How deep snow lay, day by day, under the plot."""
        if not self.chart.snow_in:
            return
        axes = self._axes(self.bottom + 10, self.base - 8)
        axes.set_ylim(0, max(self.chart.snow_in) * 1.05)
        starts, outline = np.arange(self.chart.days) * HOURS_PER_DAY, STROKES["air"].colour
        axes.bar(starts, self.chart.snow_in, HOURS_PER_DAY, align="edge", color=SNOW, edgecolor=outline, lw=points(1.5))
        axes.plot([0, self.end], [0, 0], color=SOFT, lw=points(2), clip_on=False)
        name = self.sheet.wrapped(self.words.snow, RIGHT - COLUMN, SMALL)
        self.sheet.write("snow", (COLUMN, self.bottom + 10), name, SMALL)

    def _origin(self) -> None:
        """How these figures came about, in the lower right corner."""
        at = RIGHT, self.base + 6 + lines_px(1, SMALL)
        self.sheet.write("origin", at, self.words.origin, SMALL_SOFT, across="right")

    # --- the lines and what they are called --------------------------------------------------------------------------

    def _curves(self) -> None:
        """The crown's band, then the three lines over it."""
        band = STROKES["crown"].colour
        self.plot.fill_between(
            self.hours, self.crown_low, self.crown_high, color=band, alpha=BAND_ALPHA, lw=0, zorder=2
        )
        for at, (name, stroke) in enumerate(STROKES.items()):
            self.plot.plot(
                self.hours,
                self.shown[name],
                color=stroke.colour,
                lw=points(stroke.width_px),
                ls=dashes(stroke.dashes_px, stroke.width_px),
                solid_joinstyle="round",
                dash_capstyle="butt" if name == "air" else "round",
                zorder=4 + at,
            )
            self.sheet.taken.add_line(self.points_of(name), round(stroke.width_px / 2) + 2)

    def _names(self) -> None:
        """Each line's name at its right end, in its colour, a thin line leading to it; the crown's band with it."""
        names = {
            name: self.sheet.wrapped(getattr(self.words, name), RIGHT - COLUMN, stroke.name)
            for name, stroke in STROKES.items()
        }
        heights = {name: self.sheet.size_of(text, STROKES[name].name)[1] + 10 for name, text in names.items()}
        band = lines_px(1, SMALL) + 8
        heights["crown"] += band
        ends = [self.y_of(self.shown[name][-1]) for name in names]
        middles = pushed_apart(ends, list(heights.values()), self.top, self.bottom)
        for name, end, middle in zip(names, ends, middles, strict=True):
            top = middle - heights[name] / 2 + 5
            self.sheet.write(name, (COLUMN, top), names[name], STROKES[name].name)
            self.sheet.taken.add_label(self.sheet.box_of(name), 8)
            self.sheet.line((self.x_of(self.hours[-1]), end), (COLUMN - 8, middle), STROKES[name].colour)
            if name == "crown":
                self._band_name(top + heights[name] - band - 3)

    def _band_name(self, top: float) -> None:
        """What the pale band is, on a ground of its own shade."""
        self.sheet.write("likely", (COLUMN + 6, top), self.words.likely, SMALL)
        shade = mixed(STROKES["crown"].colour, BAND_ALPHA)
        self.sheet.texts["likely"].set_bbox({"facecolor": shade, "edgecolor": "none", "pad": points(4)})
        self.sheet.taken.add_label(self.sheet.box_of("likely"), 8)

    def _dots(self) -> None:
        """A dot at the lowest of each line: full for the crown, open for the others."""
        for name, (hour, degree) in self.lowest.items():
            colour = STROKES[name].colour
            size, face = (14, colour) if name == "crown" else (10, PAPER)
            self.plot.plot([hour], [degree], "o", ms=points(size), mfc=face, mec=colour, mew=points(3), zorder=8)
            x, y = round(self.x_of(hour)), round(self.y_of(degree))
            self.sheet.taken.add_box(Box(x - 8, y - 8, x + 8, y + 8))

    def _figures(self) -> None:
        """Beside each dot its figure, where least is covered."""
        inside = Box(LEFT, self.top - 14, DATA_RIGHT + 10, self.bottom)
        dots = {name: (self.x_of(hour), self.y_of(degree)) for name, (hour, degree) in self.lowest.items()}
        for name, dot in dots.items():
            figure, look = getattr(self.words, f"{name}_low"), STROKES[name].figure
            wide, high = self.sheet.size_of(figure, look)
            others = [each for other, each in dots.items() if other != name]
            spots = beside(dot, (wide + 8, high), others, is_over=name == "soil")
            spot = best_spot(self.sheet.taken, spots, inside)
            if spot:
                self.sheet.write(f"{name}_low", (spot.box.left + 4, spot.box.top + 1), figure, look)
                self.sheet.taken.add_label(spot.box, 4)

    def _zone_name(self) -> None:
        """What the shaded ground is, below its upper edge, on as few lines as go between the curves."""
        edge = round(self.y_of(self.suffers_high)) + 5
        dots = [(round(self.x_of(hour)), round(self.y_of(degree))) for hour, degree in self.lowest.values()]
        for_figures = [Box(x - 100, y - 20, x + 100, y + 44) for x, y in dots]
        texts: dict[Spot, str] = {}
        for further_lines, width_px in enumerate((RIGHT - LEFT, 300, 190)):
            text = self.sheet.wrapped(self.words.suffers, width_px, ZONE_NAME)
            wide, high = self.sheet.size_of(text, ZONE_NAME)
            for top in range(edge, self.bottom - high + 1, 4):
                for left in range(LEFT + 10, RIGHT - wide, 8):
                    box = Box(left, top, left + wide, top + high)
                    is_in_the_way = any(box.overlaps(each) for each in for_figures)
                    off_px = top - edge + 12 * further_lines + (left - LEFT) / 20 + 40 * is_in_the_way
                    texts.setdefault(Spot(box, off_px), text)
        spot = best_spot(self.sheet.taken, texts, Box(LEFT, edge, RIGHT, self.bottom), tenth_covered_px=150)
        if spot:
            self.sheet.write("suffers", (spot.box.left, spot.box.top), texts[spot], ZONE_NAME)
            self.sheet.taken.add_label(spot.box, 6)


def ticks(low: float, high: float, *, metric: bool) -> list[float]:
    """Round degrees from low to high, at most six or so, and freezing in the place of any that would crowd it."""
    freezing, steps = (0, (2, 5, 10, 20)) if metric else (32, (5, 10, 20, 40))
    step = next((each for each in steps if (high - low) / each <= 6), steps[-1])
    round_ones = range(int(np.ceil(low / step)) * step, int(np.floor(high / step)) * step + 1, step)
    found = {each for each in round_ones if abs(each - freezing) > 0.45 * step}
    return sorted(float(each) for each in found | ({freezing} if low < freezing < high else set()))
