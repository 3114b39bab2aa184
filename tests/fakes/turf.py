"""Rendered turf of exactly known green cover: green blades over straw over soil, as a phone would show it.

The scene is drawn at twice the size with hard edges; the truth is the share of its pixels that are green. Light, its
colour, shadow and exposure act in linear light, then lens, noise, a phone's curve and packing. Nothing here knows how
cover is measured.
"""

from __future__ import annotations

import io
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

Light = NDArray[np.float32]

OVER = 2  # drawn so many times larger
METERED = 0.21  # the mean light that a camera's meter aims at
_SOILS, _STRAWS, _GREENS = range(0, 8), range(8, 120), range(120, 250)
_PAPER = 255


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """A piece of lawn. `truth_percent` is met exactly up to one blade; the renderer says what it came to.

    blade_px : width of a blade in the finished picture
    patchy : how much blades keep together, 0 (everywhere alike) to 1
    paper : a white sheet in the corner
    """

    truth_percent: float = 30
    blade_px: float = 4
    seed: int = 1
    size: tuple[int, int] = (800, 600)
    patchy: float = 0.5
    paper: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """How it is photographed.

    stops : exposure; cast : below 0 blue, above 0 orange, as the change of the red and blue gain
    shadow : half of it lies in shade; blur_px : radius of what the lens smears; quality : of the JPEG, None for none
    """

    stops: float = 0
    cast: float = 0
    shadow: bool = False
    blur_px: float = 0
    quality: int | None = 90


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Lawn:
    """A scene as light [row, column, channel], and the share of it that is green."""

    light: Light
    truth_percent: float


def lawn(scene: Scene) -> Lawn:
    """Draw a scene."""
    chance = np.random.default_rng(scene.seed)
    wide, high = (side * OVER for side in scene.size)
    ground = chance.integers(_SOILS.start, _SOILS.stop, (high // 24 + 1, wide // 24 + 1), dtype=np.uint8)
    picture = Image.fromarray(ground).resize((wide, high), Image.Resampling.BILINEAR)
    draw = ImageDraw.Draw(picture)
    straw_px = max(scene.blade_px, 3) * OVER
    straws = int(1.6 * wide * high / (straw_px * 60 * OVER))
    _blades(draw, chance, chance.uniform((0, 0), (wide, high), (straws, 2)), straw_px, _STRAWS)
    _grow(picture, draw, chance, scene)
    if scene.paper:
        corner = np.array([wide * 0.82, high * 0.8])
        draw.polygon([tuple(corner + each) for each in _sheet(wide * 0.22)], fill=_PAPER)
    truth = 100 * _green_share(picture)
    return Lawn(light=_lit(np.asarray(picture), chance), truth_percent=truth)


def _grow(picture: Image.Image, draw: ImageDraw.ImageDraw, chance: np.random.Generator, scene: Scene) -> None:
    """Blades until the share of green is reached, more of them where the lawn is dense."""
    wide, high = picture.size
    width = scene.blade_px * OVER
    density = _field(chance, 6) ** (4 * scene.patchy)
    share, area = 0.0, wide * high
    goal = scene.truth_percent / 100
    while share < goal:
        left = (goal - share) / max(1 - share, 0.02)
        spots = _dense_spots(chance, density, max(1, int(0.7 * left * area / (width * 22 * width / 2))))
        _blades(draw, chance, spots * (wide, high), width, _GREENS)
        share = _green_share(picture)


def _green_share(picture: Image.Image) -> float:
    return sum(picture.histogram()[_GREENS.start : _GREENS.stop]) / (picture.width * picture.height)


def _field(chance: np.random.Generator, cells: int) -> NDArray[np.float64]:
    """A smooth random field, 0.05..1, of 64 x 64."""
    rough = Image.fromarray(chance.random((cells, cells)).astype(np.float32))
    smooth = np.asarray(rough.resize((64, 64), Image.Resampling.BICUBIC), np.float64)
    return np.clip((smooth - smooth.min()) / np.ptp(smooth), 0.05, 1)


def _dense_spots(chance: np.random.Generator, density: NDArray[np.float64], count: int) -> NDArray[np.float64]:
    """Places 0..1, so many more of them as it is dense there. [place, across and down]"""
    cells = chance.choice(density.size, count, p=(density / density.sum()).ravel())
    down, across = np.divmod(cells, density.shape[1])
    return (np.stack([across, down], axis=1) + chance.random((count, 2))) / density.shape[0]


def _blades(
    draw: ImageDraw.ImageDraw, chance: np.random.Generator, spots: NDArray[np.float64], width: float, colours: range
) -> None:
    """Bent, pointed strips that start at these spots."""
    count = len(spots)
    turn, bend = chance.uniform(0, 2 * np.pi, count), chance.uniform(-0.5, 0.5, count)
    half = (width * chance.uniform(7, 15, count))[:, None]
    middles = spots + half * np.stack([np.cos(turn), np.sin(turn)], axis=1)
    tips = middles + half * np.stack([np.cos(turn + bend), np.sin(turn + bend)], axis=1)
    aside = width / 2 * np.stack([-np.sin(turn), np.cos(turn)], axis=1)
    corners = np.concatenate([spots + aside, middles + aside, tips, middles - aside, spots - aside], axis=1)
    fills = chance.integers(colours.start, colours.stop, count).tolist()
    for each, fill in zip(corners.tolist(), fills, strict=True):
        draw.polygon(each, fill=fill)


def _sheet(side: float) -> NDArray[np.float64]:
    turn = 0.15
    cosine, sine = np.cos(turn), np.sin(turn)
    corners = np.array([[-0.5, -0.35], [0.5, -0.35], [0.5, 0.35], [-0.5, 0.35]]) * side
    return corners @ np.array([[cosine, sine], [-sine, cosine]])


def _colours(chance: np.random.Generator) -> Light:
    """The light that each colour of the drawing sends back in white light."""
    table = np.zeros((256, 3))
    for colours, dark, pale, spread in (
        (_SOILS, (82, 62, 45), (136, 110, 84), 4),
        (_STRAWS, (150, 126, 84), (219, 199, 155), 6),
        (_GREENS, (62, 92, 34), (128, 160, 76), 6),
    ):
        along = chance.random((len(colours), 1))
        table[list(colours)] = np.array(dark) * (1 - along) + np.array(pale) * along
        table[list(colours)] += chance.normal(0, spread, (len(colours), 3))
    table[_PAPER] = (236, 236, 234)
    return linear(np.clip(table, 0, 255) / 255)


def _lit(drawn: NDArray[np.uint8], chance: np.random.Generator) -> Light:
    """The drawing as light at its final size: each pixel the mean of those it was drawn from, unevenly lit."""
    table = _colours(chance)
    high, wide = drawn.shape[0] // OVER, drawn.shape[1] // OVER
    light = np.zeros((high, wide, 3), np.float32)
    for row in range(OVER):
        for column in range(OVER):
            light += table[drawn[row::OVER, column::OVER]]
    light /= OVER * OVER
    rough = Image.fromarray(chance.uniform(0.85, 1.15, (9, 12)).astype(np.float32))
    light *= np.asarray(rough.resize((wide, high), Image.Resampling.BICUBIC))[:, :, None]
    return light * np.float32(METERED / light[:, :, 1].mean())


PLAIN = Look()


# --- the camera ------------------------------------------------------------------------------------------------------


def photographed(scene: Lawn, look: Look = PLAIN, seed: int = 5) -> NDArray[np.uint8]:
    """The pixels of a photo of it, as a reader of the finished file gets them."""
    pixels = developed(scene, look, seed)
    if look.quality is None:
        return pixels
    return np.asarray(Image.open(io.BytesIO(packed(pixels, look.quality))).convert("RGB"))


def packed(pixels: NDArray[np.uint8], quality: int = 90, format_: str = "JPEG", **how: object) -> bytes:
    """A photo as the bytes of a file."""
    out = io.BytesIO()
    Image.fromarray(pixels).save(out, format_, quality=quality, **how)
    return out.getvalue()


def developed(scene: Lawn, look: Look, seed: int = 5) -> NDArray[np.uint8]:
    """What the camera makes of the light, before packing."""
    light = scene.light * np.array([1 + look.cast, 1, 1 - look.cast], np.float32) * np.float32(2**look.stops)
    if look.shadow:
        edge = np.clip((np.arange(light.shape[1]) - light.shape[1] / 2) / 12, 0, 1)[None, :, None]
        in_shade = np.array([0.30, 0.33, 0.38], np.float32)
        light = light * (1 - edge + edge * in_shade).astype(np.float32)
    light = _smeared(light, look.blur_px) if look.blur_px else light
    light = _softened(light)
    noise = np.random.default_rng(seed).normal(0, 0.004, light.shape[:2]).astype(np.float32)
    shown = curved(np.clip(light + noise[:, :, None] * np.sqrt(np.clip(light, 0, 1) + 0.02), 0, 1))
    shown = shown + np.float32(0.06) * np.sin(2 * np.pi * (shown - 0.5)) / 2  # a mild curve of contrast
    return np.rint(np.clip(shown, 0, 1) * 255).astype(np.uint8)


def _softened(light: Light) -> Light:
    """The lens and the sensor's filter: about 0.6 pixels."""
    for axis in (0, 1):
        light = 0.66 * light + 0.17 * (np.roll(light, 1, axis) + np.roll(light, -1, axis))
    return light


def _smeared(light: Light, radius_px: float) -> Light:
    """Out of focus: three running means, nearly a bell."""
    reach = max(1, round(radius_px))
    for _ in range(3):
        for axis in (0, 1):
            ends = [(reach + 1, reach) if each == axis else (0, 0) for each in range(3)]
            sums = np.cumsum(np.pad(light, ends, mode="edge"), axis=axis, dtype=np.float64)
            length, width = light.shape[axis], 2 * reach + 1
            upper = np.take(sums, range(width, width + length), axis)
            lower = np.take(sums, range(length), axis)
            light = ((upper - lower) / width).astype(np.float32)
    return light


def linear(shown: NDArray[np.floating]) -> Light:
    """sRGB 0..1 as light."""
    return np.where(shown <= 0.04045, shown / 12.92, ((shown + 0.055) / 1.055) ** 2.4).astype(np.float32)


def curved(light: Light) -> Light:
    """Light as sRGB 0..1."""
    return np.where(light <= 0.0031308, light * 12.92, 1.055 * np.maximum(light, 1e-9) ** (1 / 2.4) - 0.055)
