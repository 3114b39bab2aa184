"""Pictures made for tests: a scene that shows which way is up, in every shape a phone or a stranger may send."""

from __future__ import annotations

import io
import struct
import zlib
from typing import Any

from PIL import Image, ImageCms
from PIL.ExifTags import GPS, IFD, Base

RED, GREEN, BLUE, STRAW = (200, 40, 40), (60, 140, 50), (40, 60, 190), (205, 185, 130)


def scene(size: tuple[int, int] = (900, 600)) -> Image.Image:
    """Four quarters: red, green / blue, straw. Any turn or mirroring of it can be told from any other."""
    width, height = size
    picture = Image.new("RGB", size, STRAW)
    picture.paste(RED, (0, 0, width // 2, height // 2))
    picture.paste(GREEN, (width // 2, 0, width, height // 2))
    picture.paste(BLUE, (0, height // 2, width // 2, height))
    return picture


def corners(picture: Image.Image) -> list[tuple[int, ...]]:
    """The colours in the middle of the four quarters, row by row."""
    width, height = picture.size
    spots = [(x, y) for y in (height // 4, height * 3 // 4) for x in (width // 4, width * 3 // 4)]
    return [tuple(picture.convert("RGB").getpixel(spot)) for spot in spots]  # type: ignore[arg-type]


def is_near(colours: list[tuple[int, ...]], wanted: list[tuple[int, ...]], by: int = 12) -> bool:
    """Whether colours agree but for what JPEG does to them."""
    return all(
        abs(a - b) <= by for one, other in zip(colours, wanted, strict=True) for a, b in zip(one, other, strict=True)
    )


def encoded(picture: Image.Image, format_: str = "JPEG", **how: Any) -> bytes:
    """A picture as the bytes of a file."""
    out = io.BytesIO()
    picture.save(out, format_, **how)
    return out.getvalue()


def held(orientation: int, size: tuple[int, int] = (900, 600)) -> bytes:
    """The scene as a camera held that way stores it: pixels turned, and a note how to turn them back."""
    back = {
        2: Image.Transpose.FLIP_LEFT_RIGHT,
        3: Image.Transpose.ROTATE_180,
        4: Image.Transpose.FLIP_TOP_BOTTOM,
        5: Image.Transpose.TRANSPOSE,
        6: Image.Transpose.ROTATE_90,
        7: Image.Transpose.TRANSVERSE,
        8: Image.Transpose.ROTATE_270,
    }
    picture = scene(size)
    if orientation in back:
        picture = picture.transpose(back[orientation])
    exif = Image.Exif()
    exif[Base.Orientation] = orientation
    return encoded(picture, exif=exif)


def with_traces() -> bytes:
    """A JPEG that says where, when and by whom it was taken, in every place a JPEG has for it."""
    exif = Image.Exif()
    exif[Base.Make] = "GIVEAWAY-MAKER"
    exif[Base.DateTime] = "2026:01:17 08:30:00"
    exif.get_ifd(IFD.GPSInfo).update(
        {GPS.GPSLatitudeRef: "N", GPS.GPSLatitude: (31.0, 10.0, 12.5), GPS.GPSLongitudeRef: "W"}
    )
    exif.get_ifd(IFD.GPSInfo)[GPS.GPSAreaInformation] = b"GIVEAWAY-PLACE"
    return encoded(
        scene(),
        exif=exif,
        comment=b"GIVEAWAY-COMMENT",
        xmp=b"<x:xmpmeta>GIVEAWAY-XMP</x:xmpmeta>",
        icc_profile=misfit_profile(),
        dpi=(300, 300),
    )


def plain_profile() -> bytes:
    """The profile of sRGB itself."""
    return ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()


def swapped_profile() -> bytes:
    """A valid profile in which the first channel is blue and the third is red."""
    return plain_profile().replace(b"rXYZ", b"?XYZ").replace(b"bXYZ", b"rXYZ").replace(b"?XYZ", b"bXYZ")


def misfit_profile() -> bytes:
    """A profile that does not fit a picture in red, green and blue."""
    return ImageCms.ImageCmsProfile(ImageCms.createProfile("LAB")).tobytes()


def header_only_png(width: int, height: int) -> bytes:
    """A PNG of a few bytes that claims to be of any size."""
    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    packed = zlib.compress(b"\0" * 1000)
    return b"\x89PNG\r\n\x1a\n" + _chunk(b"IHDR", head) + _chunk(b"IDAT", packed) + _chunk(b"IEND", b"")


def packed_png(width: int, height: int) -> bytes:
    """A whole, valid PNG of one colour: small as a file, large once decoded."""
    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    squeeze = zlib.compressobj(9)
    row = b"\0" * (1 + width * 3)
    packed = b"".join(squeeze.compress(row) for _ in range(height)) + squeeze.flush()
    return b"\x89PNG\r\n\x1a\n" + _chunk(b"IHDR", head) + _chunk(b"IDAT", packed) + _chunk(b"IEND", b"")


def _chunk(name: bytes, content: bytes) -> bytes:
    return struct.pack(">I", len(content)) + name + content + struct.pack(">I", zlib.crc32(name + content))


def segments(jpeg: bytes) -> list[int]:
    """The markers in front of a JPEG's pixels."""
    found, at = [], 2
    while jpeg[at] == 0xFF and jpeg[at + 1] != 0xDA:
        found.append(jpeg[at + 1])
        at += 2 + struct.unpack(">H", jpeg[at + 2 : at + 4])[0]
    return found
