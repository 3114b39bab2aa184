"""The desk draws either kind of chart, each once."""

from __future__ import annotations

import io

from PIL import Image

from bot.charts.desk import KEPT, ChartDesk
from tests.charts.covers import cover_charts
from tests.charts.invented import WORDS, by_hand

TRACE = by_hand(air=[1.0] * 24, crown=[1.0] * 24, soil=[1.0] * 24)
COVER = cover_charts()["grows"]


async def test_it_draws_a_freeze_and_a_spots_green() -> None:
    """Two different pictures of one size."""
    desk = ChartDesk(WORDS)
    pictures = [await desk.picture(chart, language="en", metric=False) for chart in (TRACE, COVER)]

    assert [Image.open(io.BytesIO(each)).size for each in pictures] == [(720, 640)] * 2
    assert pictures[0] != pictures[1]


async def test_a_picture_is_kept_for_the_next_who_asks() -> None:
    """The very same bytes for equal numbers; a spot's green has no units, so both units share one; a freeze has two."""
    desk = ChartDesk(WORDS)
    first = await desk.picture(COVER, language="en", metric=False)

    assert await desk.picture(cover_charts()["grows"], language="en", metric=True) is first
    assert await desk.picture(TRACE, language="en", metric=True) != await desk.picture(
        TRACE, language="en", metric=False
    )
    assert len(desk._kept) == 3 <= KEPT
