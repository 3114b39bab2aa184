"""The chart beside a photo check-in: of what was measured, with what may be expected."""

from __future__ import annotations

from bot.talk.cover_chart import CoverChange, CoverChart
from tests.talk.photo_sender import Album, in_spring


def chart_of(album: Album) -> CoverChart | None:
    chart = album.talk.heard[0].chart
    assert chart is None or isinstance(chart, CoverChart)
    return chart


def test_one_visit_has_no_chart() -> None:
    """There is nothing to compare it with, also after several photos of one day."""
    album = in_spring()
    for _ in range(2):
        album.send(0.5)
        assert chart_of(album) is None


def test_growth_is_drawn_with_what_to_expect_and_its_words() -> None:
    """Every visit a point; four weeks on where it grows; an alt text for whoever cannot see it."""
    album = in_spring()
    album.over_weeks(5, 8, 13, 20)
    album.send(30)
    album.talk.say("no")
    chart = chart_of(album)
    assert chart is not None
    assert [each.percent for each in chart.readings] == [5, 8, 13, 20, 30]
    assert chart.change is CoverChange.GREENER
    assert chart.later is not None
    assert (chart.later.on - chart.last.on).days == 28
    assert chart.later.percent > 30
    alt = album.talk.heard[0].chart_alt
    assert alt is not None
    assert alt.key == "alt-cover-whole"


def test_weeds_are_left_out_of_the_chart() -> None:
    """The chart shows grass, as the words do."""
    album = in_spring()
    album.over_weeks(20, weeds="most")
    album.send(30)
    album.talk.say("most")
    chart = chart_of(album)
    assert chart is not None
    assert chart.last.percent < 15


def test_nothing_is_expected_of_bare_ground() -> None:
    """No promise where nothing grows."""
    album = in_spring()
    album.over_weeks(0.5, 0.6)
    album.send(0.4)
    chart = chart_of(album)
    assert chart is not None
    assert chart.later is None
    assert chart.change is CoverChange.UNCLEAR


def test_photos_that_came_another_way_are_marked() -> None:
    """A reading of another kind of upload may lie a step off."""
    album = in_spring()
    album.over_weeks(0.5, 0.6)
    album.send(0.4, upload="mms")
    chart = chart_of(album)
    assert chart is not None
    assert [each.is_other_upload for each in chart.readings] == [False, False, True]
