"""A photo from outside, opened and measured in one go: the same however it comes, and nothing told but its grass."""

from __future__ import annotations

import asyncio
import io
import logging
import os
import signal
import subprocess
import sys
from datetime import date
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from PIL.ExifTags import GPS, IFD, Base

from bot.photos.header import unpacking_bytes
from bot.photos.intake import OpenedPhoto, PhotoIntake, Reason, Refused, Wanted, open_photo
from rules.cover_reading import CoverReading, CoverReason, Upload, hash_distance
from tests.fakes.turf import Look, Scene, developed, lawn
from tests.photos.pictures import encoded, misfit_profile, scene

ROOT = Path(__file__).parents[2]


@cache
def turf() -> Image.Image:
    """A rendered lawn, a third of it green, wider than high."""
    return Image.fromarray(developed(lawn(Scene(truth_percent=33, blade_px=8, size=(1000, 750))), Look()))


@cache
def read_upright() -> CoverReading:
    return opened(encoded(turf(), quality=95)).reading


def noted(**notes: object) -> Image.Exif:
    """What a camera notes beside a picture."""
    exif = Image.Exif()
    exif.get_ifd(IFD.Exif).update({getattr(Base, name): value for name, value in notes.items()})
    return exif


def opened(content: bytes, wanted: Wanted | None = None) -> OpenedPhoto:
    result = open_photo(content, wanted) if wanted else open_photo(content)
    assert isinstance(result, OpenedPhoto), result
    return result


def test_one_call_gives_the_photo_and_its_reading() -> None:
    """A JPEG to keep and green cover; without keeping, the very same reading."""
    content = encoded(turf(), quality=92)
    kept, only_read = opened(content), opened(content, Wanted(keep=False))

    assert (1000, 750) == Image.open(io.BytesIO(kept.jpeg)).size == (kept.width, kept.height)
    assert kept.reading.usable
    assert kept.reading.low < 33 < kept.reading.high
    assert kept.reading == only_read.reading
    assert only_read.jpeg == b""


@pytest.mark.parametrize("upload", Upload)
def test_the_way_it_came_stands_in_the_reading(upload: Upload) -> None:
    """So that readings of two ways are never mixed; what a carrier sent has the wider range."""
    content = encoded(turf(), quality=92)
    usual, told = opened(content).reading, opened(content, Wanted(upload=upload)).reading

    assert told.upload is upload
    assert (told.high > usual.high) == (upload is Upload.MMS)


@pytest.mark.parametrize("orientation", range(1, 9))
def test_it_is_measured_upright(orientation: int) -> None:
    """However the camera was held: the same green, the same hash, and the size as one sees it."""
    back = (None, 0, 3, 1, 5, 2, 6, 4)[orientation - 1]
    exif = Image.Exif()
    exif[Base.Orientation] = orientation
    turned = turf() if back is None else turf().transpose(Image.Transpose(back))
    reading, upright = (
        opened(encoded(turned, exif=exif, quality=95)).reading,
        opened(encoded(turf(), quality=95)).reading,
    )

    assert (1000, 750) == (reading.width, reading.height)
    assert reading.green_percent == pytest.approx(upright.green_percent, abs=0.3)
    assert hash_distance(reading.dhash, upright.dhash) <= 3


@pytest.mark.parametrize("kind", ["PNG", "WEBP"])
def test_every_format_reads_the_same(kind: str) -> None:
    """A lawn is as green in PNG and WebP as in JPEG."""
    how = {"lossless": True, "method": 0} if kind == "WEBP" else {"compress_level": 1}
    theirs, jpeg = opened(encoded(turf(), kind, **how)).reading, read_upright()

    assert theirs.green_percent == pytest.approx(jpeg.green_percent, abs=1.5)


def test_cmyk_and_transparent_pictures_are_measured_too() -> None:
    """Other ways to store the same colours change little."""
    plain = read_upright().green_percent
    clear = turf().convert("RGBA")

    assert opened(encoded(turf().convert("CMYK"), quality=95)).reading.green_percent == pytest.approx(plain, abs=2)
    assert opened(encoded(clear, "PNG", compress_level=1)).reading.green_percent == pytest.approx(plain, abs=1.5)


def test_a_long_strip_is_measured_by_what_was_sent() -> None:
    """A panorama is not too small because it is measured at a fraction."""
    strip = turf().crop((0, 0, 1000, 310)).resize((4800, 1488))
    reading = opened(encoded(strip)).reading

    assert (4800, 1488) == (reading.width, reading.height)
    assert reading.reason is not CoverReason.TOO_SMALL


# --- what a camera notes ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("told", "taken_on"),
    [
        ("2027:02:20 08:30:00", date(2027, 2, 20)),
        ("2027:02:30 08:30:00", None),
        ("0000:00:00 00:00:00", None),
        ("1970:01:01 00:00:00", None),
        ("yesterday", None),
    ],
)
def test_the_day_a_camera_noted_is_a_hint(told: str, taken_on: date | None) -> None:
    """Handed on where it is a day; anything else is no reason to refuse a photo."""
    assert taken_on == opened(encoded(scene(), exif=noted(DateTimeOriginal=told))).taken_on


def test_no_notes_no_day() -> None:
    """Chat programs drop notes."""
    assert opened(encoded(scene())).taken_on is None
    assert opened(encoded(scene(), exif=b"Exif\0\0II*\0\xff\xff\xff\xff")).taken_on is None


async def test_the_place_a_camera_noted_goes_nowhere(caplog: pytest.LogCaptureFixture) -> None:
    """No coordinate is in the photo that is kept, in what is handed on, or in the log."""
    caplog.set_level(logging.DEBUG)
    exif = noted(DateTimeOriginal="2027:02:20 08:30:00")
    exif.get_ifd(IFD.GPSInfo).update(
        {GPS.GPSLatitudeRef: "N", GPS.GPSLatitude: (31.0, 10.0, 12.5), GPS.GPSAreaInformation: b"GIVEAWAY-PLACE"}
    )
    content = encoded(turf(), exif=exif, comment=b"GIVEAWAY", icc_profile=misfit_profile())
    intake = PhotoIntake()
    result = await intake.open(content)
    intake.close()

    assert b"GIVEAWAY" in content
    assert isinstance(result, OpenedPhoto)
    assert {} == dict(Image.open(io.BytesIO(result.jpeg)).getexif())
    assert b"GIVEAWAY" not in result.jpeg
    said = repr((result.reading, result.taken_on, result.width, result.height)) + caplog.text
    assert not any(trace in said for trace in ("GIVEAWAY", "31.17", "12.5", "GPS"))


# --- what strangers send ---------------------------------------------------------------------------------------------


def test_unpacking_a_progressive_picture_is_reckoned_with() -> None:
    """Two bytes for each sample of each part; nothing for a picture that comes row by row."""
    whole = Image.new("RGB", (1600, 1200))
    progressive = Image.open(io.BytesIO(encoded(whole, progressive=True, subsampling=2)))
    fine = Image.open(io.BytesIO(encoded(whole, progressive=True, subsampling=0)))

    assert 1600 * 1200 * 3 == unpacking_bytes(progressive)
    assert 1600 * 1200 * 6 == unpacking_bytes(fine)
    assert unpacking_bytes(Image.open(io.BytesIO(encoded(whole)))) == 0


HOSTILE = """
import io, sys, time
from pathlib import Path
from PIL import Image
from bot.photos.intake import open_photo, Refused
from tests.photos.pictures import encoded, packed_png, scene
from tests.photos.test_intake import REFUSED

def peak_mib():
    line = next(each for each in Path("/proc/self/status").read_text().splitlines() if each.startswith("VmHWM"))
    return int(line.split()[1]) / 1024

open_photo(encoded(scene()))  # everything loaded
clear = Image.new("RGBA", (4000, 3900), (90, 120, 40, 0))
pictures = {name: make() for name, (make, _) in REFUSED.items()}
pictures["15 megapixels"] = packed_png(4800, 3200)
pictures["15 clear megapixels"] = encoded(clear, "PNG", compress_level=1)
del clear
for name, content in pictures.items():
    Path("/proc/self/clear_refs").write_text("5")
    before, began = peak_mib(), time.process_time()
    open_photo(content)
    print(name, round(peak_mib() - before), round(1000 * (time.process_time() - began)), sep="|")
"""


def test_nothing_hostile_costs_much() -> None:
    """Each hostile picture, and the largest that are let in: under 150 MiB and under a second of work."""
    done = subprocess.run([sys.executable, "-c", HOSTILE], cwd=ROOT, capture_output=True, text=True, check=True)
    costs = {name: (int(mib), int(ms)) for name, mib, ms in (line.split("|") for line in done.stdout.splitlines())}

    assert len(costs) > 18
    assert {name: cost for name, cost in costs.items() if cost[0] >= 150 or cost[1] >= 1000} == {}


# --- the processes ---------------------------------------------------------------------------------------------------


def children() -> set[int]:
    return {int(each) for each in Path(f"/proc/self/task/{os.getpid()}/children").read_text().split()}


async def test_a_photo_that_takes_too_long_is_let_go_and_the_next_one_opens() -> None:
    """Overrun: its process is killed, its sender is told that we are busy, and a new process takes the next."""
    before = children()
    hasty = PhotoIntake(at_once=1, open_seconds=0.002)
    slow = encoded(turf().resize((3200, 2400)))

    assert Refused(reason=Reason.BUSY) == await hasty.open(slow)
    assert children() == before
    hasty._open_seconds = 30
    assert isinstance(await hasty.open(slow), OpenedPhoto)
    hasty.close()


async def test_a_process_that_is_killed_over_a_photo_takes_only_that_one_with_it() -> None:
    """By the system, for its memory or its time: the photo is refused, the next one is opened."""
    intake, before = PhotoIntake(at_once=1), children()
    content = encoded(turf())
    assert isinstance(await intake.open(content), OpenedPhoto)
    (process,) = children() - before
    os.kill(process, signal.SIGSTOP)  # so that it cannot have answered before it dies
    opening = asyncio.create_task(intake.open(content))
    await asyncio.sleep(0.02)
    os.kill(process, signal.SIGKILL)

    assert Refused(reason=Reason.BROKEN) == await opening
    assert isinstance(await intake.open(content), OpenedPhoto)
    intake.close()


async def test_a_process_that_died_while_it_waited_is_replaced() -> None:
    """Nobody's photo is refused for it."""
    intake, before = PhotoIntake(at_once=1), children()
    await intake.open(encoded(scene()))
    (process,) = children() - before
    os.kill(process, signal.SIGKILL)
    await asyncio.to_thread(os.waitid, os.P_PID, process, os.WEXITED | os.WNOWAIT)

    assert isinstance(await intake.open(encoded(scene())), OpenedPhoto)
    intake.close()


async def test_two_processes_serve_many_photos_and_end_with_their_intake() -> None:
    """No more than two, whatever comes at once; none is left behind."""
    before = children()
    intake = PhotoIntake()
    results = await asyncio.gather(*(intake.open(encoded(scene())) for _ in range(8)))

    assert all(isinstance(result, OpenedPhoto) for result in results)
    assert len(children() - before) == 2
    del intake
    assert children() == before


async def test_answers_from_apart_are_those_from_here() -> None:
    """Reading, day and picture come over the line as they are."""
    content = encoded(turf(), exif=noted(DateTimeOriginal="2027:02:20 08:30:00"))
    wanted = Wanted(upload=Upload.FILE, has_paper=True)
    intake = PhotoIntake()

    assert open_photo(content, wanted) == await intake.open(content, wanted)
    intake.close()


def test_whoever_only_names_photos_loads_no_library_for_them() -> None:
    """Pillow and numpy come with the first photo, and then only where it is opened."""
    program = "import sys, bot.photos.intake; print([name for name in ('numpy', 'PIL') if name in sys.modules])"
    done = subprocess.run([sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, check=True)

    assert done.stdout.strip() == "[]"


def test_pictures_without_colour_are_refused_however_they_are_stored() -> None:
    """Grey pixels in a coloured file show no green either: the photo opens, its reading is not usable."""
    grey = np.repeat(np.asarray(turf())[:, :, 1:2], 3, axis=2)
    reading = opened(encoded(Image.fromarray(grey))).reading

    assert (reading.usable, reading.reason) == (False, CoverReason.BLACK_AND_WHITE)
