"""Green cover against rendered turf whose cover is known exactly, and against another library's colours."""

from __future__ import annotations

import ast
import itertools
from dataclasses import fields
from functools import cache
from pathlib import Path

import cv2
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import rules
from bot.photos.opening import OpenedPhoto, Wanted, open_photo
from rules.cover import cover_reading, green_mask
from rules.cover_reading import (
    Colour,
    CoverReading,
    CoverReason,
    Shot,
    Upload,
    hash_distance,
    is_same_picture,
    single_photo_sd_percent,
)
from rules.errors import OutOfRange
from tests.fakes.turf import Lawn, Look, Scene, developed, lawn, packed, photographed

TRUTHS = (0, 2, 5, 10, 20, 35, 50, 65, 80, 95)
SHOT = Shot(width=800, height=600)
AS_IT_IS = Look()


@cache
def turf(truth_percent: float, blade_px: float = 4, seed: int = 1, *, paper: bool = False) -> Lawn:
    """A piece of lawn, drawn once for all tests."""
    return lawn(Scene(truth_percent=truth_percent, blade_px=blade_px, seed=seed, paper=paper))


@cache
def seen(truth_percent: float, blade_px: float = 4, look: Look = AS_IT_IS) -> tuple[Lawn, CoverReading]:
    scene = turf(truth_percent, blade_px, seed=int(truth_percent) + 1)
    return scene, cover_reading(photographed(scene, look), SHOT)


def errors(blade_px: float) -> list[float]:
    """Reading less truth at each cover. [percent of the picture]"""
    return [reading.green_percent - scene.truth_percent for scene, reading in (seen(each, blade_px) for each in TRUTHS)]


@pytest.mark.parametrize(("blade_px", "rmse", "worst"), [(4, 7, 12), (9, 5, 5)])
def test_readings_are_near_the_truth(blade_px: float, rmse: float, worst: float) -> None:
    """Thin blades within 12 percent of the picture and 7 as a rule, wide ones within 5, all usable."""
    off = np.array(errors(blade_px))

    assert all(seen(each, blade_px)[1].usable for each in TRUTHS)
    assert np.sqrt(np.mean(off**2)) <= rmse
    assert np.abs(off).max() <= worst


@pytest.mark.parametrize("blade_px", [4, 9])
def test_the_likely_range_holds_the_truth(blade_px: float) -> None:
    """What is told as likely is likely; the range is no wider than a third of the picture."""
    for scene, reading in (seen(each, blade_px) for each in TRUTHS):
        assert reading.low <= scene.truth_percent <= reading.high
        assert reading.high - reading.low < 34


@pytest.mark.parametrize("blade_px", [4, 9])
def test_more_green_reads_more_and_none_reads_none(blade_px: float) -> None:
    """Readings rise with cover, bare ground reads under 2 %, and a change between any two weeks is right within 5."""
    readings = [seen(each, blade_px)[1].green_percent for each in TRUTHS]
    off = errors(blade_px)

    assert readings == sorted(readings)
    assert readings[0] < 2
    assert all(abs(one - other) <= 5 for one, other in itertools.combinations(off, 2))


# --- light -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("truth_percent", [5, 20, 50, 80])
def test_exposure_hardly_moves_the_reading(truth_percent: float) -> None:
    """From one stop too little to one too much the reading stays within 3 percent of the picture."""
    readings = [seen(truth_percent, 4, Look(stops=stops))[1] for stops in (-1, -0.5, 0, 0.5, 1)]

    assert all(reading.usable for reading in readings)
    assert spread(readings) <= 3


@pytest.mark.parametrize(("blade_px", "most"), [(9, 8), (4, 11)])
@pytest.mark.parametrize("truth_percent", [50])
def test_a_tenth_of_warm_or_cool_light_moves_a_whole_photo_little(
    truth_percent: float, blade_px: float, most: float
) -> None:
    """A photo of 8 megapixels as a camera packs it: within 8 percent of the picture, 11 with thin blades."""
    scene = seen(truth_percent, blade_px)[0]
    whole = [cv2.resize(developed(scene, Look(cast=cast)), (3200, 2400)) for cast in (-0.1, 0, 0.1)]
    readings = [measured(each) for each in whole]

    assert all(reading.usable for reading in readings)
    assert spread(readings) <= most


def measured(pixels: np.ndarray) -> CoverReading:
    """What is read off a photo that was packed and opened."""
    opened = open_photo(packed(pixels, 90), Wanted(keep=False))
    assert isinstance(opened, OpenedPhoto)
    return opened.reading


@pytest.mark.parametrize("truth_percent", [5, 35, 65])
def test_coarse_colour_of_a_chat_picture_widens_what_light_does(truth_percent: float) -> None:
    """A chat program halves the resolution of colours; thin blades then move by up to 15, inside the likely range."""
    scene = seen(truth_percent)[0]
    readings = [seen(truth_percent, 4, Look(cast=cast))[1] for cast in (-0.1, 0, 0.1)]

    assert spread(readings) <= 15
    assert all(reading.low <= scene.truth_percent <= reading.high for reading in readings)


def spread(readings: list[CoverReading]) -> float:
    return max(each.green_percent for each in readings) - min(each.green_percent for each in readings)


@pytest.mark.parametrize("truth_percent", [0, 5, 20, 50, 80])
def test_blue_and_orange_light_are_refused(truth_percent: float) -> None:
    """A third too much blue turns straw green, a third too little turns green to straw: said, not measured."""
    blue, orange = (seen(truth_percent, 4, Look(cast=cast))[1] for cast in (-0.35, 0.35))

    assert (blue.usable, blue.reason) == (False, CoverReason.BLUE_LIGHT)
    assert (orange.usable, orange.reason) == (False, CoverReason.ORANGE_LIGHT)


@pytest.mark.parametrize("cast", [-0.35, -0.2, 0, 0.2, 0.35])
def test_a_sheet_of_paper_puts_the_light_right(cast: float) -> None:
    """With paper in the picture, and said so, even a strong cast is read within 9 percent of the picture as a rule."""
    shot = Shot(width=800, height=600, has_paper=True)
    off = []
    for truth in (5, 20, 40, 65):
        scene = turf(truth, seed=7, paper=True)
        reading = cover_reading(photographed(scene, Look(cast=cast)), shot)
        assert reading.usable
        assert reading.paper_used
        off.append(reading.green_percent - scene.truth_percent)

    assert np.sqrt(np.mean(np.square(off))) <= 9


def test_paper_counts_only_where_somebody_says_so() -> None:
    """Paper that nobody spoke of is not looked for, and none is found on a lawn without any."""
    there = photographed(turf(20, seed=7, paper=True))
    nowhere = photographed(turf(20))

    assert not cover_reading(there, SHOT).paper_used
    assert not cover_reading(nowhere, Shot(width=800, height=600, has_paper=True)).paper_used


def test_shade_over_half_of_it_is_borne() -> None:
    """A shadow's edge and its bluer light move the reading less than the likely range is wide."""
    for truth in (5, 35, 65):
        scene, reading = seen(truth, 4, Look(shadow=True))
        assert reading.usable
        assert reading.low <= scene.truth_percent <= reading.high


# --- gates -----------------------------------------------------------------------------------------------------------

LAWN = photographed(turf(35, seed=36))
CHANCE = np.random.default_rng(3)
NOISE = CHANCE.integers(0, 256, LAWN.shape, np.uint8)
CLAY = np.clip(np.array((152, 86, 58)) + CHANCE.normal(0, 12, (600, 800, 1)), 0, 255).astype(np.uint8)
UNUSABLE = {
    "much too dark": (LAWN // 12, CoverReason.DARK),
    "black": (LAWN * 0, CoverReason.DARK),
    "washed out": (photographed(turf(5, seed=6), Look(stops=3)), CoverReason.OVEREXPOSED),
    "white": (LAWN * 0 + 255, CoverReason.OVEREXPOSED),
    "out of focus": (photographed(turf(35, seed=36), Look(blur_px=4)), CoverReason.BLURRED),
    "one colour": (LAWN * 0 + 120, CoverReason.BLURRED),
    "greys only": (np.repeat(LAWN[:, :, 1:2], 3, axis=2), CoverReason.BLACK_AND_WHITE),
    "all colours of the rainbow": (NOISE, CoverReason.NOT_LAWN),
}


@pytest.mark.parametrize("what", UNUSABLE)
def test_a_photo_that_is_no_use_says_the_one_thing_to_change(what: str) -> None:
    """One reason, the one that helps: a dark picture is dark, not blurred."""
    pixels, reason = UNUSABLE[what]
    reading = cover_reading(pixels, SHOT)

    assert (reading.usable, reading.reason) == (False, reason)


def test_a_small_picture_is_refused_by_its_size_as_sent() -> None:
    """What was sent counts, not what is left of it for measuring."""
    assert cover_reading(LAWN, Shot(width=640, height=479)).reason is CoverReason.TOO_SMALL
    assert cover_reading(LAWN[::2, ::2].copy(), Shot(width=640, height=480)).reason is not CoverReason.TOO_SMALL


def test_red_clay_is_no_evening_light() -> None:
    """Bare red ground is read as what it is: no green."""
    reading = cover_reading(CLAY, SHOT)

    assert reading.usable
    assert reading.green_percent < 1


def test_a_dark_but_sharp_photo_is_still_read() -> None:
    """Two stops too little leave the contrast low and the grass sharp."""
    assert all(seen(each, 4, Look(stops=-2))[1].usable for each in (5, 50, 95))


# --- the range, the colour, the hash ---------------------------------------------------------------------------------


def test_error_of_one_photo_is_as_stated() -> None:
    """Arithmetic: 1.0, 0.10 x cover + 1.0 and 2.0 as independent parts; the wider for pictures that came small."""
    as_stated = {1: 2.5, 5: 2.7, 10: 3.0, 20: 3.7, 35: 5.0, 50: 6.4}

    for cover, sd in as_stated.items():
        assert single_photo_sd_percent(cover, SHOT) == pytest.approx(sd, abs=0.06)
        assert single_photo_sd_percent(100 - cover, SHOT) == pytest.approx(sd, abs=0.06)
    small = Shot(width=640, height=480)
    carried = Shot(width=1280, height=960, upload=Upload.MMS)
    for shot in (small, carried):
        assert single_photo_sd_percent(20, shot) == pytest.approx(single_photo_sd_percent(20, SHOT) + 3)
    with pytest.raises(OutOfRange):
        single_photo_sd_percent(101, SHOT)


def test_yellow_green_grass_is_called_ambiguous() -> None:
    """Where straw and green run into each other the range is wide and says so."""
    scene, reading = seen(65, 4, Look(cast=0.1))

    assert reading.ambiguous
    assert reading.low <= scene.truth_percent <= reading.high
    assert not seen(20)[1].ambiguous


def test_colour_is_one_of_three_words() -> None:
    """Pale yellow-green, the usual, and dark blue-green; with hardly any green there is no colour."""
    words = []
    for green in ((150, 165, 70), (90, 130, 50), (40, 90, 50)):
        pixels = np.clip(np.array(green) + CHANCE.normal(0, 9, (300, 400, 1)), 0, 255).astype(np.uint8)
        words.append(cover_reading(pixels, SHOT).colour)

    assert words == [Colour.YELLOWISH, Colour.MEDIUM, Colour.DARK]
    assert seen(0)[1].colour is None


def test_a_colour_that_the_next_hour_would_swap_is_not_sure() -> None:
    """Where a stop more or less makes another word of one lawn, the word is not sure; well inside a word it is."""
    looks = [seen(35, 9, Look(stops=stops))[1] for stops in (-1, 0, 1)]
    assert len({each.colour for each in looks}) > 1
    assert not any(each.is_colour_sure for each in looks if each.colour is not looks[0].colour)
    deep = np.clip(np.array((40, 90, 50)) + CHANCE.normal(0, 9, (300, 400, 1)), 0, 255).astype(np.uint8)
    assert cover_reading(deep, SHOT).is_colour_sure
    assert not seen(0)[1].is_colour_sure


def test_the_same_picture_is_known_again_and_another_is_not() -> None:
    """Packed anew or shrunk: the same. Mirrored, aimed a little elsewhere, or grown for a week: not."""
    first = developed(turf(20, 9), Look())
    dhash = cover_reading(first, SHOT).dhash
    repacked = cv2.imdecode(np.frombuffer(packed(first, 60), np.uint8), cv2.IMREAD_COLOR)[:, :, ::-1]
    shrunk = cv2.resize(first, (600, 450), interpolation=cv2.INTER_AREA)
    mirrored, aimed_elsewhere = np.ascontiguousarray(first[:, ::-1]), np.roll(first, (60, 80), (0, 1))

    for same in (repacked, shrunk):
        assert is_same_picture(dhash, cover_reading(np.ascontiguousarray(same), SHOT).dhash)
    for other in (mirrored, aimed_elsewhere, developed(turf(35, 9, seed=2), Look())):
        assert hash_distance(dhash, cover_reading(other, SHOT).dhash) >= 10


@given(one=st.binary(min_size=8, max_size=8), other=st.binary(min_size=8, max_size=8))
def test_hash_distance_counts_bits(one: bytes, other: bytes) -> None:
    """Nought to itself, the same both ways, and 64 to its opposite."""
    opposite = bytes(255 - each for each in one)

    assert hash_distance(one.hex(), one.hex()) == 0
    assert hash_distance(one.hex(), opposite.hex()) == 64
    assert hash_distance(one.hex(), other.hex()) == hash_distance(other.hex(), one.hex())
    assert is_same_picture(one.hex(), other.hex()) == (hash_distance(one.hex(), other.hex()) <= 6)


# --- against others --------------------------------------------------------------------------------------------------


def by_fractions(pixels: np.ndarray) -> np.ndarray:
    """Hue, saturation and value as fractions, the way textbooks have them."""
    red, green, blue = (pixels[:, :, each].astype(np.float64) for each in range(3))
    value, least = pixels.max(axis=2).astype(np.float64), pixels.min(axis=2).astype(np.float64)
    chroma = np.maximum(value - least, 1e-12)
    from_red = ((green - blue) / chroma) % 6
    sector = np.where(value == red, from_red, np.where(value == green, 2 + (blue - red) / chroma, 4))
    hue = np.where(value == least, 0, 60 * sector)
    return (hue >= 65) & (hue <= 180) & ((value - least) / np.maximum(value, 1) >= 0.15) & (value / 255 >= 20 / 255)


def test_whole_numbers_decide_exactly_as_fractions_do() -> None:
    """A million random colours, and all dull ones near each limit: not one is decided otherwise."""
    chance = np.random.default_rng(11)
    random = chance.integers(0, 256, (1000, 1000, 3), np.uint8)
    dull = np.stack(np.meshgrid(*[np.arange(0, 256, 5, np.uint8)] * 3, indexing="ij"), axis=-1).reshape(-1, 52, 3)
    dark = np.stack(np.meshgrid(*[np.arange(0, 48, dtype=np.uint8)] * 3, indexing="ij"), axis=-1).reshape(-1, 48, 3)

    for pixels in (random, dull, dark):
        assert np.array_equal(green_mask(pixels), by_fractions(pixels))


@pytest.mark.parametrize(("truth_percent", "cast"), [(10, 0), (40, 0), (75, 0), (40, -0.1)])
def test_a_fraction_of_the_pixels_tells_what_all_of_them_tell(truth_percent: float, cast: float) -> None:
    """OpenCV on the whole photo, in fractions, within half a percent of the picture."""
    pixels = developed(large_turf(truth_percent), Look(cast=cast))

    assert measured(pixels).green_percent == pytest.approx(by_opencv(pixels), abs=0.5)


@pytest.mark.parametrize("truth_percent", TRUTHS)
@pytest.mark.parametrize("blade_px", [4, 9])
def test_all_turf_of_these_tests_is_read_as_opencv_reads_it(blade_px: float, truth_percent: float) -> None:
    """Small pictures are measured whole, so there it is the same pixel by pixel, in warm and in cool light."""
    for cast in (0, -0.1, 0.1):
        pixels = developed(turf(truth_percent, blade_px, seed=int(truth_percent) + 1), Look(cast=cast))
        assert measured(pixels).green_percent == pytest.approx(by_opencv(pixels), abs=0.01)


def by_opencv(pixels: np.ndarray) -> float:
    """Green percent of the whole photo as OpenCV opens it, in fractions."""
    whole = cv2.imdecode(np.frombuffer(packed(pixels, 90), np.uint8), cv2.IMREAD_COLOR).astype(np.float32) / 255
    hue, saturation, value = cv2.split(cv2.cvtColor(whole, cv2.COLOR_BGR2HSV))
    return float(100 * np.mean((hue >= 65) & (hue <= 180) & (saturation >= 0.15) & (value >= 20 / 255)))


@cache
def large_turf(truth_percent: float) -> Lawn:
    return lawn(Scene(truth_percent=truth_percent, blade_px=8, seed=4, size=(1600, 1200)))


PATTERNS = ("noise", "flat", "stripes", "lawn")


@given(
    pattern=st.sampled_from(PATTERNS),
    seed=st.integers(0, 999),
    size=st.tuples(st.integers(64, 200), st.integers(64, 200)),
    upload=st.sampled_from(Upload),
    has_paper=st.booleans(),
)
@settings(max_examples=60, deadline=None)
def test_any_picture_gives_a_reading_that_makes_sense(
    pattern: str, seed: int, size: tuple[int, int], upload: Upload, has_paper: bool
) -> None:
    """Whatever is photographed: percents in order, a reason exactly when it is not usable, 64 bits of hash."""
    chance = np.random.default_rng(seed)
    pixels = {
        "noise": lambda: chance.integers(0, 256, (*size, 3), np.uint8),
        "flat": lambda: np.full((*size, 3), chance.integers(0, 256, 3), np.uint8),
        "stripes": lambda: np.repeat(chance.integers(0, 256, (size[0], 1, 3), np.uint8), size[1], axis=1),
        "lawn": lambda: np.ascontiguousarray(LAWN[: size[0], : size[1]]),
    }[pattern]()
    reading = cover_reading(pixels, Shot(width=800, height=600, upload=upload, has_paper=has_paper))

    assert 0 <= reading.low <= reading.green_percent <= reading.high <= 100
    assert reading.usable == (reading.reason is None)
    assert len(bytes.fromhex(reading.dhash)) == 8


@pytest.mark.parametrize("shape", [(100, 100), (100, 100, 4), (63, 200, 3)])
def test_what_is_no_picture_is_an_error(shape: tuple[int, ...]) -> None:
    """Not three channels, or too small to have texture: the caller's mistake."""
    with pytest.raises(OutOfRange):
        cover_reading(np.zeros(shape, np.uint8), SHOT)


def test_no_nitrogen_is_worked_out_from_a_photo() -> None:
    """Colour is a word: the reading has no number for it, and nothing about feeding looks at photos."""
    of_photos, of_feeding = ("rules.cover", "rules.photo_gates"), ("rules.feed", "rules.label", "rules.facts.feed")
    both = []
    for path in Path(next(iter(rules.__path__))).rglob("*.py"):
        imported = [
            name
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
            for name in (
                [node.module or ""]
                if isinstance(node, ast.ImportFrom)
                else [each.name for each in node.names]
                if isinstance(node, ast.Import)
                else []
            )
        ]
        is_of_feeding = path.stem.startswith(("feed", "label")) or any(each.startswith(of_feeding) for each in imported)
        if is_of_feeding and any(each.startswith(of_photos) for each in imported):
            both.append(path.name)

    assert both == []
    assert not {field.name for field in fields(CoverReading)} & {"dgci", "nitrogen", "n_lb", "grade"}
