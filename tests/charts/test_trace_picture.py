"""The picture itself: what is seen stands where the numbers are, can be read, and can be told apart by everybody."""

from __future__ import annotations

import io
import subprocess
import sys
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from functools import cache
from itertools import combinations

import numpy as np
import pytest
from PIL import Image

from bot.charts.sheet import HEIGHT, INK, PAPER, WIDTH, mixed
from bot.charts.trace import draw_trace
from bot.charts.trace_figure import BAND_ALPHA, SMALL_SOFT, STROKES, ZONE, ZONE_EDGE, TraceFigure, ticks
from bot.charts.wording import alt_text
from bot.talk.chart import TraceChart
from tests.charts.invented import NAMES, WORDS, by_hand, charts, words_of
from tests.charts.seeing import SIGHTS, chunk_ends, contrast, is_like, lab, over

MAX_BYTES = 80_000
FOREIGN = {"language": "en", "metric": True}


def png_of(chart: TraceChart, *, metric: bool = False) -> bytes:
    return draw_trace(chart, words=words_of(chart, metric=metric), metric=metric, language="en")


@cache
def pixels_of(name: str, metric: bool = False) -> np.ndarray:
    """The picture as a viewer sees it: [down, across, rgb], 0 to 1."""
    return np.asarray(Image.open(io.BytesIO(png_of(charts()[name], metric=metric))).convert("RGB")) / 255


@cache
def figure_of(name: str, metric: bool = False) -> TraceFigure:
    chart = charts()[name]
    return TraceFigure(chart, words=words_of(chart, metric=metric), metric=metric, language="en")


def lowest_seen(name: str, line: str) -> float:
    """The lowest pixel of a line's colour near the hour of its lowest value, down from the top."""
    figure = figure_of(name)
    x = round(figure.x_of(figure.hours[int(np.argmin(figure.shown[line]))]))
    column = pixels_of(name)[figure.top : figure.bottom, x - 1 : x + 2]
    return float(figure.top + np.flatnonzero(is_like(column, STROKES[line].colour).any(axis=1)).max())


# --- the file --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("metric", [False, True])
@pytest.mark.parametrize("name", NAMES)
def test_it_is_a_small_bare_png(name: str, metric: bool) -> None:
    """720 x 640, under 80 kB, and nothing in the file but the picture."""
    data = png_of(charts()[name], metric=metric)
    picture = Image.open(io.BytesIO(data))
    picture.load()

    assert (picture.format, picture.size) == ("PNG", (WIDTH, HEIGHT))
    assert len(data) < MAX_BYTES
    assert picture.info == {}
    assert {data[at - 4 : at].decode() for at in chunk_ends(data)} <= {"IHDR", "PLTE", "IDAT", "IEND"}


def test_the_same_chart_gives_the_same_bytes_from_every_thread() -> None:
    """Four at once and one alone agree."""
    chart = charts()["deep snow"]
    with ThreadPoolExecutor(4) as pool:
        together = set(pool.map(png_of, [chart] * 4))

    assert together == {png_of(chart)}


def test_the_chat_starts_without_the_plotting_library() -> None:
    """It is loaded for the first picture, not before."""
    code = "import sys, bot.charts.trace, bot.charts.wording; sys.exit('matplotlib' in sys.modules)"

    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


# --- what is drawn stands where the numbers are ----------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_the_layout_agrees_with_the_plotting_librarys_own(name: str) -> None:
    """Labels are placed by our own sums of hours and degrees; the lines by the library's."""
    figure = figure_of(name)
    for line, degrees in figure.shown.items():
        drawn = figure.plot.transData.transform(np.column_stack([figure.hours, degrees]))

        assert drawn[:, 0] == pytest.approx([x for x, _ in figure.points_of(line)], abs=0.6)
        assert HEIGHT - drawn[:, 1] == pytest.approx([y for _, y in figure.points_of(line)], abs=0.6)


@pytest.mark.parametrize("line", ["air", "crown", "soil"])
@pytest.mark.parametrize("name", ["four days", "very hard", "deep snow", "mild"])
def test_a_line_is_seen_at_its_lowest_where_its_number_is(name: str, line: str) -> None:
    """Its colour ends in the dot around that height, read back from the file."""
    figure = figure_of(name)
    y = figure.y_of(figure.shown[line].min())

    assert y <= lowest_seen(name, line) <= y + 11


@pytest.mark.parametrize("name", ["four days", "very hard", "mild"])
def test_the_crown_is_seen_between_air_and_soil(name: str) -> None:
    """Without snow the air gets coldest, the crown less, the soil 2 in down least."""
    assert lowest_seen(name, "air") > lowest_seen(name, "crown") + 5
    assert lowest_seen(name, "crown") > lowest_seen(name, "soil") + 30


def test_under_deep_snow_the_air_falls_far_below_the_crown() -> None:
    """The picture shows what a blanket does, and the snow itself under the plot, only where it lay."""
    figure, pixels = figure_of("deep snow"), pixels_of("deep snow")
    row = pixels[(figure.base - 12), :]
    days = [is_like(row[round(figure.x_of(24 * day + 12))], "#c9dbe6") for day in range(figure.chart.days)]

    assert lowest_seen("deep snow", "air") > lowest_seen("deep snow", "crown") + 100
    assert days == [depth > 0 for depth in figure.chart.snow_in]
    assert sum(days) == 5


@pytest.mark.parametrize("metric", [False, True])
@pytest.mark.parametrize("name", NAMES)
def test_the_ground_where_grass_suffers_begins_at_its_degree(name: str, metric: bool) -> None:
    """Paper above, shade below, read at the right edge where no line runs; and there is always some of it."""
    figure = figure_of(name, metric)
    edge_c = figure.chart.suffers_high_c
    edge = figure.plot.transData.transform((0, edge_c if metric else edge_c * 1.8 + 32))[1]
    column = pixels_of(name, metric)[:, WIDTH - 5]
    shaded = np.flatnonzero(~is_like(column, PAPER, 0.02))

    assert shaded.min() == pytest.approx(HEIGHT - edge, abs=2)
    assert shaded.max() == pytest.approx(figure.bottom, abs=2)
    assert len(shaded) >= 40


def test_the_shade_deepens_downward() -> None:
    """From where the first of it dies to where most is dead."""
    figure, column = figure_of("very hard"), pixels_of("very hard")[:, WIDTH - 5]
    upper, lower = (round(figure.y_of(each)) for each in (figure.suffers_high, figure.suffers_low))
    brightness = column.sum(axis=1)

    assert (np.diff(brightness[upper + 4 : lower]) <= 0.01).all()
    assert brightness[upper + 4] > brightness[lower + 4] + 0.1
    assert is_like(column[lower + 4 : figure.bottom - 2], ZONE, 0.03).all()


def test_the_crowns_band_is_as_wide_as_its_doubt() -> None:
    """A flat crown with 4.1 degC either way: its shade reaches from one edge to the other."""
    chart = by_hand(air=[9.0] * 48, crown=[2.0] * 48, soil=[8.8] * 48, suffers_c=(-9.0, -6.0))
    figure = TraceFigure(chart, words=words_of(chart, metric=True), **FOREIGN)
    pixels = np.asarray(Image.open(io.BytesIO(figure.sheet.png())).convert("RGB")) / 255
    shade = "#{:02x}{:02x}{:02x}".format(*(round(255 * part) for part in mixed(STROKES["crown"].colour, BAND_ALPHA)))
    seen = np.flatnonzero(is_like(pixels[figure.top : figure.bottom, round(figure.x_of(30))], shade, 0.03)) + figure.top

    assert seen.min() == pytest.approx(figure.y_of(6.1), abs=2)
    assert seen.max() == pytest.approx(figure.y_of(-2.1), abs=2)


# --- it can be read --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("metric", [False, True])
@pytest.mark.parametrize("name", NAMES)
def test_texts_stay_inside_and_off_each_other(name: str, metric: bool) -> None:
    """Every text, by the plotting library's own boxes."""
    sheet = figure_of(name, metric).sheet
    boxes = {text: sheet.box_of(text) for text in sheet.texts}
    outside = [
        text for text, box in boxes.items() if min(box.left, box.top, WIDTH - box.right, HEIGHT - box.bottom) < 4
    ]
    on_others = [(one, two) for one, two in combinations(boxes, 2) if boxes[one].overlaps(boxes[two])]

    assert outside == []
    assert on_others == []
    assert {"title", "finding", "air", "crown", "likely", "soil", "suffers", "origin", "month"} <= set(boxes)
    assert {"air_low", "crown_low", "soil_low"} <= set(boxes)


@pytest.mark.parametrize("metric", [False, True])
@pytest.mark.parametrize("name", NAMES)
def test_figures_stand_near_their_dots_and_the_shade_is_named_inside(name: str, metric: bool) -> None:
    """A figure far off would be taken for another line's; the shade's name above its edge would say the reverse."""
    figure = figure_of(name, metric)
    for line in STROKES:
        x, y = figure.points_of(line)[int(np.argmin(figure.shown[line]))]
        box = figure.sheet.box_of(f"{line}_low")
        off = max(box.left - x, x - box.right, 0), max(box.top - y, y - box.bottom, 0)

        assert max(off) <= 60, line
    assert figure.sheet.box_of("suffers").top >= figure.y_of(figure.suffers_high)
    assert figure.sheet.box_of("suffers").bottom <= figure.bottom + 4


@pytest.mark.parametrize("name", NAMES)
def test_letters_are_large_enough_for_a_phone(name: str) -> None:
    """At half size, 360 px across, no letters smaller than 12 px."""
    sizes = {text: each.get_fontsize() / 0.72 / 2 for text, each in figure_of(name).sheet.texts.items()}

    assert {text: size for text, size in sizes.items() if size < 12} == {}


@pytest.mark.parametrize("name", NAMES)
def test_days_are_named_and_the_coldest_stands_out(name: str) -> None:
    """At least three of them (or all), as "Sat 16", the crowns' coldest in bold."""
    figure = figure_of(name)
    days = {text: each for text, each in figure.sheet.texts.items() if text.startswith("day ")}
    bold = [each.get_text() for each in days.values() if "Bold" in each.get_fontproperties().get_file()]
    coldest = figure.chart.on(int(np.argmin(figure.chart.crown_c)))

    assert len(days) >= min(3, figure.chart.days)
    assert bold == [f"{coldest:%a} {coldest.day}"]


def test_lines_almost_on_each_other_keep_their_own_names() -> None:
    """In the order of the lines, each with a way to its end."""
    sheet = figure_of("lines together").sheet
    tops = [sheet.box_of(name).top for name in ("air", "crown", "soil")]

    assert tops == sorted(tops)
    assert len(sheet.figure.get_children()) > len(sheet.texts) + 3


def test_degrees_are_the_readers() -> None:
    """Fahrenheit by tens with 32 in the place of 30; Celsius with 0."""
    assert ticks(8, 62, metric=False) == [10, 20, 32, 40, 50, 60]
    assert ticks(-14, 13, metric=True) == [-10, -5, 0, 5, 10]
    assert ticks(33, 62, metric=False) == [35, 40, 45, 50, 55, 60]
    assert ticks(-43, 90, metric=False) == [-40, 0, 32, 80]


# --- everybody can tell it apart -------------------------------------------------------------------------------------


BANDED_PAPER = over(STROKES["crown"].colour, BAND_ALPHA, PAPER)
BANDED_ZONE = over(STROKES["crown"].colour, BAND_ALPHA, ZONE)


def test_texts_stand_out_from_what_they_stand_on() -> None:
    """WCAG AA, 4.5 to 1, on paper, on the shade, and on the band's own shade where it is named."""
    on_paper = [INK, SMALL_SOFT.colour, *(stroke.colour for stroke in STROKES.values())]
    pairs = [(each, PAPER) for each in on_paper] + [(ZONE_EDGE, ZONE), (INK, BANDED_PAPER)]
    pairs += [(stroke.colour, mixed(ZONE, 1.0)) for stroke in STROKES.values()]  # names that stand low, and figures

    assert [(one, two, round(contrast(one, two), 2)) for one, two in pairs if contrast(one, two) < 4.5] == []


@pytest.mark.parametrize("ground", [PAPER, ZONE, BANDED_PAPER, BANDED_ZONE])
def test_lines_stand_out_from_every_ground_they_cross(ground: str | tuple[float, float, float]) -> None:
    """WCAG AA for what is no text: 3 to 1, also where the crown's band lies over the shade."""
    weak = {name: contrast(stroke.colour, ground) for name, stroke in STROKES.items()}

    assert {name: ratio for name, ratio in weak.items() if ratio < 3} == {}


@pytest.mark.parametrize("sight", SIGHTS)
def test_lines_look_different_to_the_colour_blind(sight: str) -> None:
    """At least 15 apart (CIE 1976; 2.3 is just seen), whatever the eye."""
    assert SIGHTS[sight].sum(axis=1) == pytest.approx([1, 1, 1], abs=1e-5)
    near = {
        (one, two): round(float(np.linalg.norm(lab(a.colour, SIGHTS[sight]) - lab(b.colour, SIGHTS[sight]))), 1)
        for (one, a), (two, b) in combinations(STROKES.items(), 2)
    }

    assert {pair: apart for pair, apart in near.items() if apart < 15} == {}


def test_lines_differ_without_any_colour() -> None:
    """In dashes each from each, and in weight by a good pixel where one runs along another."""
    assert len({stroke.dashes_px for stroke in STROKES.values()}) == 3
    assert STROKES["crown"].dashes_px == ()
    assert STROKES["crown"].width_px >= STROKES["air"].width_px + 2


@pytest.mark.parametrize("grey", [lambda p: p @ [0.2126, 0.7152, 0.0722], lambda p: p.mean(axis=-1)])
def test_the_dashes_are_really_there(grey: Callable[[np.ndarray], np.ndarray]) -> None:
    """Along a flat stretch the air comes and goes, the crown does not: read back from a grey print."""
    chart = by_hand(air=[-9.0] * 48, crown=[2.0] * 48, soil=[9.0] * 48, suffers_c=(-20.0, -18.0))
    chart = replace(chart, crown_spread_dc=(0.0, 0.0))
    figure = TraceFigure(chart, words=words_of(chart, metric=True), **FOREIGN)
    pixels = grey(np.asarray(Image.open(io.BytesIO(figure.sheet.png())).convert("RGB")) / 255)
    stretch = slice(round(figure.x_of(26)), round(figure.x_of(44)))
    gaps = {
        line: int((np.diff((pixels[round(figure.y_of(figure.shown[line][0])), stretch] > 0.75).astype(int)) == 1).sum())
        for line in STROKES
    }

    assert gaps["crown"] == 0
    assert gaps["air"] == pytest.approx(165 / 14, abs=2)
    assert gaps["soil"] == pytest.approx(165 / 8.6, abs=3)


# --- the words -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("metric", [False, True])
@pytest.mark.parametrize("name", NAMES)
def test_what_is_read_out_says_the_same_in_few_words(name: str, metric: bool) -> None:
    """The three lows as they stand in the picture, in at most 350 characters."""
    chart, words = charts()[name], words_of(charts()[name], metric=metric)
    told = alt_text(chart, WORDS, language="en", metric=metric)

    assert len(told) <= 350
    assert all(low in told for low in (words.air_low, words.crown_low, words.soil_low))
    assert ("°C" in told, "°F" in told) == (metric, not metric)
    assert ("snow" in told) is bool(chart.snow_in)


def test_the_finding_follows_the_crown_and_not_the_air() -> None:
    """Air far colder than the grass can stand is no finding while the crown stays warm."""
    air, soil = [-20.0] * 48, [5.0] * 48
    told = {
        crown_c: words_of(by_hand(air=air, crown=[crown_c] * 48, soil=soil)).finding for crown_c in (-4.0, 0.0, 4.0)
    }

    assert "may have suffered" in told[-4.0]
    assert "Only the low end" in told[0.0]
    assert "can likely take that" in told[4.0]
    assert told[-4.0].startswith("About 25 °F (17 to 32)")


@pytest.mark.parametrize(
    ("snow_in", "metric", "depth"), [(0.1, False, "½ in"), (5.9, False, "6 in"), (5.9, True, "15 cm")]
)
def test_snow_is_told_no_finer_than_it_is_known(snow_in: float, metric: bool, depth: str) -> None:
    """Halves of an inch, whole centimetres; guessed snow says maybe."""
    chart = replace(by_hand(air=[1.0] * 24, crown=[1.0] * 24, soil=[1.0] * 24), snow_in=(snow_in,))

    assert words_of(chart, metric=metric).snow == f"snow, up to {depth}"
    assert words_of(replace(chart, snow_is_measured=False), metric=metric).snow == f"snow, maybe {depth}"
