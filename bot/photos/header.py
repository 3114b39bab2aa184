"""What stands around a picture's pixels: its kind, how the camera was held, the day it noted, what unpacking costs.

Damaged notes are no reason to refuse a photo: whatever cannot be read is taken as not there.
"""

from __future__ import annotations

from datetime import date, datetime
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PIL import Image

_HEIC_BRANDS = (b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1")
_FIRST_CAMERAS = 1990  # a note of an earlier year is a clock that was never set
_BYTES_A_COEFFICIENT = 2


def is_heic(content: bytes) -> bool:
    """Whether the first bytes promise the format that some phones store photos in."""
    return content[4:8] == b"ftyp" and content[8:12] in _HEIC_BRANDS


def starts_like_a_picture(content: bytes) -> bool:
    """Whether the first bytes promise a format we take, so that what follows must be damaged. Nothing at all, too."""
    is_webp = content[:4] == b"RIFF" and content[8:12] == b"WEBP"
    return not content or is_webp or content.startswith((b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n"))


def turn_of(picture: Image.Image) -> Image.Transpose | None:
    """How the camera was held, from the EXIF orientation."""
    from PIL.ExifTags import Base
    from PIL.Image import Transpose

    turns = {
        2: Transpose.FLIP_LEFT_RIGHT,
        3: Transpose.ROTATE_180,
        4: Transpose.FLIP_TOP_BOTTOM,
        5: Transpose.TRANSPOSE,
        6: Transpose.ROTATE_270,
        7: Transpose.TRANSVERSE,
        8: Transpose.ROTATE_90,
    }
    try:
        return turns.get(picture.getexif().get(Base.Orientation, 1))
    except Exception:  # noqa: BLE001 - whatever the reader of EXIF stumbles over, the pixels are there
        return None


def is_sideways(turn: Image.Transpose | None) -> bool:
    """Whether a turn swaps width and height."""
    from PIL.Image import Transpose

    return turn in (Transpose.TRANSPOSE, Transpose.ROTATE_270, Transpose.TRANSVERSE, Transpose.ROTATE_90)


def taken_on_of(picture: Image.Image) -> date | None:
    """The day on which the camera says it took the picture. Nothing else of its notes is looked at."""
    from PIL.ExifTags import IFD, Base

    try:
        noted = picture.getexif().get_ifd(IFD.Exif).get(Base.DateTimeOriginal)
        told = datetime.strptime(str(noted)[:10], "%Y:%m:%d").date()  # noqa: DTZ007 - a local day, no instant
    except Exception:  # noqa: BLE001 - as above
        return None
    return told if told.year >= _FIRST_CAMERAS else None


def unpacking_bytes(picture: Image.Image) -> int:
    """What the decoder must hold besides the pixels: a progressive JPEG comes in layers over the whole picture."""
    if "progressive" not in picture.info:
        return 0
    width, height = picture.size
    parts = [(across, down) for _, across, down, _ in getattr(picture, "layer", ())]
    most = max((across * down for across, down in parts), default=1)
    return sum(_BYTES_A_COEFFICIENT * width * height * across * down // most for across, down in parts)
