"""Opening what claims to be a photo.

1. Three formats, by an allow-list: every other decoder stays out of reach of a stranger's bytes.
2. What the header says about the size is believed before anything is decoded. A picture that was cut off is refused.
3. Only pixels leave: turned upright, in sRGB, encoded anew. No place, date, name or colour profile survives.
4. It happens in a process of its own, which gets so much memory and so much time and is then killed. At most two at
   once; whoever would have to wait too long is told that we are busy.

This file is also the program of that process, started by its path. So it imports nothing of ours, and Pillow only where
a picture is opened.
"""

from __future__ import annotations

import asyncio
import io
import logging
import sys
import warnings
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PIL import Image

log = logging.getLogger(__name__)

MAX_BYTES = 20 * 1024 * 1024
MAX_JPEG_PIXELS = 65_000_000  # a JPEG is decoded at a fraction of its size, so the largest phone cameras pass
MAX_OTHER_PIXELS = 16_000_000  # PNG and WebP are decoded whole: 16 million pixels take 0.2 s, 63 million took 1.6 s
SMALLEST_SIDE = 480  # below this single blades cannot be told apart
LONGEST_SIDE = 2000
QUALITY = 88

AT_ONCE = 2
WAIT_SECONDS = 20.0
"""How long a photo may wait for its turn before its sender is told to try again."""
OPEN_SECONDS = 8.0
MEMORY_BYTES = 1024 * 1024 * 1024


class Reason(StrEnum):
    """Why a picture cannot be used. Each has words in the catalogue."""

    TOO_BIG = "too_big"
    NOT_A_PICTURE = "not_a_picture"
    BROKEN = "broken"
    TOO_SMALL = "too_small"
    BUSY = "busy"


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenedPhoto:
    """A photo that is safe to keep and to show: a fresh JPEG without metadata, and its size in pixels."""

    jpeg: bytes
    width: int
    height: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Refused:
    """A picture that cannot be used."""

    reason: Reason


def open_photo(content: bytes) -> OpenedPhoto | Refused:
    """Open a picture: a clean JPEG, or the reason why not. Never raises, whatever the bytes are."""
    from PIL import Image, UnidentifiedImageError

    if len(content) > MAX_BYTES:
        return Refused(reason=Reason.TOO_BIG)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # what is odd about a picture that opens is nobody's concern
        warnings.simplefilter("error", Image.DecompressionBombWarning)
        try:
            with Image.open(io.BytesIO(content), formats=("JPEG", "PNG", "WEBP")) as picture:
                return _refused_by_size(picture) or _fresh(picture)
        except UnidentifiedImageError:
            return Refused(reason=Reason.BROKEN if _starts_like_one(content) else Reason.NOT_A_PICTURE)
        except (Image.DecompressionBombWarning, Image.DecompressionBombError, MemoryError):
            return Refused(reason=Reason.TOO_BIG)
        except Exception:  # noqa: BLE001 - a decoder fed by a stranger can raise anything; all of it means one thing
            return Refused(reason=Reason.BROKEN)


def _starts_like_one(content: bytes) -> bool:
    """Whether the first bytes promise a format we take, so that what follows must be damaged. Nothing at all, too."""
    is_webp = content[:4] == b"RIFF" and content[8:12] == b"WEBP"
    return not content or is_webp or content.startswith((b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n"))


def _refused_by_size(picture: Image.Image) -> Refused | None:
    """The gates that need nothing but the header."""
    width, height = picture.size
    limit = MAX_OTHER_PIXELS if picture.format in ("PNG", "WEBP") else MAX_JPEG_PIXELS
    if width * height > limit:
        return Refused(reason=Reason.TOO_BIG)
    return Refused(reason=Reason.TOO_SMALL) if min(width, height) < SMALLEST_SIDE else None


def _fresh(picture: Image.Image) -> OpenedPhoto:
    """Decode, turn upright, bring to sRGB and to size, and encode the bare pixels."""
    from PIL import Image

    if picture.format not in ("PNG", "WEBP"):
        picture.draft(picture.mode, _fitted(picture.size))
    picture.load()
    turn = _turn(picture)
    upright = picture.transpose(turn) if turn is not None else picture
    sized = _rgb(upright).resize(_fitted(upright.size), Image.Resampling.LANCZOS, reducing_gap=2.0)
    bare = Image.new("RGB", sized.size)  # a picture carries comments and profiles along; a new one has none
    bare.paste(sized)
    out = io.BytesIO()
    bare.save(out, "JPEG", quality=QUALITY, subsampling=0)  # coarser colour would smear thin blades
    return OpenedPhoto(jpeg=out.getvalue(), width=bare.width, height=bare.height)


def _fitted(size: tuple[int, int]) -> tuple[int, int]:
    width, height = size
    scale = min(1.0, LONGEST_SIDE / max(width, height))
    return max(1, round(width * scale)), max(1, round(height * scale))


def _turn(picture: Image.Image) -> Image.Transpose | None:
    """How the camera was held, from the EXIF orientation. Damaged EXIF is no reason to refuse a photo."""
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


def _rgb(picture: Image.Image) -> Image.Image:
    """The pixels as sRGB: transparency over white, 16 bits scaled to 8, other colour spaces converted."""
    from PIL import Image

    if picture.mode.startswith("I"):
        return picture.convert("I").point(lambda value: value * (1 / 256)).convert("L").convert("RGB")
    if picture.has_transparency_data:
        layered = picture.convert("RGBA")
        return Image.alpha_composite(Image.new("RGBA", layered.size, "white"), layered).convert("RGB")
    profile = picture.info.get("icc_profile")
    if profile and picture.mode in ("RGB", "CMYK"):
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


# --- the process around it -------------------------------------------------------------------------------------------


class PhotoIntake:
    """Opens photos in processes of their own, at most two at once. The event loop only waits."""

    def __init__(self, *, at_once: int = AT_ONCE, wait_seconds: float = WAIT_SECONDS) -> None:
        self._turns = asyncio.Semaphore(at_once)
        self._wait_seconds = wait_seconds

    async def open(self, content: bytes) -> OpenedPhoto | Refused:
        """Open a picture, or say why not. Waiting too long, or taking too long, is `busy`."""
        if len(content) > MAX_BYTES:
            return Refused(reason=Reason.TOO_BIG)
        try:
            async with asyncio.timeout(self._wait_seconds):
                await self._turns.acquire()
        except TimeoutError:
            return Refused(reason=Reason.BUSY)
        try:
            return await _open_apart(content)
        finally:
            self._turns.release()


async def _open_apart(content: bytes) -> OpenedPhoto | Refused:
    process = await asyncio.create_subprocess_exec(
        sys.executable,
        "-I",
        str(Path(__file__)),
        stdin=asyncio.subprocess.PIPE,
        stdout=asyncio.subprocess.PIPE,
        stderr=asyncio.subprocess.DEVNULL,  # a decoder's complaint may quote the picture
    )
    try:
        async with asyncio.timeout(OPEN_SECONDS):
            answer, _ = await process.communicate(content)
    except TimeoutError:
        log.warning("A photo took longer than %.0f seconds to open and was let go.", OPEN_SECONDS)
        return Refused(reason=Reason.BUSY)
    finally:
        if process.returncode is None:
            process.kill()
            await process.wait()
    if process.returncode != 0:
        log.warning("Opening a photo ended its process with %s.", process.returncode)
        return Refused(reason=Reason.BROKEN)
    return _read_answer(answer)


def _read_answer(answer: bytes) -> OpenedPhoto | Refused:
    head, _, jpeg = answer.partition(b"\n")
    words = head.decode("ascii").split()
    if words[0] == "refused":
        return Refused(reason=Reason(words[1]))
    return OpenedPhoto(jpeg=jpeg, width=int(words[1]), height=int(words[2]))


def _answer(result: OpenedPhoto | Refused) -> bytes:
    if isinstance(result, Refused):
        return f"refused {result.reason}\n".encode("ascii")
    return f"opened {result.width} {result.height}\n".encode("ascii") + result.jpeg


def _main() -> None:
    import resource

    resource.setrlimit(resource.RLIMIT_AS, (MEMORY_BYTES, MEMORY_BYTES))
    resource.setrlimit(resource.RLIMIT_CPU, (int(OPEN_SECONDS), int(OPEN_SECONDS)))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    sys.stdout.buffer.write(_answer(open_photo(sys.stdin.buffer.read())))


if __name__ == "__main__":
    _main()
