"""Opening photos: what a phone sends comes out upright and bare; what a stranger sends is refused with a reason."""

from __future__ import annotations

import asyncio
import io
import time
from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from bot.photos.intake import LONGEST_SIDE, MAX_BYTES, OpenedPhoto, PhotoIntake, Reason, Refused, open_photo
from tests.photos.pictures import (
    BLUE,
    GREEN,
    RED,
    STRAW,
    corners,
    encoded,
    header_only_png,
    held,
    is_near,
    misfit_profile,
    packed_png,
    plain_profile,
    scene,
    segments,
    swapped_profile,
    with_traces,
)

UPRIGHT = [RED, GREEN, BLUE, STRAW]


def opened(content: bytes) -> Image.Image:
    """What is kept of a picture that was taken."""
    result = open_photo(content)
    assert isinstance(result, OpenedPhoto), result
    kept = Image.open(io.BytesIO(result.jpeg))
    assert (result.width, result.height) == kept.size
    return kept


@pytest.mark.parametrize("orientation", range(1, 9))
@pytest.mark.parametrize("size", [(900, 600), (600, 900)])
def test_photo_stands_upright_however_the_camera_was_held(orientation: int, size: tuple[int, int]) -> None:
    """The EXIF orientation is applied to the pixels, then dropped."""
    kept = opened(held(orientation, size))

    assert size == kept.size
    assert is_near(corners(kept), list(UPRIGHT))


def test_nothing_but_pixels_is_kept() -> None:
    """Place, date, maker, comment, XMP and profile are gone: only the markers that a bare JPEG needs are left."""
    result = open_photo(with_traces())

    assert isinstance(result, OpenedPhoto)
    assert b"GIVEAWAY" not in result.jpeg
    assert {0xE0, 0xDB, 0xC0, 0xC4} == set(segments(result.jpeg))
    assert {} == dict(Image.open(io.BytesIO(result.jpeg)).getexif())


KINDS: dict[str, Callable[[], bytes]] = {
    "jpeg": lambda: encoded(scene()),
    "progressive jpeg": lambda: encoded(scene(), progressive=True),
    "cmyk jpeg": lambda: encoded(scene().convert("CMYK")),
    "png": lambda: encoded(scene(), "PNG"),
    "palette png": lambda: encoded(scene().quantize(16), "PNG"),
    "webp": lambda: encoded(scene(), "WEBP"),
    "lossless webp": lambda: encoded(scene(), "WEBP", lossless=True),
    "several pictures in one jpeg": lambda: encoded(scene(), "MPO", save_all=True, append_images=[scene()]),
    "animated webp": lambda: encoded(scene(), "WEBP", save_all=True, append_images=[scene().rotate(90)]),
    "useless profile": lambda: encoded(scene(), icc_profile=b"not a profile at all"),
    "profile of another space": lambda: encoded(scene(), icc_profile=misfit_profile()),
    "damaged exif": lambda: encoded(scene(), exif=b"Exif\0\0II*\0\xff\xff\xff\xff"),
}


@pytest.mark.parametrize("kind", KINDS)
def test_every_usual_kind_of_picture_keeps_its_colours(kind: str) -> None:
    """JPEG, PNG and WebP in their usual forms come out with the colours they went in with."""
    assert is_near(corners(opened(KINDS[kind]())), list(UPRIGHT), by=20)


def test_transparent_parts_become_white() -> None:
    """Alpha is laid over white, in RGBA and in a palette."""
    clear = scene().convert("RGBA")
    clear.paste((0, 0, 0, 0), (450, 300, 900, 600))
    for content in (
        encoded(clear, "PNG"),
        encoded(clear, "WEBP", lossless=True),
        encoded(clear.quantize(64), "PNG"),
    ):
        assert is_near([corners(opened(content))[3]], [(255, 255, 255)])


@pytest.mark.parametrize("mode", ["1", "L", "LA", "I;16"])
def test_black_and_white_is_refused(mode: str) -> None:
    """A picture that holds no colours shows no green, however many bits its greys have."""
    grey = Image.new("I;16", (600, 600), 32768) if mode == "I;16" else scene().convert(mode)

    assert Refused(reason=Reason.BLACK_AND_WHITE) == open_photo(encoded(grey, "PNG"))


def test_colours_by_another_profile_are_brought_to_srgb() -> None:
    """The profile is applied before it is dropped: one that swaps red and blue swaps them in what is kept."""
    kept = opened(encoded(scene(), icc_profile=swapped_profile()))

    assert is_near(corners(kept)[:1], [(40, 40, 200)])
    assert is_near(corners(opened(encoded(scene(), icc_profile=plain_profile()))), list(UPRIGHT))


def test_large_photo_is_brought_down_and_small_one_left_alone() -> None:
    """The long side is at most 2000 pixels afterwards; nothing is blown up."""
    assert (LONGEST_SIDE, 1500) == opened(encoded(scene((4000, 3000)))).size
    assert (1500, LONGEST_SIDE) == opened(encoded(scene((3000, 4000)), "PNG")).size
    assert (600, 480) == opened(encoded(scene((600, 480)))).size


def gif() -> bytes:
    return encoded(scene(), "GIF")


def cut(percent: int, form: str = "JPEG") -> bytes:
    """A picture whose last part never came."""
    large = scene((1600, 1200))
    whole = encoded(large.effect_spread(40) if form == "PNG" else large, form)
    return whole[: len(whole) * percent // 100]


HEIC = b"\0\0\0\x18ftypheic\0\0\0\0mif1heic" + b"\0" * 500
REFUSED: dict[str, tuple[Callable[[], bytes], Reason]] = {
    "empty": (lambda: b"", Reason.BROKEN),
    "text": (lambda: b"just some words about a lawn", Reason.NOT_A_PICTURE),
    "html": (lambda: b"<!doctype html><svg onload=alert(1)>", Reason.NOT_A_PICTURE),
    "gif": (gif, Reason.NOT_A_PICTURE),
    "tiff": (lambda: encoded(scene(), "TIFF"), Reason.NOT_A_PICTURE),
    "heic": (lambda: HEIC, Reason.HEIC),
    "cut at 60 %": (lambda: cut(60), Reason.BROKEN),
    "cut at 99 %": (lambda: cut(99), Reason.BROKEN),
    "png cut at 60 %": (lambda: cut(60, "PNG"), Reason.BROKEN),
    "png cut at 99 %": (lambda: cut(99, "PNG"), Reason.BROKEN),
    "jpeg start only": (lambda: b"\xff\xd8\xff\xe0", Reason.BROKEN),
    "bomb of 400 megapixels": (lambda: header_only_png(20_000, 20_000), Reason.TOO_BIG),
    "bomb of 100 megapixels": (lambda: header_only_png(10_000, 10_000), Reason.TOO_BIG),
    "packed 63 megapixels": (lambda: packed_png(9_000, 7_000), Reason.TOO_BIG),
    "zero size": (lambda: header_only_png(0, 0), Reason.BROKEN),
    "too many bytes": (lambda: b"\xff\xd8\xff" + b"\0" * MAX_BYTES, Reason.TOO_BIG),
    "thumbnail": (lambda: encoded(scene((640, 479))), Reason.TOO_SMALL),
    "a line": (lambda: encoded(scene((5000, 20))), Reason.TOO_SMALL),
}


@pytest.mark.parametrize("what", REFUSED)
def test_hostile_or_useless_bytes_are_refused_with_their_reason(what: str) -> None:
    """Never an exception, always a reason, and well under a second."""
    make, reason = REFUSED[what]
    content = make()
    began = time.perf_counter()

    assert Refused(reason=reason) == open_photo(content)
    assert time.perf_counter() - began < 1


def test_name_of_the_file_means_nothing() -> None:
    """What counts are the bytes: a PNG that came as .jpg opens, a GIF that came as .png does not."""
    assert isinstance(open_photo(encoded(scene(), "PNG")), OpenedPhoto)
    assert isinstance(open_photo(gif()), Refused)


@given(st.data())
@settings(max_examples=150, deadline=None)
def test_damaged_pictures_never_raise(data: st.DataObject) -> None:
    """Any bytes of a good file overwritten with any others: a photo or a reason, never an exception."""
    content = bytearray(data.draw(st.sampled_from([SMALL_JPEG, SMALL_PNG, SMALL_WEBP])))
    for _ in range(data.draw(st.integers(1, 8))):
        content[data.draw(st.integers(0, len(content) - 1))] = data.draw(st.integers(0, 255))

    assert isinstance(open_photo(bytes(content)), OpenedPhoto | Refused)


SMALL_JPEG, SMALL_PNG, SMALL_WEBP = (encoded(scene((500, 490)), kind) for kind in ("JPEG", "PNG", "WEBP"))


async def test_opening_apart_gives_the_same_as_opening_here() -> None:
    """The process of its own answers what the function answers, for good and for bad pictures."""
    intake = PhotoIntake()
    for content in (held(6), gif(), b"", header_only_png(20_000, 20_000)):
        assert open_photo(content) == await intake.open(content)


async def test_event_loop_goes_on_while_photos_are_opened() -> None:
    """Opening large photos leaves the loop free for others, who get their turn again and again."""
    content = encoded(scene((4000, 3000)))
    opening = asyncio.gather(*(PhotoIntake().open(content) for _ in range(2)))
    turns = 0
    while not opening.done():
        await asyncio.sleep(0.001)
        turns += 1

    assert all(isinstance(result, OpenedPhoto) for result in await opening)
    assert turns > 20


async def test_whoever_would_wait_too_long_is_told_we_are_busy() -> None:
    """With all places taken and no patience left the answer is `busy`, and the places come free again."""
    intake = PhotoIntake(at_once=1, wait_seconds=0.05)
    results = await asyncio.gather(*(intake.open(encoded(scene((3000, 2000)))) for _ in range(3)))

    assert [Refused(reason=Reason.BUSY)] * 2 == [result for result in results if isinstance(result, Refused)]
    assert isinstance(await intake.open(encoded(scene())), OpenedPhoto)


async def test_giving_up_on_an_upload_ends_its_process() -> None:
    """Somebody who leaves in the middle leaves no place taken."""
    intake = PhotoIntake(at_once=1, wait_seconds=5)
    opening = asyncio.create_task(intake.open(encoded(scene((4000, 3000)))))
    await asyncio.sleep(0.05)
    opening.cancel()
    with pytest.raises(asyncio.CancelledError):
        await opening

    assert isinstance(await intake.open(encoded(scene())), OpenedPhoto)
