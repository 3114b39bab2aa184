"""The one picture to share, looked at as a file and as pixels."""

from __future__ import annotations

import io
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from bot.album.picture import GAP, MARGIN, MOST_BYTES, WIDTH, album_picture, wrapped
from bot.album.season import Album, SpotAlbum, albums_of
from bot.album.wording import Teller
from tests.album.seasons import WORDS, Folder, Spring, grown, turf
from tests.photos.pictures import encoded, with_traces

TELLER = Teller(WORDS, language="en", metric=False)
COLOURS = ((200, 30, 30), (30, 160, 30), (30, 30, 200), (220, 200, 30), (150, 30, 150), (30, 180, 180))


@pytest.fixture
def spring() -> Spring:
    """Six weeks in two parts, each week's photos of one plain colour."""
    made = grown(6)
    for number, photo_id in enumerate(made.folder.photos):
        made.folder.photos[photo_id] = encoded(Image.new("RGB", (640, 480), COLOURS[number // 2]), quality=95)
    return made


def album_of(spring: Spring) -> Album:
    (album,) = albums_of(spring.homeowner, spring.known, spring.talk.now, set(spring.folder.photos))
    return album


def drawn(album: Album, folder: Folder) -> Image.Image:
    content = album_picture([album], folder.read, TELLER)
    assert content is not None
    return Image.open(io.BytesIO(content))


def colours_in(picture: Image.Image, count: int) -> list[tuple[int, ...]]:
    """The colours in the middle of the cells of the first row."""
    width = (WIDTH - 2 * MARGIN - GAP * (count - 1)) // count
    found: list[tuple[int, ...]] = []
    for number in range(count):
        x = MARGIN + number * (width + GAP) + width // 2
        pixel: Any = picture.getpixel((x, 340))
        found.append(min(COLOURS, key=lambda each: sum(abs(a - b) for a, b in zip(each, pixel, strict=True))))
    return found


def test_a_row_shows_first_newest_and_two_between(spring: Spring) -> None:
    """Six weeks are four photos, in order."""
    picture = drawn(album_of(spring), spring.folder)

    assert picture.format == "JPEG"
    assert picture.width == WIDTH
    assert colours_in(picture, 4) == [COLOURS[number] for number in (0, 2, 3, 5)]


def test_only_photos_of_the_album_are_read(spring: Spring) -> None:
    """By their ids, and no more than are shown."""
    album = album_of(spring)
    drawn(album, spring.folder)

    assert set(spring.folder.asked) <= set(album.photo_ids)
    assert len(spring.folder.asked) == 8


def test_a_spot_with_one_photo_shows_one(spring: Spring) -> None:
    """Large, over the whole width."""
    (front, _) = album_of(spring).spots
    alone = replace(album_of(spring), spots=(replace(front, shots=front.shots[:1]),))
    picture = drawn(alone, spring.folder)

    assert colours_in(picture, 1) == [COLOURS[0]]
    left: Any = picture.getpixel((MARGIN + 10, 340))
    assert abs(left[0] - COLOURS[0][0]) < 20


def test_a_photo_that_is_gone_or_damaged_leaves_its_place(spring: Spring) -> None:
    """The others stand closer together; with none left there is no picture."""
    album = album_of(spring)
    first, last = album.spots[0].shots[0].photo_id, album.spots[0].shots[-1].photo_id
    del spring.folder.photos[first]
    spring.folder.photos[last] = spring.folder.photos[last][:200]

    assert colours_in(drawn(album, spring.folder), 2) == [COLOURS[2], COLOURS[3]]
    assert album_picture([album], lambda _: None, TELLER) is None


def test_no_metadata_is_in_the_file(spring: Spring) -> None:
    """Whatever a photo still had about place and camera, nothing of it goes on."""
    traced = with_traces()
    spring.folder.photos = dict.fromkeys(spring.folder.photos, traced)
    assert Image.open(io.BytesIO(traced)).getexif()
    content = album_picture([album_of(spring)], spring.folder.read, TELLER) or b""
    picture = Image.open(io.BytesIO(content))

    assert not picture.getexif()
    assert set(picture.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
    assert b"Exif" not in content and b"ICC_PROFILE" not in content


def test_the_finest_turf_of_many_spots_stays_below_the_limit(spring: Spring) -> None:
    """So that it can be sent on by any messenger; many spots are cut off after the sixth."""
    album = album_of(spring)
    spring.folder.photos = dict.fromkeys(spring.folder.photos, turf(40, (1200, 900)))
    spots = tuple(replace(album.spots[0], name=f"{number}", shots=album.spots[0].shots[:1]) for number in range(9))
    content = album_picture([replace(album, spots=spots)], spring.folder.read, TELLER) or b""

    assert 0 < len(content) <= MOST_BYTES
    assert len(spring.folder.asked) == 6


def test_a_name_of_any_length_and_letters_fits(spring: Spring) -> None:
    """It is cut to its line, whatever is in it."""
    album = album_of(spring)
    named: tuple[SpotAlbum, ...] = (replace(album.spots[0], name="🦎 the long\nside " * 40),)

    assert drawn(replace(album, spots=named), spring.folder).height < 700


@given(st.text(max_size=300), st.integers(20, 400), st.integers(1, 5))
def test_no_line_is_wider_than_allowed(words: str, width_px: int, most_lines: int) -> None:
    """Measured as the font would, with letters of ten pixels."""

    def measure(line: str) -> float:
        return 10.0 * len(line)

    lines = wrapped(words, width_px, measure, most_lines)

    assert len(lines) <= max(1, most_lines)
    assert all(measure(line) <= width_px for line in lines)


def test_a_range_is_not_torn_apart() -> None:
    """A bracket goes to the next line as a whole."""
    assert wrapped("31% green (25 to 37%)", 200, lambda line: 12.0 * len(line), 6) == [
        "31% green",
        "(25\u00a0to\u00a037%)",
    ]
