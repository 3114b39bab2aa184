"""The picture of what survived: readable whatever was found, true to its numbers, told apart by everybody."""

from __future__ import annotations

import io
from functools import cache
from itertools import combinations

import numpy as np
import pytest
from PIL import Image

from bot.charts.limit import draw_limit
from bot.charts.limit_figure import BAND_ALPHA, FOUND, PUBLISHED, SEEN, SOFT, LimitFigure
from bot.charts.sheet import HEIGHT, INK, PAPER, WIDTH
from bot.charts.wording import limit_words
from rules.grasses import GrassCode
from rules.lt50_curve import SurvivalCurve, survival_curve
from rules.lt50_fit import FoundShift, fit_limit
from tests.charts.invented import WORDS
from tests.charts.seeing import SIGHTS, chunk_ends, contrast, is_like, lab, over
from tests.rules.invented_region import InventedRegion

KINDS = {
    "softer": (GrassCode.ST_AUGUSTINE, 600, 1.5),
    "rhizomes": (GrassCode.BERMUDA, 600, -1.0),
    "few": (GrassCode.SEASHORE_PASPALUM, 20, 0.0),
    "none": (GrassCode.BUFFALO, 0, 0.0),
}


@cache
def found(kind: str) -> tuple[SurvivalCurve, FoundShift]:
    code, count, shift_dc = KINDS[kind]
    lawns = InventedRegion(code=code, shift_dc=shift_dc, ways=(0, 1, 0)).lawns(np.random.default_rng(1), count)
    shift = fit_limit(code, lawns).grass
    return survival_curve(code, shift, lawns, region_sd_dc=0.5), shift


@cache
def figure(kind: str, *, metric: bool = False) -> LimitFigure:
    curve, shift = found(kind)
    return LimitFigure(curve, words=limit_words(curve, shift, WORDS, language="en", metric=metric), metric=metric)


def test_it_is_a_small_bare_png_and_always_the_same() -> None:
    """720 x 640, under 60 kB, nothing in the file but the picture, the same bytes each time."""
    curve, shift = found("softer")
    words = limit_words(curve, shift, WORDS, language="en", metric=False)
    data = draw_limit(curve, words=words, metric=False)
    picture = Image.open(io.BytesIO(data))
    picture.load()

    assert (picture.format, picture.size, picture.info) == ("PNG", (WIDTH, HEIGHT), {})
    assert len(data) < 60_000
    assert {data[at - 4 : at].decode() for at in chunk_ends(data)} <= {"IHDR", "PLTE", "IDAT", "IEND"}
    assert data == draw_limit(curve, words=words, metric=False)


@pytest.mark.parametrize("metric", [False, True])
@pytest.mark.parametrize("kind", KINDS)
def test_texts_stand_inside_and_none_over_another(kind: str, metric: bool) -> None:
    """Every text can be read, in either unit."""
    sheet = figure(kind, metric=metric).sheet
    boxes = {name: sheet.box_of(name) for name in sheet.texts}

    assert all(0 <= box.left and box.right <= WIDTH and 0 <= box.top and box.bottom <= HEIGHT for box in boxes.values())
    assert [pair for pair in combinations(boxes, 2) if boxes[pair[0]].overlaps(boxes[pair[1]])] == []


def test_lines_stand_where_their_numbers_say() -> None:
    """Both lines run through their shares, half way up at the temperature where half lives."""
    drawn = figure("softer")
    pixels = np.asarray(Image.open(io.BytesIO(drawn.sheet.png())).convert("RGB")) / 255
    for point in drawn.curve.points[8:-8:6]:
        for colour, share in ((FOUND, point.found), (PUBLISHED, point.published)):
            x, y = round(drawn.x_of(point.crown_min_c)), round(drawn.y_of(share.middle_fraction))
            near = pixels[y - 4 : y + 5, x - 7 : x + 8]
            assert is_like(near, colour, 0.12).any() or is_like(near, SEEN, 0.12).any()


def test_words_say_whether_it_is_enough() -> None:
    """Few lawns change nothing, and the picture says so; without dots nothing explains dots."""
    told = {kind: figure(kind).words for kind in KINDS}

    assert told["softer"].finding.startswith("In such a freeze half of the crowns die near")
    assert told["few"].finding.startswith("Not enough lawns")
    assert (told["none"].seen, bool(told["softer"].seen)) == ("", True)
    assert "below" in told["rhizomes"].up
    assert "below" not in told["softer"].up


def test_everybody_can_tell_the_lines_apart() -> None:
    """Contrast on paper and on the band, and colours apart for three kinds of eyes; shapes differ besides."""
    band = over(FOUND, BAND_ALPHA, PAPER)

    assert all(contrast(colour, PAPER) >= 4.5 for colour in (FOUND, PUBLISHED, SEEN, SOFT, INK))
    assert all(contrast(colour, band) >= 3 for colour in (FOUND, PUBLISHED, SEEN))
    for sight in SIGHTS.values():
        assert np.linalg.norm(lab(FOUND, sight) - lab(PUBLISHED, sight)) > 30
