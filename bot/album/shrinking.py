"""Kept photos brought down to a size, and to the bytes of a file that holds nothing but the picture."""

from __future__ import annotations

import io
from collections.abc import Callable
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PIL import Image

ReadPhoto = Callable[[str], bytes | None]
"""A kept photo by its id: `PhotoFolder.read`. What it gives was decoded and packed anew when it came in."""


def opened(content: bytes | None, at_least: tuple[int, int]) -> Image.Image | None:
    """A kept photo, decoded no finer than needed to cover that size; None where the file is gone or damaged."""
    from PIL import Image

    if content is None:
        return None
    try:
        with Image.open(io.BytesIO(content), formats=("JPEG",)) as picture:
            picture.draft("RGB", at_least)
            return picture.convert("RGB")
    except (OSError, ValueError, SyntaxError):  # what Pillow raises for a file that is cut off or is none
        return None


def cropped(picture: Image.Image, size: tuple[int, int]) -> Image.Image:
    """The middle of a picture, filling that size."""
    from PIL import Image, ImageOps

    return ImageOps.fit(picture, size, Image.Resampling.LANCZOS)


def within(picture: Image.Image, longest_px: int) -> Image.Image:
    """The whole picture with no side longer than that; never made larger."""
    from PIL import Image

    scale = longest_px / max(picture.size)
    if scale >= 1:
        return picture
    width, height = picture.size
    return picture.resize((max(1, round(width * scale)), max(1, round(height * scale))), Image.Resampling.LANCZOS)


def packed(picture: Image.Image, quality: int) -> bytes:
    """The bytes of a JPEG without metadata."""
    from PIL import Image

    bare = Image.new("RGB", picture.size)  # a picture carries comments and profiles along; a new one has none
    bare.paste(picture)
    out = io.BytesIO()
    bare.save(out, "JPEG", quality=quality, optimize=True)
    return out.getvalue()
