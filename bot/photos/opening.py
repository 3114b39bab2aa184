"""Opening what claims to be a photo, and measuring it.

1. Three formats, by an allow-list: every other decoder stays out of reach of a stranger's bytes. HEIC is a fourth where
   its reader is installed; else its sender is told how to make the phone send JPEG.
2. What the header says about the size is believed before anything is decoded. A picture that was cut off is refused.
3. Only pixels leave: turned upright, in sRGB, encoded anew. No place, date, name or colour profile survives. The day
   that the camera noted is handed on as a hint beside the photo; cameras are often wrong.
4. It is decoded once, a JPEG at a fraction of its size. A photo reads the same whether it is kept or not.

Only `open_photo` loads Pillow and numpy, so that whoever merely names photos need not. It may be slow and may be killed
for its memory: services call it through `intake.py`.
"""

from __future__ import annotations

import io
import logging
import warnings
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum
from importlib import import_module
from typing import TYPE_CHECKING

from bot.photos.header import is_heic, is_sideways, starts_like_a_picture, taken_on_of, turn_of, unpacking_bytes
from rules.cover_reading import CoverReading, Shot, Upload
from rules.facts.cover import SHORT_SIDE_PX

if TYPE_CHECKING:
    from PIL import Image

MAX_BYTES = 20 * 1024 * 1024
MAX_JPEG_PIXELS = 65_000_000  # a JPEG is decoded at a fraction of its size, so the largest phone cameras pass
MAX_OTHER_PIXELS = 16_000_000  # others are decoded whole: 16 million pixels take 0.2 s, 63 million took 1.6 s
MAX_UNPACKING_BYTES = 160 * 1024 * 1024  # what a progressive JPEG needs besides: 48 million pixels of a phone pass
SMALLEST_SIDE = int(SHORT_SIDE_PX.value)
LEAST_LONG_SIDE, LONGEST_SIDE = 1600, 2000  # of what is kept, where there is so much
QUALITY = 88
MEASURED_LONG_SIDE, MEASURED_SHORT_SIDE = 800, 240  # at least; finer pictures say nothing more
GREY_MODES = ("1", "L", "LA", "La")


class Reason(StrEnum):
    """Why a picture cannot be used. Each has words in the catalogue."""

    TOO_BIG = "too_big"
    NOT_A_PICTURE = "not_a_picture"
    HEIC = "heic"
    BROKEN = "broken"
    TOO_SMALL = "too_small"
    BLACK_AND_WHITE = "black_and_white"
    BUSY = "busy"


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenedPhoto:
    """A photo that is safe to keep and to show, and what it says about green cover.

    jpeg : fresh, without metadata; empty where it was not to be kept
    width, height : of that JPEG, or as sent where there is none [pixels]
    reading : green cover; whether it may be told stands in it
    taken_on : the day that the camera noted, which may be wrong; None where it noted none
    """

    jpeg: bytes = field(repr=False)
    width: int
    height: int
    reading: CoverReading
    taken_on: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Refused:
    """A picture that cannot be used."""

    reason: Reason


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What is known and wanted of a photo: how it came, whether paper lies in it, whether it is to be kept."""

    upload: Upload = Upload.PICTURE
    has_paper: bool = False
    keep: bool = True


AS_USUAL = Wanted()

logging.getLogger("PIL").setLevel(logging.INFO)  # its debug lines hold what a camera noted, the place too


def open_photo(content: bytes, wanted: Wanted = AS_USUAL) -> OpenedPhoto | Refused:
    """Open and measure a picture, or say why not. Never raises, whatever the bytes are."""
    from PIL import Image, UnidentifiedImageError

    if len(content) > MAX_BYTES:
        return Refused(reason=Reason.TOO_BIG)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # what is odd about a picture that opens is nobody's concern
        warnings.simplefilter("error", Image.DecompressionBombWarning)
        try:
            return _opened(content, wanted)
        except UnidentifiedImageError:
            return Refused(reason=_unidentified(content))
        except (Image.DecompressionBombWarning, Image.DecompressionBombError, MemoryError):
            return Refused(reason=Reason.TOO_BIG)
        except Exception:  # noqa: BLE001 - a decoder fed by a stranger can raise anything; all of it means one thing
            return Refused(reason=Reason.BROKEN)


def _formats(content: bytes) -> tuple[str, ...]:
    if is_heic(content) and _reads_heic():
        return ("HEIF",)
    return ("JPEG", "PNG", "WEBP")


def _reads_heic() -> bool:
    """Whether somebody installed the reader of HEIC; then it is made known to Pillow."""
    try:
        reader = import_module("pillow_heif")
    except ImportError:
        return False
    reader.register_heif_opener()
    return True


def _unidentified(content: bytes) -> Reason:
    if is_heic(content):
        return Reason.HEIC
    return Reason.BROKEN if starts_like_a_picture(content) else Reason.NOT_A_PICTURE


def _opened(content: bytes, wanted: Wanted) -> OpenedPhoto | Refused:
    from PIL import Image

    with Image.open(io.BytesIO(content), formats=_formats(content)) as picture:
        reason = _against(picture)
        if reason is not None:
            return Refused(reason=reason)
        sent, turn, taken_on = picture.size, turn_of(picture), taken_on_of(picture)
        if _is_jpeg(picture):
            picture.draft(None, _decoded(sent))
        plain = _plain(picture)
    if plain.size == sent:
        plain = _reduced(plain)
    upright = (sent[1], sent[0]) if is_sideways(turn) else sent
    shot = Shot(width=upright[0], height=upright[1], upload=wanted.upload, has_paper=wanted.has_paper)
    reading = _read(plain, turn, shot)
    fresh = _fresh(plain, turn) if wanted.keep else None
    return OpenedPhoto(
        jpeg=_encoded(fresh) if fresh else b"",
        width=fresh.width if fresh else upright[0],
        height=fresh.height if fresh else upright[1],
        reading=reading,
        taken_on=taken_on,
    )


def _against(picture: Image.Image) -> Reason | None:
    """The gates that need nothing but the header."""
    width, height = picture.size
    limit = MAX_JPEG_PIXELS if _is_jpeg(picture) else MAX_OTHER_PIXELS
    if width * height > limit or unpacking_bytes(picture) > MAX_UNPACKING_BYTES:
        return Reason.TOO_BIG
    if min(width, height) < SMALLEST_SIDE:
        return Reason.TOO_SMALL
    is_grey = picture.mode in GREY_MODES or picture.mode.startswith(("I", "F"))
    return Reason.BLACK_AND_WHITE if is_grey else None


def _is_jpeg(picture: Image.Image) -> bool:
    return picture.format in ("JPEG", "MPO")


def _decoded(size: tuple[int, int]) -> tuple[int, int]:
    """The size at which a JPEG is decoded: a half, a quarter or an eighth where that is enough to keep."""
    fraction = next((each for each in (8, 4, 2) if max(size) >= each * LEAST_LONG_SIDE), 1)
    return size[0] // fraction, size[1] // fraction


def _reduced(plain: Image.Image) -> Image.Image:
    """The same for what was decoded whole, before anything else makes copies of it."""
    fraction = max(plain.size) // LEAST_LONG_SIDE
    return plain.reduce(fraction) if fraction > 1 else plain


def _read(plain: Image.Image, turn: Image.Transpose | None, shot: Shot) -> CoverReading:
    """Green cover, from pixels at the fraction at which they are measured."""
    import numpy as np

    from rules.cover import cover_reading

    long, short = max(plain.size), min(plain.size)
    fraction = min(long // MEASURED_LONG_SIDE, short // MEASURED_SHORT_SIDE)
    sized = plain.reduce(fraction) if fraction > 1 else plain
    return cover_reading(np.asarray(_turned(_srgb(sized), turn)), shot)


def _fresh(plain: Image.Image, turn: Image.Transpose | None) -> Image.Image:
    """Brought to size and to sRGB, turned upright, without anything beside the pixels."""
    from PIL import Image

    turned = _turned(_srgb(plain.resize(_fitted(plain.size), Image.Resampling.LANCZOS, reducing_gap=2.0)), turn)
    bare = Image.new("RGB", turned.size)  # a picture carries comments and profiles along; a new one has none
    bare.paste(turned)
    return bare


def _encoded(bare: Image.Image) -> bytes:
    out = io.BytesIO()
    bare.save(out, "JPEG", quality=QUALITY, subsampling=0)  # coarser colour would smear thin blades
    return out.getvalue()


def _fitted(size: tuple[int, int]) -> tuple[int, int]:
    width, height = size
    scale = min(1.0, LONGEST_SIDE / max(width, height))
    return max(1, round(width * scale)), max(1, round(height * scale))


# --- colours and turns -----------------------------------------------------------------------------------------------


def _plain(picture: Image.Image) -> Image.Image:
    """Decoded, with a colour for each pixel, so that it can be resized; transparency stays for now."""
    picture.load()
    if picture.has_transparency_data and picture.mode != "RGBA":
        return picture.convert("RGBA")
    return picture if picture.mode in ("RGB", "RGBA", "CMYK") else picture.convert("RGB")


def _srgb(picture: Image.Image) -> Image.Image:
    """The pixels as sRGB: transparency over white, other colour spaces converted."""
    from PIL import Image

    if picture.mode == "RGBA":
        return Image.alpha_composite(Image.new("RGBA", picture.size, "white"), picture).convert("RGB")
    profile = picture.info.get("icc_profile")
    if profile:
        return _from_profile(picture, profile)
    return picture.convert("RGB")


def _from_profile(picture: Image.Image, profile: bytes) -> Image.Image:
    """Colours by the picture's own profile; by plain conversion where the profile is of no use."""
    from PIL import ImageCms

    try:
        given = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        converted = ImageCms.profileToProfile(picture, given, ImageCms.createProfile("sRGB"), outputMode="RGB")
    except (ImageCms.PyCMSError, OSError, ValueError, TypeError):
        converted = None
    return converted if converted is not None else picture.convert("RGB")


def _turned(picture: Image.Image, turn: Image.Transpose | None) -> Image.Image:
    return picture if turn is None else picture.transpose(turn)
