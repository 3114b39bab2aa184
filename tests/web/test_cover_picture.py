"""The picture of a spot's green on the page, beside its words, read out of the stored message."""

from __future__ import annotations

import html
import io
import re
from collections.abc import AsyncIterator, Callable
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest
from PIL import Image

from bot.conversation import real_talk
from bot.settings import Settings
from bot.talk.case import Homeowner
from bot.talk.effects import Say
from bot.talk.incoming import Incoming
from bot.talk.messages import text
from bot.talk.ports import Known, Outcome
from bot.talk.telling_cover_chart import cover_alt
from tests.charts.covers import cover_charts
from tests.fakes.house import House, open_house
from tests.web.visitor import Visitor

CHART = cover_charts()["grows"]
_PICTURE = re.compile(r'<img src="(/chart/\d+\.png)" alt="([^"]+)" width="360" height="320"')


def show_it(homeowner: Homeowner | None, incoming: Incoming, now: datetime, known: Known) -> Outcome:
    """Whatever came in, the picture is the answer."""
    say = Say(parts=(text("green-unknown"),), chart=CHART, chart_alt=cover_alt(CHART, text("where-lawn")))
    return Outcome(homeowner=homeowner or Homeowner(), effects=(say,))


@pytest.fixture
async def house(tmp_path: Path) -> AsyncIterator[House]:
    talk = replace(real_talk(Settings(data=tmp_path)), reduce=show_it)
    async with open_house(tmp_path, talk=talk) as opened:
        yield opened


async def test_the_page_shows_it_to_whom_it_was_told(visitor: Visitor, another: Callable[[], Visitor]) -> None:
    """With its words for whoever does not see it; nobody else gets it."""
    found = _PICTURE.search(visitor.seen)
    assert found is not None
    answer = await visitor.client.get(found[1])

    assert (answer.status_code, answer.headers["content-type"]) == (200, "image/png")
    with Image.open(io.BytesIO(answer.content)) as picture:
        assert picture.size == (720, 640)
    assert html.unescape(found[2]).startswith("A chart of the lawn over time. First, on Sat, Mar 6: 5 %")
    assert (await another().client.get(found[1])).status_code == 404
