"""One picture of a season to share: a row of photos for each spot, with days and green beneath.

1. It names county and state at the most, and holds no metadata.
2. A row shows the first photo, the newest, and up to two between; a photo that is gone leaves its place to the others.
3. The file stays below `MOST_BYTES`, so that every messenger takes it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from bot.album.season import Album, Shot, SpotAlbum
from bot.album.shrinking import ReadPhoto, cropped, opened, packed
from bot.album.thinning import thinned
from bot.album.wording import Teller

if TYPE_CHECKING:
    from PIL import Image, ImageDraw, ImageFont

WIDTH, MARGIN, GAP = 1080, 40, 16
IN_A_ROW, MOST_ROWS = 4, 6
MOST_BYTES = 600_000
WIDE_HEIGHT = 600  # of a photo that stands alone in its row
PAPER, INK, SOFT, RULE = "#fffdf7", "#1f2b25", "#56605a", "#cfc8b6"
TITLE_PX, HEAD_PX, TEXT_PX, SMALL_PX = 50, 34, 24, 22
LINE_GAP = 1.3
QUALITIES = (85, 75, 65, 55, 45)
_GLUED = re.compile(r"\([^)]*\)")
SHRUNK = 0.85  # of its size, again and again, where even the coarsest file is too large


@dataclass(frozen=True, slots=True, kw_only=True)
class _Look:
    """How a text looks, and how many lines it may take."""

    size_px: int
    is_bold: bool = False
    colour: str = INK
    most_lines: int = 6


_TITLE, _HEAD = _Look(size_px=TITLE_PX, is_bold=True), _Look(size_px=HEAD_PX, is_bold=True, most_lines=1)
_ABOUT, _NOTE = _Look(size_px=TEXT_PX, colour=SOFT), _Look(size_px=SMALL_PX, colour=SOFT)
_DAY, _BENEATH = _Look(size_px=TEXT_PX, is_bold=True), _Look(size_px=SMALL_PX)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Row:
    """A spot's photos to be shown, with their pixels."""

    head: str
    shots: tuple[tuple[Shot, Image.Image], ...]

    @property
    def cell(self) -> tuple[int, int]:
        """Width and height of each photo."""
        count = len(self.shots)
        width = (WIDTH - 2 * MARGIN - GAP * (count - 1)) // count
        return (width, WIDE_HEIGHT) if count == 1 else (width, width)


def album_picture(albums: Sequence[Album], read: ReadPhoto, teller: Teller) -> bytes | None:
    """A JPEG 1080 px wide; None where no photo is left. Takes about a second: call it off the event loop."""
    rows = _rows(albums, read, teller)
    if not rows:
        return None
    height = _Pen(None).draw_all(albums, rows, teller)
    return _fitting(_painted(albums, rows, teller, height))


def _rows(albums: Sequence[Album], read: ReadPhoto, teller: Teller) -> list[_Row]:
    spots = [(album, spot) for album in albums for spot in album.spots if spot.shots][:MOST_ROWS]
    several = len(albums) > 1
    rows = (_row(teller.spot_head(album, spot, several=several), spot, read) for album, spot in spots)
    return [row for row in rows if row.shots]


def _row(head: str, spot: SpotAlbum, read: ReadPhoto) -> _Row:
    chosen = thinned(spot.shots, IN_A_ROW)
    half = (WIDTH // 2, WIDTH // 2)
    shown = ((shot, opened(read(shot.photo_id), (WIDTH, WIDTH) if len(chosen) == 1 else half)) for shot in chosen)
    return _Row(head=head, shots=tuple((shot, pixels) for shot, pixels in shown if pixels is not None))


def _painted(albums: Sequence[Album], rows: Sequence[_Row], teller: Teller, height: int) -> Image.Image:
    from PIL import Image

    sheet = Image.new("RGB", (WIDTH, height), PAPER)
    _Pen(sheet).draw_all(albums, rows, teller)
    return sheet


def _fitting(sheet: Image.Image) -> bytes:
    """As fine a file as the limit allows."""
    for quality in QUALITIES:
        content = packed(sheet, quality)
        if len(content) <= MOST_BYTES:
            return content
    smaller = (round(sheet.width * SHRUNK), round(sheet.height * SHRUNK))
    return _fitting(sheet.resize(smaller))


class _Pen:
    """Writes and pastes from top to bottom. Without a sheet it only measures."""

    def __init__(self, sheet: Image.Image | None) -> None:
        from PIL import Image, ImageDraw

        self._sheet = sheet
        self._draw: ImageDraw.ImageDraw = ImageDraw.Draw(sheet or Image.new("RGB", (1, 1)))
        self._fonts: dict[tuple[int, bool], ImageFont.FreeTypeFont] = {}

    def draw_all(self, albums: Sequence[Album], rows: Sequence[_Row], teller: Teller) -> int:
        """The whole picture; returns its height."""
        wide = WIDTH - 2 * MARGIN
        y = self._write(teller.key("album-title"), (MARGIN, MARGIN), wide, _TITLE)
        for line in dict.fromkeys(teller.about(album) for album in albums):
            y = self._write(line, (MARGIN, y + 4), wide, _ABOUT)
        for row in rows:
            y = self._row(row, teller, y + 24)
        y = self._rule(y + 20)
        y = self._write(teller.key("album-caution"), (MARGIN, y + 16), wide, _NOTE)
        return y + MARGIN

    def _row(self, row: _Row, teller: Teller, y: int) -> int:
        if row.head:
            y = self._write(row.head, (MARGIN, y), WIDTH - 2 * MARGIN, _HEAD) + 8
        width, height = row.cell
        bottom = y
        for number, (shot, pixels) in enumerate(row.shots):
            x = MARGIN + number * (width + GAP)
            if self._sheet is not None:
                self._sheet.paste(cropped(pixels, (width, height)), (x, y))
            below = self._write(teller.day(shot.on), (x, y + height + 10), width, _DAY)
            for told in teller.beneath(shot):
                below = self._write(told, (x, below), width, _BENEATH)
            bottom = max(bottom, below)
        return bottom

    def _rule(self, y: int) -> int:
        self._draw.line([(MARGIN, y), (WIDTH - MARGIN, y)], fill=RULE, width=2)
        return y

    def _write(self, words: str, at: tuple[int, int], width_px: int, look: _Look) -> int:
        """Text on as many lines as it needs; returns where the next may begin."""
        font = self._font(look.size_px, is_bold=look.is_bold)
        x, y = at
        for line in wrapped(words, width_px, font.getlength, look.most_lines):
            if self._sheet is not None:
                self._draw.text((x, y), line, font=font, fill=look.colour)
            y += round(look.size_px * LINE_GAP)
        return y

    def _font(self, size_px: int, *, is_bold: bool) -> ImageFont.FreeTypeFont:
        """The font that comes with the plotting library, so that every machine draws the same."""
        import matplotlib
        from PIL import ImageFont

        if (size_px, is_bold) not in self._fonts:
            name = "DejaVuSans-Bold.ttf" if is_bold else "DejaVuSans.ttf"
            file = Path(matplotlib.get_data_path(), "fonts", "ttf", name)
            layout = ImageFont.Layout.BASIC  # the other one is not there on every machine
            self._fonts[size_px, is_bold] = ImageFont.truetype(str(file), size_px, layout_engine=layout)
        return self._fonts[size_px, is_bold]


def wrapped(words: str, width_px: float, measure: Callable[[str], float], most_lines: int) -> list[str]:
    """Words on lines of a width; a range in brackets stays together. What is too much is cut with dots."""
    lines: list[str] = []
    glued = _GLUED.sub(lambda found: found[0].replace(" ", "\u00a0"), " ".join(words.split()))
    for word in glued.split(" "):
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and (measure(longer) <= width_px or len(lines) == most_lines):
            lines[-1] = longer
        else:
            lines.append(word)
    return [_cut(line, width_px, measure) for line in lines]


def _cut(line: str, width_px: float, measure: Callable[[str], float]) -> str:
    if measure(line) <= width_px:
        return line
    kept = line[:400]
    while kept and measure(f"{kept}…") > width_px:
        kept = kept[:-1]
    return f"{kept.rstrip()}…"
