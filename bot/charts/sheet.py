"""A sheet of 720 x 640 px to draw on: text and lines by pixel from the upper left corner, measured as they stand.

The only other modules that draw with the plotting library are `trace_figure`, `cover_figure` and `limit_figure`.
"""

from __future__ import annotations

import io
import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import matplotlib
import numpy as np
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.colors import to_rgb
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties
from matplotlib.lines import Line2D
from matplotlib.patheffects import withStroke
from matplotlib.text import Text
from PIL import Image

from bot.charts.placing import Box, Taken

Colour = str | tuple[float, float, float]

WIDTH, HEIGHT = 720, 640
PAPER, INK = "#fffdf7", "#1f2b25"
LINE_GAP = 1.16  # from one line of a text to the next, in letter sizes
COLOURS = 128  # in the file: half its size, and no eye sees it
_GLUED = re.compile(r"\([^)]*\)|\d (?:°|%|in\b|cm\b)")  # what a line break would tear apart


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """How a text looks. `halo` is the colour around its letters, where it may stand on a line."""

    size_px: float
    colour: Colour = INK
    is_bold: bool = False
    halo: Colour | None = None


class Sheet:
    """What is drawn so far, which pixels are taken, and the texts by name."""

    def __init__(self) -> None:
        self.figure = Figure(figsize=(WIDTH / 100, HEIGHT / 100), dpi=100, facecolor=PAPER)
        self.texts: dict[str, Text] = {}
        self.taken = Taken(WIDTH, HEIGHT)
        self._canvas = FigureCanvasAgg(self.figure)
        self._renderer = self._canvas.get_renderer()  # type: ignore[no-untyped-call]

    def write(self, name: str, at: tuple[float, float], text: str, look: Look, *, across: str = "left") -> None:
        """Put a text with its upper left corner there, or its upper middle, or its upper right corner."""
        written = self.figure.text(
            at[0] / WIDTH,
            1 - at[1] / HEIGHT,
            text,
            color=look.colour,
            fontproperties=_font(look),
            ha=across,
            va="top",
            linespacing=1.1,
            parse_math=False,
            zorder=10,
        )
        if look.halo:
            written.set_path_effects([withStroke(linewidth=points(6), foreground=look.halo)])
        self.texts[name] = written

    def stand(self, name: str, y: float) -> None:
        """Let a text of one line stand at a height: hung up by their tops, those with a "p" hang higher than others."""
        self.texts[name].set_verticalalignment("baseline")
        self.texts[name].set_y(1 - y / HEIGHT)

    def line(self, start: tuple[float, float], end: tuple[float, float], colour: Colour) -> None:
        """A thin straight line, which is then taken."""
        xs, ys = [start[0] / WIDTH, end[0] / WIDTH], [1 - start[1] / HEIGHT, 1 - end[1] / HEIGHT]
        self.figure.add_artist(Line2D(xs, ys, color=colour, lw=points(2), transform=self.figure.transFigure))
        self.taken.add_line([start, end], 3)

    def axes(self, box: Box) -> Axes:
        """A bare part of the sheet with coordinates of its own."""
        width, height = box.right - box.left, box.bottom - box.top
        axes = self.figure.add_axes((box.left / WIDTH, 1 - box.bottom / HEIGHT, width / WIDTH, height / HEIGHT))
        axes.set_axis_off()
        return axes

    def box_of(self, name: str) -> Box:
        """Where a text stands."""
        extent = self.texts[name].get_window_extent(self._renderer)
        sides = (extent.x0, HEIGHT - extent.y1), (extent.x1, HEIGHT - extent.y0)
        left, top = np.floor(sides[0]).astype(int)
        right, bottom = np.ceil(sides[1]).astype(int)
        return Box(int(left), int(top), int(right), int(bottom))

    def size_of(self, text: str, look: Look) -> tuple[int, int]:
        """Width and height of a text, whole pixels."""
        font, lines = _font(look), text.split("\n")
        widths = [self._renderer.get_text_width_height_descent(line, font, False)[0] for line in lines]
        return int(np.ceil(max(widths))), lines_px(len(lines), look)

    def wrapped(self, text: str, width_px: float, look: Look) -> str:
        """The text on as many lines as it needs. A range in brackets and a number with its unit stay together."""
        lines: list[str] = []
        for word in _GLUED.sub(lambda found: found[0].replace(" ", "\u00a0"), text).split(" "):
            longer = f"{lines[-1]} {word}" if lines else word
            if lines and self.size_of(longer, look)[0] <= width_px:
                lines[-1] = longer
            else:
                lines.append(word)
        return "\n".join(lines)

    def png(self) -> bytes:
        """The sheet as a file, without anything about who made it or with what."""
        self._canvas.draw()  # type: ignore[no-untyped-call]
        picture = Image.fromarray(np.asarray(self._canvas.buffer_rgba())).convert("RGB")  # type: ignore[no-untyped-call]
        picture = picture.quantize(COLOURS, Image.Quantize.MEDIANCUT, dither=Image.Dither.NONE)
        file = io.BytesIO()
        picture.save(file, "PNG", optimize=True)
        return file.getvalue()


def lines_px(count: int, look: Look) -> int:
    """The height of so many lines of text."""
    return round(count * look.size_px * LINE_GAP)


def points(pixels: float) -> float:
    """Pixels in the plotting library's unit for widths and letters: 72 to the inch of 100 pixels."""
    return pixels * 0.72


def mixed(colour: str, strength: float) -> Colour:
    """A colour thinned with the paper's, as if it were laid on it so strong (0 to 1)."""
    red, green, blue = (
        strength * over + (1 - strength) * under for over, under in zip(to_rgb(colour), to_rgb(PAPER), strict=True)
    )
    return red, green, blue


def dashes(pattern_px: Sequence[float], width_px: float) -> str | tuple[float, tuple[float, ...]]:
    """A pattern of on and off as the plotting library takes it: in widths of the line. Empty is solid."""
    return (0, tuple(each / width_px for each in pattern_px)) if pattern_px else "-"


def _font(look: Look) -> FontProperties:
    """The font that comes with the plotting library, so that every machine draws the same."""
    file = "DejaVuSans-Bold.ttf" if look.is_bold else "DejaVuSans.ttf"
    folder = Path(matplotlib.get_data_path(), "fonts", "ttf")
    return FontProperties(fname=str(folder / file), size=points(look.size_px))
