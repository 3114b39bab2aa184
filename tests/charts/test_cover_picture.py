"""The picture of a spot's green: readable whatever grew, true to its numbers, and told apart by everybody."""

from __future__ import annotations

import io
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import timedelta
from functools import cache
from itertools import combinations, pairwise

import numpy as np
import pytest
from PIL import Image

from bot.charts.cover import CoverWords, draw_cover
from bot.charts.cover_figure import BAND_ALPHA, MARKS, SMALL_SOFT, TREND, CoverFigure
from bot.charts.placing import Box
from bot.charts.sheet import HEIGHT, INK, PAPER, WIDTH, mixed
from bot.charts.wording import cover_words
from bot.talk.cover_chart import CoverAt, CoverChart
from tests.charts.covers import cover_charts, day, line, reading
from tests.charts.invented import WORDS
from tests.charts.seeing import SIGHTS, chunk_ends, contrast, is_like, lab, over

NAMES = list(cover_charts())
MAX_BYTES = 60_000
LONG = {
    "title": "Grüne Grasdecke auf diesem Stück des Rasens",
    "finding": "Von ungefähr 3 % am Anfang auf inzwischen 43 % (36 bis 51). Dieser Zuwachs ist wahrscheinlich echt.",
    "photo": "Aufnahme mit wahrscheinlichem Bereich",
    "other": "auf einem anderen Übertragungsweg geschickt, vielleicht etwas daneben",
    "trend": "wahrscheinlicher Verlauf",
    "later": "voraussichtlich in 4 Wochen",
    "judging": "frühester Beurteilungstag dieses Rasenstücks: etwa am 1. Juni",
}


def words_of(chart: CoverChart, *, is_long: bool = False) -> CoverWords:
    words = cover_words(chart, WORDS, language="en")
    return replace(words, **{name: text for name, text in LONG.items() if getattr(words, name)}) if is_long else words


@cache
def figure_of(name: str, is_long: bool = False) -> CoverFigure:
    chart = cover_charts()[name]
    return CoverFigure(chart, words=words_of(chart, is_long=is_long), language="de" if is_long else "en")


def png_of(chart: CoverChart) -> bytes:
    return draw_cover(chart, words=words_of(chart), language="en")


def pixels_of(figure: CoverFigure) -> np.ndarray:
    """The picture as a viewer sees it: [down, across, rgb], 0 to 1."""
    return np.asarray(Image.open(io.BytesIO(figure.sheet.png())).convert("RGB")) / 255


def drawn(chart: CoverChart) -> CoverFigure:
    return CoverFigure(chart, words=words_of(chart), language="en")


# --- the file --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_it_is_a_small_bare_png(name: str) -> None:
    """720 x 640, under 60 kB, and nothing in the file but the picture."""
    data = png_of(cover_charts()[name])
    picture = Image.open(io.BytesIO(data))
    picture.load()

    assert (picture.format, picture.size) == ("PNG", (WIDTH, HEIGHT))
    assert len(data) < MAX_BYTES
    assert picture.info == {}
    assert {data[at - 4 : at].decode() for at in chunk_ends(data)} <= {"IHDR", "PLTE", "IDAT", "IEND"}


def test_the_same_chart_gives_the_same_bytes_from_every_thread() -> None:
    """Four at once and one alone agree."""
    chart = cover_charts()["grows"]
    with ThreadPoolExecutor(4) as pool:
        together = set(pool.map(png_of, [chart] * 4))

    assert together == {png_of(chart)}


def test_the_chat_starts_without_the_plotting_library() -> None:
    """It is loaded for the first picture, not before."""
    code = (
        "import sys, bot.charts.cover, bot.charts.desk, bot.charts.wording;"
        "sys.exit(any(name in sys.modules for name in ('matplotlib', 'numpy')))"
    )

    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


# --- it can be read --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("is_long", [False, True], ids=["english", "long"])
@pytest.mark.parametrize("name", NAMES)
def test_texts_stay_inside_and_off_each_other(name: str, is_long: bool) -> None:
    """Every text, by the plotting library's own boxes, also where a language needs many letters."""
    sheet = figure_of(name, is_long).sheet
    boxes = {text: sheet.box_of(text) for text in sheet.texts}
    outside = [
        text for text, box in boxes.items() if min(box.left, box.top, WIDTH - box.right, HEIGHT - box.bottom) < 4
    ]
    on_others = [(one, two) for one, two in combinations(boxes, 2) if boxes[one].overlaps(boxes[two])]

    assert outside == []
    assert on_others == []


@pytest.mark.parametrize("is_long", [False, True], ids=["english", "long"])
@pytest.mark.parametrize("name", NAMES)
def test_no_text_stands_on_a_dot_or_a_ring(name: str, is_long: bool) -> None:
    """Neither on one of a reading nor on the expected one."""
    figure = figure_of(name, is_long)
    half = figure.dot / 2
    dots = [
        Box(round(x - half), round(y - half), round(x + half), round(y + half))
        for x, y in zip(figure.xs, (figure.y_of(each.percent) for each in figure.chart.readings), strict=True)
    ]
    if figure.chart.later:
        x, y = round(figure.x_of(figure.chart.later.on)), round(figure.y_of(figure.chart.later.percent))
        dots.append(Box(x - 10, y - 10, x + 10, y + 10))
    covered = [text for text in figure.sheet.texts for dot in dots if figure.sheet.box_of(text).overlaps(dot)]

    assert covered == []


@pytest.mark.parametrize("name", NAMES)
def test_everything_that_is_there_is_named_and_nothing_else(name: str) -> None:
    """In the legend the kinds of points that occur; figures at the first, the last and the expected point."""
    chart, texts = cover_charts()[name], set(figure_of(name).sheet.texts)
    kinds = {"other" if each.is_other_upload else "photo" for each in chart.readings}
    kinds |= ({"trend"} if chart.line else set()) | ({"later"} if chart.later else set())
    figures = (len(chart.readings) > 1) + 1 + (chart.later is not None)

    assert {text.removeprefix("legend ") for text in texts if text.startswith("legend")} == kinds
    assert sum(text.startswith("figure") for text in texts) == figures
    assert ("judging" in texts) is (chart.judging_on is not None)
    assert {f"date {chart.last.on}", "title", "finding", "rung 0", "rung 100"} <= texts


@pytest.mark.parametrize("is_long", [False, True], ids=["english", "long"])
@pytest.mark.parametrize("name", NAMES)
def test_letters_are_large_enough_for_a_phone_and_leave_room_for_the_plot(name: str, is_long: bool) -> None:
    """At half size, 360 px across, no letters smaller than 12 px; the plot keeps a fifth of the sheet."""
    figure = figure_of(name, is_long)
    sizes = {text: each.get_fontsize() / 0.72 / 2 for text, each in figure.sheet.texts.items()}

    assert {text: size for text, size in sizes.items() if size < 12} == {}
    assert figure.bottom - figure.top >= HEIGHT / 5


# --- what is drawn stands where the numbers are ----------------------------------------------------------------------


@pytest.mark.parametrize("percent", [0, 3, 50, 97, 100])
def test_a_dot_is_seen_at_its_percent(percent: float) -> None:
    """The middle of the dot's pixels, between the lines at 0 and 100."""
    figure = drawn(CoverChart(readings=((reading(0, percent))._replace(low_percent=percent, high_percent=percent),)))
    pixels = pixels_of(figure)[:, round(figure.xs[0]) - 8 : round(figure.xs[0]) + 9]
    rows = np.flatnonzero(is_like(pixels, MARKS["photo"].colour).sum(axis=1) >= 14)  # no letter is so solid

    assert rows.mean() == pytest.approx(figure.bottom - percent / 100 * (figure.bottom - figure.top), abs=1.5)


def test_whiskers_reach_as_far_as_the_range() -> None:
    """From the low to the high end of what is likely, through the dot."""
    figure = drawn(CoverChart(readings=(reading(0, 40)._replace(low_percent=22, high_percent=71),)))
    column = pixels_of(figure)[round(figure.top) : round(figure.bottom), round(figure.xs[0])]
    rows = np.flatnonzero(is_like(column, MARKS["photo"].colour, 0.15)) + figure.top

    assert rows.min() == pytest.approx(figure.y_of(71), abs=2)
    assert rows.max() == pytest.approx(figure.y_of(22), abs=2)


def test_the_expected_point_is_an_open_ring() -> None:
    """Paper within, its colour around; a photo's dot is full."""
    chart = CoverChart(readings=(reading(0, 40),), later=CoverAt(day(28), 60, 50, 70))
    figure = drawn(chart)
    pixels = pixels_of(figure)
    at = {"later": (figure.x_of(day(28)), figure.y_of(60)), "photo": (figure.xs[0], figure.y_of(40))}
    middles = {name: pixels[round(y), round(x)] for name, (x, y) in at.items()}

    assert is_like(middles["later"], PAPER)
    assert is_like(middles["photo"], MARKS["photo"].colour)
    assert is_like(pixels[round(at["later"][1]), round(at["later"][0]) - 10], MARKS["later"].colour, 0.1)


def test_the_band_is_as_wide_as_its_doubt() -> None:
    """Where nothing else is drawn, its shade reaches from one edge to the other."""
    points = tuple(CoverAt(day(number), 50, 31, 64) for number in (0, 28))
    figure = drawn(CoverChart(readings=(reading(0, 50), reading(28, 50)), line=points))
    shade = "#{:02x}{:02x}{:02x}".format(*(round(255 * part) for part in mixed(TREND, BAND_ALPHA)))
    column = pixels_of(figure)[round(figure.top) : round(figure.bottom), round(figure.x_of(day(14)))]
    seen = np.flatnonzero(is_like(column, shade, 0.03)) + figure.top

    assert seen.min() == pytest.approx(figure.y_of(64), abs=2)
    assert seen.max() == pytest.approx(figure.y_of(31), abs=2)


def test_the_line_is_solid_through_the_readings_and_dashed_ahead_of_them() -> None:
    """What was seen and what is only expected look different without any colour."""
    figure = drawn(CoverChart(readings=(reading(0, 5), reading(30, 90)), line=line((0, 30, 60), lambda _: 60)))
    row = is_like(pixels_of(figure)[round(figure.y_of(60))], TREND, 0.15)
    breaks = [
        int((np.diff(row[round(figure.x_of(day(a))) : round(figure.x_of(day(b)))].astype(int)) == -1).sum())
        for a, b in ((2, 28), (32, 58))
    ]

    assert breaks[0] == 0
    assert breaks[1] >= 10


def test_dots_stand_in_order_and_near_their_days() -> None:
    """Also where there are sixty, a day apart: none is moved off its day by more than its own width or so."""
    for name in NAMES:
        figure = figure_of(name)
        days = [figure.x_of(each.on) for each in figure.chart.readings]

        assert all(earlier < later for earlier, later in pairwise(figure.xs)), name
        assert max(abs(x - on) for x, on in zip(figure.xs, days, strict=True)) <= 12, name


def test_readings_of_one_day_stand_side_by_side() -> None:
    """Two dots whose pixels do not touch, the first at the left."""
    figure = figure_of("same day")

    assert figure.xs[1] - figure.xs[0] >= figure.dot + 2
    assert sum(figure.xs) / 2 == pytest.approx(figure.x_of(day(0)), abs=1)


def test_even_sixty_readings_of_one_day_stay_in_the_plot() -> None:
    """Nobody sends that; but nothing breaks."""
    figure = drawn(CoverChart(readings=(reading(0, 40),) * 60))

    assert figure.left < figure.xs[0] < figure.xs[-1] < figure.right


def test_weeks_are_named_evenly_and_the_last_one_always() -> None:
    """As many dates as have room, the newest reading's among them."""
    figure = figure_of("twenty weeks")
    dates = [text for text in figure.sheet.texts if text.startswith("date")]

    assert len(dates) >= 5
    assert f"date {figure.chart.last.on}" in dates
    assert figure.sheet.texts[f"date {figure.chart.last.on}"].get_text() == "Jul 17"


# --- everybody can tell it apart -------------------------------------------------------------------------------------

BANDED = over(TREND, BAND_ALPHA, PAPER)


def test_texts_stand_out_from_what_they_stand_on() -> None:
    """WCAG AA, 4.5 to 1, on paper and on the band."""
    texts = [INK, SMALL_SOFT.colour, *(mark.colour for mark in MARKS.values())]
    weak = [(one, ground) for one in texts for ground in (PAPER, BANDED) if contrast(one, ground) < 4.5]

    assert weak == []


def test_points_and_the_line_stand_out_from_paper_and_band() -> None:
    """WCAG AA for what is no text: 3 to 1."""
    drawn_in = {name: mark.colour for name, mark in MARKS.items()} | {"trend": TREND}
    weak = [name for name, colour in drawn_in.items() if min(contrast(colour, PAPER), contrast(colour, BANDED)) < 3]

    assert weak == []


@pytest.mark.parametrize("sight", SIGHTS)
def test_points_look_different_to_the_colour_blind(sight: str) -> None:
    """At least 15 apart (CIE 1976; 2.3 is just seen), whatever the eye."""
    near = {
        (one, two): round(float(np.linalg.norm(lab(a.colour, SIGHTS[sight]) - lab(b.colour, SIGHTS[sight]))), 1)
        for (one, a), (two, b) in combinations(MARKS.items(), 2)
    }

    assert {pair: apart for pair, apart in near.items() if apart < 15} == {}


def test_points_differ_without_any_colour() -> None:
    """Each in shape, or in being open."""
    assert len({(mark.shape, mark.is_open) for mark in MARKS.values()}) == len(MARKS)


# --- the words -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "finding"),
    [
        ("one", "About 14 % (9 to 19). The next photos will tell more."),
        ("same day", "About 19 % (14 to 24) now, 14 % at first. No clear change yet."),
        ("grows", "From about 5 % to 28 % (22 to 35). The growth looks real."),
        ("falls", "From about 62 % to 12 % (8 to 16). The loss looks real."),
    ],
)
def test_the_finding_claims_no_more_than_the_readings_do(name: str, finding: str) -> None:
    """A direction only where the change is worth telling."""
    assert words_of(cover_charts()[name]).finding == finding


@pytest.mark.parametrize(("days", "words"), [(3, "in 1 week"), (28, "in 4 weeks"), (39, "in 6 weeks")])
def test_how_far_ahead_is_told_in_weeks(days: int, words: str) -> None:
    """Counted from the newest reading."""
    later = CoverAt(day(7) + timedelta(days=days), 20, 10, 30)

    assert words_of(CoverChart(readings=(reading(0, 5), reading(7, 9)), later=later)).later == words


def test_the_judging_day_is_told_as_it_is_known() -> None:
    """ "About" where its date is worked out from averages."""
    sure, about = (words_of(cover_charts()[name]).judging for name in ("grows", "one with more"))

    assert (sure, about) == ("judging day: Wed, May 5", "judging day: about Jun 1")
